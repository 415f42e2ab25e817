import { type ForceUnit, type LengthUnit, lengthUnits, parseForceUnit } from "../../units/mod.ts";

export type TimeUnit = "s" | "ms" | "us";

/** A column's heading taken apart. */
export type Heading = {
  /** The heading without its unit, in lower case words. */
  readonly words: readonly string[];
  readonly unitText?: string;
  readonly forceUnit?: ForceUnit;
  /** The spelling is a habit, such as kg for kgf: worth a sentence. */
  readonly unitNote?: string;
  readonly timeUnit?: TimeUnit;
  readonly lengthUnit?: LengthUnit;
};

const timeUnits: Readonly<Record<string, TimeUnit>> = {
  ...{ s: "s", sec: "s", secs: "s", second: "s", seconds: "s", sek: "s", sekunden: "s" },
  ...{
    ms: "ms",
    msec: "ms",
    msecs: "ms",
    millis: "ms",
    millisec: "ms",
    millisecond: "ms",
    milliseconds: "ms",
  },
  ...{ us: "us", µs: "us", μs: "us", usec: "us", micros: "us", microsecond: "us", microseconds: "us" },
};

/** Units of other quantities, so that a row of units is known for one: common practice, no published source. */
const otherUnits = new Set(
  "v mv µv mv/v a ma °c c °f f k % bar mbar psi pa kpa mpa hpa rpm hz khz deg ° rad m/s mm/s mm/min in/min με µε ue um µm nm kg/m nm n·m - min h counts count raw dbm g/cm3 w kw j".split(
    " ",
  ),
);

/**
 * Takes a heading apart: "Force (kN)", "Load [lbf]", "t/ms", "F_kN", "force_N", "time_ms", "Kraft in N", "forceN".
 * A cell of a unit row, where there is one, says the unit instead.
 */
export function readHeading(heading: string, unitCell?: string): Heading {
  const text = heading.replace(/^[#%]\s*/, "").trim();
  const bracketed = /^(.*?)[\s_]*[[({<]\s*([^\])}>]+?)\s*[\])}>]\s*$/.exec(text);
  const [name, inName] = bracketed === null ? splitTail(text) : [bracketed[1] ?? "", bracketed[2]];
  const words = wordsOf(name);
  const fromCell =
    unitCell === undefined ? undefined : unitCell.replace(/^[[({<]\s*|\s*[\])}>]$/g, "").trim();
  const unitText = fromCell === undefined || fromCell === "" ? inName : fromCell;
  if (unitText === undefined || unitText === "") return { words, ...impliedTime(words), ...bareUnit(text) };
  return { words, unitText, ...unitsIn(unitText, words) };
}

/** Whether the cells of a row could be a row of units: every one a unit or empty, and at least one a unit. */
export function isUnitRow(cells: readonly string[]): boolean {
  const plain = cells.map((cell) => cell.replace(/^[[({<]\s*|\s*[\])}>]$/g, "").trim());
  const filled = plain.filter((cell) => cell !== "");
  const isUnit = (cell: string) =>
    timeUnits[cell.toLowerCase()] !== undefined ||
    parseForceUnit(cell) !== undefined ||
    lengthUnits.some((unit) => unit === cell) ||
    otherUnits.has(cell.toLowerCase()) ||
    /^[a-z]{1,4}:[a-z:.]+$/i.test(cell); // "hh:mm:ss.000"
  return filled.length > 0 && filled.every(isUnit) && filled.some((cell) => cell !== "-");
}

/** Whether a heading speaks of something that a logger measures or counts. */
export function isMeasured(heading: string): boolean {
  const { words, unitText } = readHeading(heading);
  return (
    unitText !== undefined ||
    [timeWords, forceWords, otherWords, rawWords, counterWords].some((list) => hasWord(words, list))
  );
}

function unitsIn(unitText: string, words: readonly string[]): Omit<Heading, "words" | "unitText"> {
  const timeUnit = timeUnits[unitText.toLowerCase()];
  if (timeUnit !== undefined && !/^S$/.test(unitText)) return { timeUnit };
  const lengthUnit = lengthUnits.find((unit) => unit === unitText);
  if (lengthUnit !== undefined) return { lengthUnit };
  const force = parseForceUnit(unitText);
  // "m", "g" and "t" also mean other things: next to a word for force they are units of force.
  if (force === undefined || (unitText.length === 1 && !force.exact && !hasWord(words, forceWords)))
    return {};
  return { forceUnit: force.unit, ...(force.note === undefined ? {} : { unitNote: force.note }) };
}

