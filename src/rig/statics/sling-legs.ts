import { ok, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfFrom } from "./fields.ts";

export type SlingLegs = {
  /** Tension in each leg that carries. */
  readonly legTensionN: number;
  /** Tension of a leg over its tension if it hung straight down. */
  readonly factor: number;
  readonly legsCounted: number;
};

/**
 * What does each leg of a lift carry, when the legs spread from the vertical?
 *
 * loadN 0 or more; legs a whole number from 1; angle from the vertical from 0 to below 90 degrees. Legs of a stiff load do not
 * share evenly: `legsCounted` says how many are counted on (all unless said; two of four is what many rules allow, from memory).
 * Formula: T = W / (n cos α); the factor 1 / cos α is 1.000, 1.155, 1.414, 2.000 at 0, 30, 45, 60 degrees. Source: statics.
 *
 * @example
 * const answer = slingLegs({ loadN: 1000, legs: 2, angleFromVerticalDeg: 60 });
 * answer.ok && answer.value.legTensionN // 1000
 */
export function slingLegs(input: {
  readonly loadN: number;
  readonly legs: number;
  readonly angleFromVerticalDeg: number;
  readonly legsCounted?: number;
}): Result<SlingLegs> {
  const { loadN, legs, angleFromVerticalDeg, legsCounted = legs } = input;
  const problems = [...problemsOfFrom(loadN, "loadN", "N")];
  for (const [field, value, most] of [
    ["legs", legs, 64],
    ["legsCounted", legsCounted, legs],
  ] as const)
    if (!(Number.isInteger(value) && value >= 1 && value <= most))
      problems.push({
        code: "RIG_IMPOSSIBLE",
        message: "A lift hangs from whole legs.",
        where: { field },
        found: String(value),
        expected: `a whole number from 1 to ${most}`,
      });
  if (!(angleFromVerticalDeg >= 0 && angleFromVerticalDeg < 90))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "Legs that run level or upward carry no load.",
      where: { field: "angleFromVerticalDeg" },
      found: String(angleFromVerticalDeg),
      expected: "from 0 to below 90 degrees",
    });
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const factor = 1 / Math.cos((angleFromVerticalDeg * Math.PI) / 180);
  return ok({ legTensionN: (loadN * factor) / legsCounted, factor, legsCounted });
}
