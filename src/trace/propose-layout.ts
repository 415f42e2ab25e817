import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { type ForceUnit, forceUnits, parseForceUnit } from "../units/mod.ts";
import { splitCells } from "./cells.ts";
import { chooseColumn } from "./choose-column.ts";
import { type Dialect, findDialect, hasLeadingZeros } from "./dialect.ts";
import { proseProblem } from "./file-kind.ts";
import { findForce } from "./find-force.ts";
import { type FoundTime, findTime, timeFrom } from "./find-time.ts";
import { displacementWords, hasWord, segmentWords } from "./header-words.ts";
import type {
  DraftLayout,
  LayoutHints,
  LayoutProposal,
  LayoutQuestion,
  LayoutReason,
  LayoutTopic,
  Separator,
} from "./layout.ts";
import { headerOnly } from "./parse-recording.ts";
import { readHead } from "./read-head.ts";
import { type Column, isNumeric, sketchColumn } from "./sketch.ts";

/** Rows of the head that are looked at. */
const mostRows = 2000;
const previewLines = 12;
const previewRows = 8;

export type ProposeOptions = {
  readonly hints?: LayoutHints;
  /** The file's size, where `head` is only its beginning. */
  readonly totalBytes?: number;
  readonly fileName?: string;
};

/**
 * Proposes how a logger's file is to be read: encoding, separator, decimal mark, header, columns of time and force and
 * their units, each with a reason. What the file does not say is asked and never guessed: the unit of force, the unit of
 * a time column whose steps do not tell, and time itself where there is none.
 *
 * @param head the file's first bytes, up to `layoutHeadBytes`; it may end in the middle of a row or a character.
 * @returns the draft with its open questions, or why the file is no recording, or which hint does not fit it.
 *
 * @example
 * const proposal = proposeLayout(new TextEncoder().encode("time_s,force_kN\n0,0\n0.1,1.5\n0.2,3.1\n"));
 * proposal.ok && proposal.value.layout.force // { column: 2, unit: "kN", inverted: false }
 */
export function proposeLayout(head: Uint8Array, options: ProposeOptions = {}): Result<LayoutProposal> {
  const hints = options.hints ?? {};
  const read = readHead(head, {
    ...(hints.encoding === undefined ? {} : { encoding: hints.encoding }),
    ...(options.totalBytes === undefined ? {} : { totalBytes: options.totalBytes }),
    ...(options.fileName === undefined ? {} : { fileName: options.fileName }),
  });
  if (!read.ok) return read;
  const { lines, encoding, encodingReason } = read.value;
  const dialect = findDialect(lines, hints);
  if (dialect === undefined) return refuse(whyNoDialect(lines, hints));
  const ambiguity = ambiguousCommas(dialect, lines);
  if (ambiguity !== undefined) return refuse(ambiguity);

  const rows = dataRows(lines, dialect);
  const names = columnNames(lines, dialect);
  const unitCells =
    dialect.unitRow === undefined ? [] : splitCells(lines[dialect.unitRow] as string, dialect.separator);
  const columns = names.map((name, at) =>
    sketchColumn(
      at + 1,
      name,
      unitCells[at],
      rows.map((row) => row[at] ?? ""),
      dialect.decimal,
    ),
  );
  const reasons: LayoutReason[] = [
    { about: "encoding", text: encodingReason },
    ...dialectReasons(dialect, lines, hints),
  ];
  const preamble = lines.slice(0, dialect.header ?? dialect.firstRow);
  const time = timeOf(columns, preamble, hints);
  if (!time.ok) return time;
  reasons.push(...time.value.reasons.map((text) => reason("time", text)));
  const timeColumn = time.value.source.kind === "column" ? time.value.source.column : undefined;
  const force = forceOf(columns, timeColumn, preamble, hints);
  if (!force.ok) return force;
  reasons.push(...force.value.reasons);
  const { column, unit, rivals, inverted } = force.value;
  const extras = extraColumns(columns, [timeColumn, column?.sketch.column], reasons);
  const unsure = [
    ...(rivals.length > 0 ? (["force"] as const) : []),
    ...(time.value.unitUnsure ? (["time"] as const) : []),
  ];
  const layout: DraftLayout = {
    encoding,
    separator: dialect.separator,
    decimal: dialect.decimal,
    preambleLines: dialect.header ?? dialect.firstRow,
    headerRow: dialect.header !== undefined,
    unitRow: dialect.unitRow !== undefined,
    columnNames: names,
    time: time.value.source,
    ...(column === undefined
      ? {}
      : { force: { column: column.sketch.column, ...(unit === undefined ? {} : { unit }), inverted } }),
    ...extras,
    ...(unsure.length === 0 ? {} : { unsure }),
  };
  return ok({
    layout,
    reasons,
    questions: questionsAbout(layout, columns, rivals, hints),
    columns: columns.map(({ sketch }) => sketch),
    preview: { lines: lines.slice(0, previewLines), rows: rows.slice(0, previewRows) },
  });
}

