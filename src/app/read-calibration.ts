import { z } from "zod";
import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import type { CalibrationPoint } from "../trace/mod.ts";
import { forceUnits, fromForceUnit, parseForceUnit } from "../units/mod.ts";
import { checkInput } from "./check-input.ts";
import type { PastedCalibration } from "./contract.ts";

/** A certificate has some ten points; what has more lines than this is no certificate. */
const mostLines = 1001;

/** A table of two columns as text; the units are said here or in its header. */
export const pastedFields = z.object({
  text: z.string().min(1).max(100_000),
  appliedUnit: z.enum(forceUnits).optional(),
  indicatedUnit: z.enum(forceUnits).optional(),
});

/**
 * Reads the points of a load cell's certificate from pasted text: two columns, the applied force and what the cell
 * showed of it, with commas, semicolons or tabs between. A unit comes from the header, as in "applied (kN);shown (lbf)",
 * or is said beside; what is said counts. Where a semicolon or a tab separates, a decimal comma is a decimal comma.
 *
 * Result: points in newtons in the order of the text, and the units. Every line that cannot be read is a problem of its
 * own. A unit that neither is said nor stands in the header is asked for, never guessed.
 *
 * @example
 * readCalibration({ text: "applied kN;shown kN\n10;10,02\n20;20,05" })
 * // 2 points, the first { appliedN: 10_000, indicatedN: 10_020 }
 */
export function readCalibration(input: unknown): Result<PastedCalibration> {
  const checked = checkInput(pastedFields, input);
  if (!checked.ok) return checked;
  const { text } = checked.value;
  const lines = text
    .split(/\r\n|\r|\n/)
    .map((line, place) => ({ line: place + 1, text: line.trim() }))
    .filter((line) => line.text !== "");
  if (lines.length > mostLines)
    return refuse(tableProblem(`${lines.length} lines`, `at most ${mostLines - 1} points`));
  const separator = [";", "\t", ","].find((one) => lines.every((line) => line.text.includes(one)));
  if (separator === undefined)
    return refuse(
      tableProblem(
        lines[0]?.text ?? "",
        "two columns in each line, with a semicolon, a tab or a comma between them",
      ),
    );
  const table = lines.map((line) => ({
    ...line,
    cells: line.text.split(separator).map((cell) => cell.trim()),
  }));
  const [first] = table;
  const header = first?.cells.some((cell) => numberIn(cell, separator) === undefined) ? first : undefined;
  const headings = [parseForceUnit(header?.cells[0] ?? ""), parseForceUnit(header?.cells[1] ?? "")] as const;
  const appliedUnit = checked.value.appliedUnit ?? headings[0]?.unit;
  const indicatedUnit = checked.value.indicatedUnit ?? headings[1]?.unit;
  const problems: Problem[] = [
    ...(appliedUnit === undefined ? [unitAsked("appliedUnit", header?.text)] : []),
    ...(indicatedUnit === undefined ? [unitAsked("indicatedUnit", header?.text)] : []),
  ];
  const points: CalibrationPoint[] = [];
  for (const row of table) {
    if (row === header) continue;
    const [applied, indicated] = row.cells.map((cell) => numberIn(cell, separator));
    if (row.cells.length !== 2 || applied === undefined || indicated === undefined)
      problems.push(lineProblem(row.line, row.text));
    else if (appliedUnit !== undefined && indicatedUnit !== undefined)
      points.push({
        appliedN: fromForceUnit(applied, appliedUnit),
        indicatedN: fromForceUnit(indicated, indicatedUnit),
      });
  }
  if (header !== undefined && table.length === 1)
    problems.push(tableProblem(header.text, "at least one line with two numbers below the header"));
  if (problems.length > 0 || appliedUnit === undefined || indicatedUnit === undefined)
    return { ok: false, problems };
  const guessed = [
    checked.value.appliedUnit === undefined ? headings[0]?.note : undefined,
    checked.value.indicatedUnit === undefined ? headings[1]?.note : undefined,
  ].filter((note) => note !== undefined);
  return ok(
    { points, appliedUnit, indicatedUnit },
    guessed.map((note) => ({
      code: "INPUT_DOUBT",
      message: `In the heading ${note}.`,
      where: { field: "text" },
    })),
  );
}

function numberIn(cell: string, separator: string): number | undefined {
  const text = separator === "," ? cell : cell.replace(/^([-+]?\d+),(\d+)$/, "$1.$2");
  return /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(text) ? Number(text) : undefined;
}

function unitAsked(field: "appliedUnit" | "indicatedUnit", header: string | undefined): Problem {
  return {
    code: "INPUT_FIELD",
    message: `The unit of the ${field === "appliedUnit" ? "applied" : "indicated"} force is not said.`,
    where: { field },
    ...(header === undefined ? {} : { found: header }),
    expected: `one of ${forceUnits.join(", ")}, here or in the heading of its column`,
  };
}

function lineProblem(line: number, text: string): Problem {
  return {
    code: "INPUT_FIELD",
    message: "This line does not hold two numbers.",
    where: { field: "text", line, text: text.slice(0, 200) },
    found: text.slice(0, 80),
    expected: "the applied force and what the cell showed of it",
  };
}

function tableProblem(found: string, expected: string): Problem {
  return {
    code: "INPUT_FIELD",
    message: `The points of a calibration are wanted here: ${expected}.`,
    where: { field: "text" },
    found: found.slice(0, 80),
    expected,
  };
}
