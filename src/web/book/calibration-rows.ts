import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { measures, typedQuantity } from "./quantity.ts";

/** A point of a certificate in newtons. */
export type Point = { readonly appliedN: number; readonly indicatedN: number };
/** A point as typed. */
export type PointRow = { readonly applied: string; readonly indicated: string };

/**
 * The points of a certificate as the form keeps them: a line for each, a tab between what was applied and what was shown.
 *
 * @example
 * pointsText([{ appliedN: 10_000, indicatedN: 10_020 }]) // "10 kN\t10.02 kN"
 */
export function pointsText(points: readonly Point[]): string {
  return points.map(({ appliedN, indicatedN }) => `${inKn(appliedN)}\t${inKn(indicatedN)}`).join("\n");
}

/** The rows of that text; a line that is not two cells keeps what it has. */
export function rowsOf(text: string): readonly PointRow[] {
  if (text === "") return [];
  return text.split("\n").map((line) => {
    const [applied = "", indicated = ""] = line.split("\t");
    return { applied, indicated };
  });
}

export function textOf(rows: readonly PointRow[]): string {
  return rows.map(({ applied, indicated }) => `${applied}\t${indicated}`).join("\n");
}

/** The points that were typed, empty rows left out; a bare number is in kilonewtons. Every wrong row is named. */
export function pointsOf(text: string, field: string): Result<readonly Point[]> {
  const points: Point[] = [];
  const problems: Problem[] = [];
  for (const [at, { applied, indicated }] of rowsOf(text).entries()) {
    if (applied.trim() === "" && indicated.trim() === "") continue;
    const pair = [applied, indicated].map((one) =>
      one.trim() === "" ? undefined : typedQuantity(one, measures.force, field),
    );
    const [one, other] = pair;
    if (one?.ok === true && other?.ok === true) points.push({ appliedN: one.value, indicatedN: other.value });
    else
      problems.push({
        code: "INPUT_FIELD",
        message: `Point ${at + 1} of the certificate is not two forces.`,
        where: { field },
        found: `${applied} and ${indicated}`,
        expected: "what was applied and what the cell showed, such as 10 kN and 10.02 kN",
      });
  }
  const [first, ...rest] = problems;
  return first === undefined ? ok(points) : refuse(first, ...rest);
}

/** To the digits that a double keeps, so that a point which nobody touched stays what it was. */
function inKn(forceN: number): string {
  return `${Number((forceN / 1000).toPrecision(12))} kN`;
}