/** The question about the unit of force, for any column. */
export function unitQuestion(name: string): LayoutQuestion {
  return {
    about: "force-unit",
    text: `In which unit is the force in column ${JSON.stringify(name)}? The file does not say.`,
    options: forceUnits,
    option: "--force-unit",
  };
}

function reason(about: LayoutTopic, text: string): LayoutReason {
  return { about, text };
}

function whyNoDialect(lines: readonly string[], hints: LayoutHints): Problem {
  if (
    (hints.separator !== undefined || hints.decimal !== undefined) &&
    findDialect(lines, {}) !== undefined
  ) {
    const said = [hints.separator, hints.decimal]
      .filter((hint) => hint !== undefined)
      .map((hint) => JSON.stringify(hint));
    return {
      code: "TRACE_HINT",
      message: `Read with ${said.join(" and ")} the file has no columns of numbers.`,
      found: lines.find((line) => /\d/.test(line))?.slice(0, 120) ?? "",
      expected: "a separator and a decimal mark that the file has",
      wayOut: "Leave out --separator and --decimal, and they are found.",
    };
  }
  const filled = lines.filter((line) => line.trim() !== "");
  // A heading is short words in cells; a sentence is neither.
  const isHeading = (line: string) =>
    !/[.!?](?:\s|$)|[<{]/.test(line) &&
    line.split(/[,;\t|]/).every((cell) => cell.trim().split(/\s+/).length <= 5);
  const looksLikeHeader =
    filled.length <= 3 && filled.every(isHeading) && filled.some((line) => /[,;\t|]/.test(line));
  return looksLikeHeader ? headerOnly : proseProblem(lines);
}

/** "12,4,13,5": commas between cells and within them. Two headings over four cells, or cells such as "05", show it. */
function ambiguousCommas(dialect: Dialect, lines: readonly string[]): Problem | undefined {
  if (dialect.separator !== "," || dialect.decimal !== ".") return undefined;
  const row = lines[dialect.firstRow] as string;
  const whole = splitCells(row, ",").every((cell) => /^[+-]?\d*$/.test(cell));
  if (!whole || row.includes('"')) return undefined;
  const above = lines
    .slice(0, dialect.firstRow)
    .findLast((line) => line.trim() !== "" && /[a-z]/i.test(line));
  const named = above === undefined ? 0 : splitCells(above, ",").length;
  const tooFew = named >= 1 && named < dialect.columns && dialect.columns <= 2 * named;
  if (!tooFew && !hasLeadingZeros(dialect, lines)) return undefined;
  return {
    code: "TRACE_AMBIGUOUS",
    message: "Commas stand between the cells and within the numbers, so which is which cannot be told.",
    where: { line: dialect.firstRow + 1, text: row.slice(0, 120) },
    found: row.slice(0, 120),
    expected:
      named > 0 ? `${named} cells, as the header has` : "one mark between cells and another within numbers",
    wayOut: "Export again with a semicolon or a tab between the cells, or with decimal points.",
  };
}

function dataRows(lines: readonly string[], { firstRow, separator }: Dialect): string[][] {
  const rows: string[][] = [];
  for (let index = firstRow; index < lines.length && rows.length < mostRows; index++) {
    const cells = splitCells(lines[index] as string, separator);
    if (cells.some((cell) => cell !== "")) rows.push(cells);
  }
  return rows;
}

function columnNames(lines: readonly string[], { header, columns, separator }: Dialect): string[] {
  const line = header === undefined ? "" : (lines[header] as string).replace(/^\s*[#%]\s*/, "");
  let cells = header === undefined ? [] : splitCells(line, separator);
  if (separator === "whitespace" && cells.length > columns) cells = regroup(line, columns);
  return Array.from({ length: columns }, (_, at) => {
    const name = cells[at] ?? "";
    return name === "" ? `column ${at + 1}` : name;
  });
}

/** "Time (s)   Force (kN)": a unit in brackets belongs to the word before it; else two blanks part the headings. */
function regroup(line: string, columns: number): string[] {
  const joined = line
    .trim()
    .replace(/\s+([([])/g, "\u00a0$1")
    .split(/[ \t]+/);
  if (joined.length === columns) return joined.map((cell) => cell.replace(/\u00a0/g, " "));
  const wide = line.trim().split(/ {2,}|\t+/);
  return wide.length === columns ? wide : [];
}

const separatorNames: Readonly<Record<Separator, string>> = {
  ",": "commas",
  ";": "semicolons",
  "\t": "tabs",
  "|": "bars",
  whitespace: "blanks",
};

function dialectReasons(dialect: Dialect, lines: readonly string[], hints: LayoutHints): LayoutReason[] {
  const { separator, decimal, columns, header, unitRow, firstRow, score } = dialect;
  const percent = `${Math.round(100 * score)} %`;
  const said = ", as you said";
  const reasons = [
    reason(
      "separator",
      columns === 1
        ? "The rows have one cell each."
        : `${columns} cells a row, parted by ${separatorNames[separator]}${hints.separator === undefined ? `: so ${percent} of the cells read as numbers or times` : said}.`,
    ),
    reason(
      "decimal",
      `Decimal ${decimal === "," ? "commas" : "points"}${hints.decimal === undefined ? "" : said}.`,
    ),
    reason(
      "header",
      header === undefined
        ? `The first row of data is line ${firstRow + 1}; no line above it names the columns.`
        : `Line ${header + 1} names the columns: ${(lines[header] as string).trim().slice(0, 80)}`,
    ),
  ];
  if (unitRow !== undefined) reasons.push(reason("unit-row", `Line ${unitRow + 1} holds the units.`));
  return reasons;
}

function timeOf(
  columns: readonly Column[],
  preamble: readonly string[],
  hints: LayoutHints,
): Result<FoundTime> {
  if (hints.rateHz !== undefined) {
    if (!(hints.rateHz > 0 && Number.isFinite(hints.rateHz)))
      return refuse({
        code: "INPUT_FIELD",
        message: "The rate is not a number of samples a second above 0.",
        found: String(hints.rateHz),
        expected: "a number above 0, such as 100",
        wayOut: "Give the logger's rate with --rate-hz.",
      });
    return ok({
      source: { kind: "rate", hz: hints.rateHz },
      reasons: [`Time is counted at ${hints.rateHz} samples a second, as you said.`],
    });
  }
  if (hints.timeColumn !== undefined) {
    const chosen = chooseColumn(
      hints.timeColumn,
      columns.map(({ sketch }) => sketch.name),
      "--time-column",
    );
    if (!chosen.ok) return chosen;
    const column = columns[chosen.value - 1] as Column;
    const found = timeFrom(column, hints.timeUnit);
    if (found === undefined) return refuse(notOf("time", column, "--time-column"));
    return ok({
      ...found,
      reasons: [`${JSON.stringify(column.sketch.name)} is the time, as you said.`, ...found.reasons],
    });
  }
  if (hints.noTime === true)
    return ok({ source: { kind: "none" }, reasons: ["The file is read without time, as you said."] });
  const found = findTime(columns, hints.timeUnit);
  if (found.source.kind !== "none") return ok(found);
  const rate = rateIn(preamble);
  if (rate === undefined) return ok(found);
  return ok({
    source: { kind: "rate", hz: rate.hz },
    reasons: [`Time is counted at ${rate.hz} samples a second: line ${rate.line} says so.`],
  });
}

/** "Sample rate;100 Hz" above the rows. */
function rateIn(preamble: readonly string[]): { hz: number; line: number } | undefined {
  for (const [at, line] of preamble.entries()) {
    const found = /(?:sampl|rate|freq|abtast)[^\d]*?(\d+(?:[.,]\d+)?)\s*(k?)Hz\b/i.exec(line);
    const hz = Number(found?.[1]?.replace(",", ".")) * (found?.[2] === "" ? 1 : 1000);
    if (found !== null && hz > 0) return { hz, line: at + 1 };
  }
  return undefined;
}

type ChosenForce = {
  readonly column?: Column;
  readonly unit?: ForceUnit;
  readonly rivals: readonly Column[];
  readonly inverted: boolean;
  readonly reasons: readonly LayoutReason[];
};

function forceOf(
  columns: readonly Column[],
  timeColumn: number | undefined,
  preamble: readonly string[],
  hints: LayoutHints,
): Result<ChosenForce> {
  let column: Column;
  let rivals: readonly Column[] = [];
  const reasons: LayoutReason[] = [];
  if (hints.forceColumn === undefined) {
    const found = findForce(columns, timeColumn);
    if (found === undefined) return refuse(noForce(columns));
    ({ column, rivals } = found);
    reasons.push(...found.reasons.map((text) => reason("force", text)));
  } else {
    const chosen = chooseColumn(
      hints.forceColumn,
      columns.map(({ sketch }) => sketch.name),
      "--force-column",
    );
    if (!chosen.ok) return chosen;
    column = columns[chosen.value - 1] as Column;
    if (!isNumeric(column) && column.sketch.kind !== "empty")
      return refuse(notOf("force", column, "--force-column"));
    if (chosen.value === timeColumn)
      return refuse({
        code: "TRACE_HINT",
        message: `Column ${JSON.stringify(column.sketch.name)} runs as time does and cannot be the force as well.`,
        found: column.sketch.name,
        expected: "two different columns for time and force",
        wayOut: "Name the column of force with --force-column, or another one for time with --time-column.",
      });
    reasons.push(reason("force", `${JSON.stringify(column.sketch.name)} is the force, as you said.`));
  }
  const stated = column.heading.forceUnit ?? unitIn(preamble);
  const unit = hints.forceUnit ?? stated;
  if (hints.forceUnit !== undefined)
    reasons.push(
      reason(
        "force-unit",
        stated === undefined || stated === hints.forceUnit
          ? `The force is in ${hints.forceUnit}, as you said.`
          : `The force is read as ${hints.forceUnit}, as you said, although the file says ${stated}.`,
      ),
    );
  else if (column.heading.forceUnit !== undefined)
    reasons.push(
      reason(
        "force-unit",
        `The heading says ${column.heading.unitText ?? unit}${column.heading.unitNote === undefined ? "" : `; ${column.heading.unitNote}`}.`,
      ),
    );
  else if (stated !== undefined)
    reasons.push(reason("force-unit", `A line above the header says ${stated}.`));
  const { lowest = 0, highest = 0 } = column.sketch;
  const pullsDown =
    -lowest > 3 * Math.max(highest, 0) && -lowest > 0 && hints.inverted === undefined && risesDown(column);
  if (pullsDown) reasons.push(reason("force", "Its load is negative; the sign is turned round."));
  return ok({
    column,
    ...(unit === undefined ? {} : { unit }),
    rivals,
    inverted: hints.inverted ?? pullsDown,
    reasons,
  });
}

/** A load that pulls down moves away from where it started; an offset stays where it is. */
function risesDown({ values, sketch }: Column): boolean {
  const first = values.find((value) => !Number.isNaN(value)) ?? 0;
  const { lowest = 0, highest = 0 } = sketch;
  return first - lowest > 3 * (highest - first);
}

/** "Unit: kN" above the rows. */
function unitIn(preamble: readonly string[]): ForceUnit | undefined {
  for (const line of preamble) {
    const found = /\b(?:force|load|kraft)?\s*(?:units?|einheit)\b[\s:;=,"\t]+([\p{L}-]+)/iu.exec(line);
    const unit = found?.[1] === undefined ? undefined : parseForceUnit(found[1]);
    if (unit !== undefined) return unit.unit;
  }
  return undefined;
}

function noForce(columns: readonly Column[]): Problem {
  const examples = columns
    .flatMap(({ sketch }) => (sketch.kind === "text" ? sketch.examples : []))
    .slice(0, 3);
  const thousands = examples.some((text) => /^[+-]?\d{1,3}(?:[ '.,\u00a0]\d{3})+(?:[.,]\d+)?$/.test(text));
  return {
    code: "TRACE_FORCE_ASKED",
    message: "No column looks like a force: besides time there are no numbers that could be one.",
    found: columns
      .map(({ sketch }) => `${sketch.name} (${sketch.kind})`)
      .slice(0, 10)
      .join(", "),
    expected: "a column of numbers that rise and fall",
    wayOut: thousands
      ? "Thousands marks are not guessed: export the numbers without them."
      : "Name the column of force with --force-column.",
  };
}

function notOf(what: "time" | "force", { sketch }: Column, option: string): Problem {
  return {
    code: "TRACE_HINT",
    message: `Column ${JSON.stringify(sketch.name)} cannot be the ${what}: its cells are not ${what === "time" ? "times" : "numbers"}.`,
    where: { column: sketch.name },
    found: sketch.examples.join(", "),
    expected: what === "time" ? "numbers that do not fall, or stamps" : "numbers",
    wayOut: `Name another column with ${option}.`,
  };
}

/** Displacement where its unit is known, and a column that parts the pulls. */
function extraColumns(
  columns: readonly Column[],
  taken: readonly (number | undefined)[],
  reasons: LayoutReason[],
) {
  const free = columns.filter(({ sketch }) => !taken.includes(sketch.column));
  const displacement = free.find(
    (column) =>
      isNumeric(column) &&
      column.heading.lengthUnit !== undefined &&
      column.sketch.kind === "number" &&
      hasWord(column.heading.words, displacementWords),
  );
  const segment = free.find(
    (column) => hasWord(column.heading.words, segmentWords) && stepsThroughPulls(column),
  );
  const unit = displacement?.heading.lengthUnit;
  if (displacement !== undefined)
    reasons.push(
      reason("displacement", `${JSON.stringify(displacement.sketch.name)} is the displacement, in ${unit}.`),
    );
  if (segment !== undefined)
    reasons.push(
      reason("segment", `Each change in ${JSON.stringify(segment.sketch.name)} starts another pull.`),
    );
  return {
    ...(displacement === undefined || unit === undefined
      ? {}
      : { displacement: { column: displacement.sketch.column, unit } }),
    ...(segment === undefined ? {} : { segment: { column: segment.sketch.column } }),
  };
}

/** Filled throughout, changed now and then, and never back to a value that was there before. */
function stepsThroughPulls({ cells, sketch }: Column): boolean {
  if (sketch.kind === "empty" || sketch.missing > 0) return false;
  const seen = new Set<string>();
  let last: string | undefined;
  for (const cell of cells) {
    if (cell === last) continue;
    if (seen.has(cell)) return false;
    seen.add(cell);
    last = cell;
  }
  return seen.size <= Math.max(1, cells.length / 20);
}

function questionsAbout(
  layout: DraftLayout,
  columns: readonly Column[],
  rivals: readonly Column[],
  hints: LayoutHints,
): LayoutQuestion[] {
  const questions: LayoutQuestion[] = [];
  const nameOf = (column: number) => columns[column - 1]?.sketch.name ?? `column ${column}`;
  if (layout.force !== undefined && rivals.length > 0)
    questions.push({
      about: "force",
      text: `Which column is the force? ${JSON.stringify(nameOf(layout.force.column))} is proposed.`,
      options: [nameOf(layout.force.column), ...rivals.map(({ sketch }) => sketch.name)],
      option: "--force-column",
    });
  if (layout.force !== undefined && layout.force.unit === undefined)
    questions.push(unitQuestion(nameOf(layout.force.column)));
  if (layout.time.kind === "column" && layout.unsure?.includes("time"))
    questions.push({
      about: "time",
      text: `In which unit is the time in column ${JSON.stringify(nameOf(layout.time.column))}? The file does not say.`,
      options: ["s", "ms", "us"],
      option: "--time-unit",
    });
  if (layout.time.kind === "none" && hints.noTime !== true)
    questions.push({
      about: "time",
      text: "The file has no time. At how many samples a second did the logger run? Without it there are rows, and no rates.",
      options: ["no time"],
      option: "--rate-hz",
      mayStayOpen: true,
    });
  return questions;
}
