import { type Command, InvalidArgumentError } from "commander";
import type { Encoding, LayoutHints, Separator } from "../trace/mod.ts";
import { type ForceUnit, forceUnits, parseForceUnit } from "../units/mod.ts";

/** The layout options as commander hands them over. */
export type LayoutOptions = {
  readonly forceColumn?: string;
  readonly timeColumn?: string;
  readonly forceUnit?: ForceUnit;
  readonly timeUnit?: "s" | "ms" | "us";
  readonly rateHz?: number;
  readonly separator?: Separator;
  readonly decimal?: "." | ",";
  readonly encoding?: Encoding;
  readonly inverted?: boolean;
};

/** Adds the options that say what a logger's file does not; the same for `read` and `import`. */
export function addLayoutOptions(command: Command): Command {
  return command
    .option("--force-column <name>", "the column of force: its name, or its number from 1")
    .option("--time-column <name>", "the column of time: its name, or its number from 1")
    .option("--force-unit <unit>", `the unit of force: ${forceUnits.join(", ")}`, readForceUnit)
    .option(
      "--time-unit <unit>",
      "the unit of time: s, ms, us",
      oneOf({ s: "s", ms: "ms", us: "us", µs: "us" }),
    )
    .option(
      "--inverted <word>",
      "whether a pull is negative in the file: yes, no (default: as the record shows)",
      oneOf({ yes: true, no: false }),
    )
    .option("--rate-hz <number>", "samples a second, where the file has no time", readAbove0)
    .option("--separator <word>", "between cells: comma, semicolon, tab, pipe, space", oneOf(separatorWords))
    .option("--decimal <word>", "in numbers: point, comma", oneOf(decimalWords))
    .option("--encoding <name>", "utf-8, utf-16le, utf-16be, windows-1252 (latin-1)", oneOf(encodingWords));
}

/** What the user already said of the file. */
export function hintsOf(options: LayoutOptions): LayoutHints {
  const { forceColumn, timeColumn, forceUnit, timeUnit, rateHz, separator, decimal, encoding, inverted } =
    options;
  const said = {
    forceColumn,
    timeColumn,
    forceUnit,
    timeUnit,
    rateHz,
    separator,
    decimal,
    encoding,
    inverted,
  };
  return Object.fromEntries(Object.entries(said).filter(([, value]) => value !== undefined)) as LayoutHints;
}

const separatorWords = {
  comma: ",",
  ",": ",",
  semicolon: ";",
  ";": ";",
  tab: "\t",
  "\t": "\t",
  "\\t": "\t",
  pipe: "|",
  "|": "|",
  space: "whitespace",
  whitespace: "whitespace",
  " ": "whitespace",
} as const satisfies Record<string, Separator>;

const decimalWords = { point: ".", ".": ".", comma: ",", ",": "," } as const;

const encodingWords = {
  "utf-8": "utf-8",
  utf8: "utf-8",
  "utf-16le": "utf-16le",
  "utf-16be": "utf-16be",
  "windows-1252": "windows-1252",
  "latin-1": "windows-1252",
  latin1: "windows-1252",
  "iso-8859-1": "windows-1252",
} as const satisfies Record<string, Encoding>;

function oneOf<T>(words: Readonly<Record<string, T>>): (text: string) => T {
  return (text) => {
    const found = Object.entries(words).find(([word]) => word === text.toLowerCase());
    if (found === undefined) throw new InvalidArgumentError(`Wanted one of: ${namesOf(words)}.`);
    return found[1];
  };
}

/** The words of a list, without the bare characters that mean the same. */
function namesOf(words: Readonly<Record<string, unknown>>): string {
  return Object.keys(words)
    .filter((word) => /^\w[\w-]*$/.test(word))
    .join(", ");
}

/** A unit of force, as an option. */
export function readForceUnit(text: string): ForceUnit {
  const own = forceUnits.find((unit) => unit.toLowerCase() === text.toLowerCase());
  const named = own ?? parseForceUnit(text)?.unit;
  if (named === undefined) throw new InvalidArgumentError(`Wanted one of: ${forceUnits.join(", ")}.`);
  return named;
}

/** A number above 0, as an option. */
export function readAbove0(text: string): number {
  const value = Number(text);
  if (text.trim() === "" || !Number.isFinite(value) || value <= 0)
    throw new InvalidArgumentError("Wanted a number above 0, such as 10 or 62.5.");
  return value;
}