/** "time_ms", "F_kN", "t/ms", "Force, kN", "Kraft in N", "forceN". */
function splitTail(text: string): [name: string, unit: string | undefined] {
  const [, name = "", tail = ""] = /^(.*?)(?:[\s_/,;:.-]+|\s+in\s+)([^\s_/,;:.\d-]+)$/u.exec(text) ?? [];
  if (name !== "" && isTailUnit(tail, name)) return [name.replace(/\s+in$/, ""), tail];
  const [, start = "", end = ""] =
    /^(time|elapsed|force|load|kraft|tension|thrust|weight)(Ms|Us|Sec|N|KN|kN|Kg|Kgf|Lbf|Lbs)$/.exec(text) ??
    [];
  return start === ""
    ? [text, undefined]
    : [start, end === "KN" ? "kN" : end.replace(/^[LMUS]|^K(?=g)/, (c) => c.toLowerCase())];
}

function isTailUnit(tail: string, name: string): boolean {
  if (timeUnits[tail.toLowerCase()] !== undefined && tail !== "S") return true;
  if (lengthUnits.some((unit) => unit === tail))
    return tail.length > 1 || !hasWord(wordsOf(name), forceWords);
  const force = parseForceUnit(tail);
  if (force === undefined) return false;
  return force.exact || tail.length > 1 || hasWord(wordsOf(name), forceWords);
}

/** A heading that is nothing but a unit of force: "kN", "lbf", "kg". A lone "g" or "t" may be anything. */
function bareUnit(text: string): { unitText?: string; forceUnit?: ForceUnit; unitNote?: string } {
  const force = parseForceUnit(text);
  if (force === undefined || /\s/.test(text) || (text.length === 1 && !force.exact)) return {};
  return {
    unitText: text,
    forceUnit: force.unit,
    ...(force.note === undefined ? {} : { unitNote: force.note }),
  };
}

function impliedTime(words: readonly string[]): { timeUnit?: TimeUnit } {
  if (words.includes("millis")) return { timeUnit: "ms" };
  if (words.includes("micros")) return { timeUnit: "us" };
  return words.length === 1 && /^(?:sec|secs|seconds)$/.test(words[0] ?? "") ? { timeUnit: "s" } : {};
}

function wordsOf(name: string): string[] {
  return name
    .replace(/([a-zäöü])([A-ZÄÖÜ])/g, "$1 $2")
    .toLowerCase()
    .split(/[^\p{L}\d#]+/u)
    .filter((word) => word !== "");
}

export function hasWord(words: readonly string[], list: ReadonlySet<string>): boolean {
  return words.some((word) => list.has(word) || list.has(word.replace(/\d+$/, "")));
}

const listOf = (text: string): ReadonlySet<string> => new Set(text.split(" "));

// Words for a column's part, in the languages of the loggers that were seen: common practice, no published source.
export const timeWords = listOf(
  "time t elapsed zeit temps tijd tid tiempo tempo timestamp stamp datetime date datum clock uhrzeit millis micros sec secs seconds zeitstempel epoch unix",
);
export const forceWords = listOf(
  "force f load kraft thrust tension weight loadcell cell zugkraft zug last belastung fuerza fuerza carga effort kracht newton newtons crane scale strength kn lbf kgf",
);
/** Words that speak against force even beside one of the words above, as in "load cell temperature". */
export const otherWords = listOf(
  "displacement disp position pos travel extension ext stroke weg elongation temp temperature temperatur tilt angle volt voltage battery batt humidity pressure druck speed velocity rpm strain height diam diameter lat lon latitude longitude current status flag rate stiffness stress gps altitude distance length",
);
export const rawWords = listOf("raw adc mv ratio volts bits digits");
export const counterWords = listOf(
  "index idx # no nr n number sample samples row scan point count counter record seq i id packet line zeile",
);
export const displacementWords = listOf(
  "displacement disp travel extension ext stroke weg elongation position pos crosshead pin ram",
);
export const segmentWords = listOf("pull test trial run specimen segment versuch probe shot");
