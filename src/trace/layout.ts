import type { ForceUnit, LengthUnit } from "../units/mod.ts";

/** How a text file was encoded. Latin-1 is read as its superset, windows-1252. */
export const encodings = ["utf-8", "utf-16le", "utf-16be", "windows-1252"] as const;
export type Encoding = (typeof encodings)[number];

export const separators = [",", ";", "\t", "|", "whitespace"] as const;
export type Separator = (typeof separators)[number];

/**
 * What the numbers or words of a time column mean. Elapsed and epoch columns are numbers in seconds, milliseconds or
 * microseconds; a "date-time" is ISO 8601 or a relative of it; a "time-of-day" has no date and may pass midnight.
 */
export const timeFormats = [
  "elapsed-s",
  "elapsed-ms",
  "elapsed-us",
  "epoch-s",
  "epoch-ms",
  "epoch-us",
  "date-time",
  "time-of-day",
] as const;
export type TimeFormat = (typeof timeFormats)[number];

export const dateOrders = ["ymd", "dmy", "mdy"] as const;
export type DateOrder = (typeof dateOrders)[number];

/** Where time comes from: a column, a given rate, or nowhere (the file has none and none is invented). */
export type TimeSource =
  | {
      readonly kind: "column";
      readonly column: number;
      readonly format: TimeFormat;
      /** In which order a date's numbers stand; year first where absent. */
      readonly dateOrder?: DateOrder;
    }
  | { readonly kind: "rate"; readonly hz: number }
  | { readonly kind: "none" };

/**
 * How to read one logger's files: everything that the file does not say, or that was confirmed.
 * Columns and lines count from 1, as the user counts them.
 */
export type Layout = {
  readonly encoding: Encoding;
  readonly separator: Separator;
  readonly decimal: "." | ",";
  /** Lines before the header, or before the first data row where there is no header. */
  readonly preambleLines: number;
  readonly headerRow: boolean;
  /** A row of units below the header. */
  readonly unitRow: boolean;
  /** Column names as found, or "column 3" where the file has none. */
  readonly columnNames: readonly string[];
  readonly time: TimeSource;
  readonly force: {
    readonly column: number;
    readonly unit: ForceUnit;
    /** Whether a pull is negative in the file; absent where it is told from the whole record (rule R-SIGN). */
    readonly inverted?: boolean;
  };
  readonly displacement?: { readonly column: number; readonly unit: LengthUnit };
  /** A column whose change of value starts another pull. */
  readonly segment?: { readonly column: number };
};

/** A layout as far as the program could tell by itself; the unit of force is missing where the file does not say it. */
export type DraftLayout = Omit<Layout, "force"> & {
  readonly force?: { readonly column: number; readonly unit?: ForceUnit; readonly inverted?: boolean };
  /** What is proposed and still has to be confirmed: the column of force, or the unit of the time column. */
  readonly unsure?: readonly ("force" | "time")[];
};

/** What the user (or the command line's options) already said; each overrides what the program would propose. */
export type LayoutHints = {
  readonly encoding?: Encoding;
  readonly separator?: Separator;
  readonly decimal?: "." | ",";
  /** A column by name or by number from 1. */
  readonly forceColumn?: string;
  readonly timeColumn?: string;
  readonly forceUnit?: ForceUnit;
  readonly timeUnit?: "s" | "ms" | "us";
  readonly rateHz?: number;
  readonly inverted?: boolean;
  /** The file has no time, and none is wanted: what is asked about time is answered. */
  readonly noTime?: boolean;
};

export type LayoutTopic =
  | "encoding"
  | "separator"
  | "decimal"
  | "header"
  | "unit-row"
  | "time"
  | "force"
  | "force-unit"
  | "displacement"
  | "segment";

/** Why the program proposes what it proposes, a sentence each. */
export type LayoutReason = { readonly about: LayoutTopic; readonly text: string };

/** What the file does not say and the user must: asked, never guessed. */
export type LayoutQuestion = {
  readonly about: "force" | "force-unit" | "time";
  readonly text: string;
  /** The answers to choose from: units, or column names. */
  readonly options: readonly string[];
  /** The command line's option that answers it, as in "--force-unit". */
  readonly option: string;
  /** The file can be read without the answer: then times and rates are absent. */
  readonly mayStayOpen?: boolean;
};

/** One column as it looks in the file's first rows. */
export type ColumnSketch = {
  readonly column: number;
  readonly name: string;
  readonly unit?: string;
  readonly kind: "number" | "time" | "text" | "constant" | "empty";
  readonly lowest?: number;
  readonly highest?: number;
  readonly missing: number;
  readonly examples: readonly string[];
};

/** A proposed layout with its reasons, its open questions and a look at the file. */
export type LayoutProposal = {
  readonly layout: DraftLayout;
  readonly reasons: readonly LayoutReason[];
  readonly questions: readonly LayoutQuestion[];
  readonly columns: readonly ColumnSketch[];
  readonly preview: { readonly lines: readonly string[]; readonly rows: readonly (readonly string[])[] };
};
