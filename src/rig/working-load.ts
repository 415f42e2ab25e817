import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import type { Newtons } from "../units/mod.ts";

/**
 * The load that a stated lower bound of strength comes down to when it is divided by a design factor.
 *
 * @param boundN a stated lower bound of strength, above 0, in newtons
 * @param factor the design factor, 1 or more
 * @returns the load in newtons, never called safe: it holds no bend, no shock, no wear, no time
 *
 * Refused where the bound is not above 0 (a bound below zero says only that there are too few pulls) and where the
 * factor is below 1 or not finite.
 *
 * Formula: bound / factor. Source: common practice, no published source for connectors of a maker's own.
 *
 * @example
 * workingLoad(30_000 as Newtons, 5) // { ok: true, value: 6000, warnings: [] }
 */
export function workingLoad(boundN: Newtons, factor: number): Result<Newtons> {
  const problems: Problem[] = [];
  if (!(boundN > 0 && Number.isFinite(boundN))) {
    problems.push({
      code: "INPUT_FIELD",
      message: "A working load needs a lower bound of strength above 0.",
      where: { field: "boundN" },
      found: String(boundN),
      expected: "a force above 0 N",
      wayOut:
        "A bound at or below 0 means that the pulls are too few or too scattered to state one: pull more.",
    });
  }
  if (!(factor >= 1 && Number.isFinite(factor))) {
    problems.push({
      code: "INPUT_FIELD",
      message: "A design factor makes the load smaller than the strength.",
      where: { field: "factor" },
      found: String(factor),
      expected: "a number of 1 or more",
      wayOut: "Take the factor that your own field's code or authority asks for.",
    });
  }
  const [first, ...others] = problems;
  return first === undefined ? ok((boundN / factor) as Newtons) : refuse(first, ...others);
}
