import type { Problem } from "../../problem/mod.ts";
import { forceUnits } from "../../units/mod.ts";
import type {
  ColumnSketch,
  DraftLayout,
  LayoutHints,
  LayoutQuestion,
  LayoutReason,
  LayoutTopic,
  Separator,
} from "../layout.ts";
import type { Dialect } from "./dialect.ts";

export function reason(about: LayoutTopic, text: string): LayoutReason {
  return { about, text };
}

const separatorNames: Readonly<Record<Separator, string>> = {
  ",": "commas",
  ";": "semicolons",
  "\t": "tabs",
  "|": "bars",
  whitespace: "blanks",
};

/** Why the rows are cut as they are. */
export function dialectReasons(
  dialect: Dialect,
  lines: readonly string[],
  hints: LayoutHints,
): LayoutReason[] {
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

/** What the draft leaves open, in the order in which it matters. */
export function questionsAbout(
  layout: DraftLayout,
  rivals: readonly string[],
  hints: LayoutHints,
): LayoutQuestion[] {
  const questions: LayoutQuestion[] = [];
  const nameOf = (column: number) => layout.columnNames[column - 1] ?? `column ${column}`;
  if (layout.force !== undefined && rivals.length > 0)
    questions.push({
      about: "force",
      text: `Which column is the force? ${JSON.stringify(nameOf(layout.force.column))} is proposed.`,
      options: [nameOf(layout.force.column), ...rivals],
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

/** The question about the unit of force, for any column. */
function unitQuestion(name: string): LayoutQuestion {
  return {
    about: "force-unit",
    text: `In which unit is the force in column ${JSON.stringify(name)}? The file does not say.`,
    options: forceUnits,
    option: "--force-unit",
  };
}

/** The refusal of a column that was named and holds something else. */
export function wrongColumn(what: "time" | "force", sketch: ColumnSketch, option: string): Problem {
  return {
    code: "TRACE_HINT",
    message: `Column ${JSON.stringify(sketch.name)} cannot be the ${what}: its cells are not ${what === "time" ? "times" : "numbers"}.`,
    where: { column: sketch.name },
    found: sketch.examples.join(", "),
    expected: what === "time" ? "numbers that do not fall, or stamps" : "numbers",
    wayOut: `Name another column with ${option}.`,
  };
}
