import { ok, type Result, refuse } from "../../problem/mod.ts";
import { normalQuantile } from "../distributions/normal.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { problemsOfShare } from "../values.ts";

export const shapes = ["normal", "t", "rectangular", "triangular", "u-shaped"] as const;
/** How a quantity scatters about its estimate. */
export type Shape = (typeof shapes)[number];

/** With fewer the tails are so long that a factor may pass the largest number; no measurement has fewer than one. */
export const fewestDegrees = 0.1;

/**
 * By what to multiply a standard uncertainty so that the interval holds the stated probability.
 *
 * probability between 0 and 1; degreesOfFreedom 0.1 or more for "t" (the shape taken where they are given, else "normal").
 * Formula: z or t at (1 + p)/2; rectangular p√3; triangular √6 (1 − √(1 − p)); u-shaped √2 sin(πp/2).
 * Source: JCGM 100:2008 (GUM), G.3 and table G.2; the bounded shapes by algebra.
 *
 * @example
 * const answer = coverageFactor({ probability: 0.95, degreesOfFreedom: 10 });
 * answer.ok && answer.value.k // 2.228…
 */
export function coverageFactor(input: {
  readonly probability: number;
  readonly degreesOfFreedom?: number;
  readonly shape?: Shape;
}): Result<{ readonly k: number }> {
  const { probability: p, degreesOfFreedom } = input;
  const shape = input.shape ?? (degreesOfFreedom === undefined ? "normal" : "t");
  const [problem] = problemsOfShare(p, "probability");
  if (problem !== undefined) return refuse(problem);
  if (shape === "rectangular") return ok({ k: p * Math.sqrt(3) });
  if (shape === "triangular") return ok({ k: Math.sqrt(6) * (1 - Math.sqrt(1 - p)) });
  if (shape === "u-shaped") return ok({ k: Math.SQRT2 * Math.sin((Math.PI * p) / 2) });
  if (shape === "normal" || degreesOfFreedom === Number.POSITIVE_INFINITY)
    return ok({ k: normalQuantile(0.5 + p / 2) });
  if (degreesOfFreedom !== undefined && degreesOfFreedom >= fewestDegrees)
    return ok({ k: studentTQuantile(0.5 + p / 2, degreesOfFreedom) });
  return refuse({
    code: "STAT_TOO_FEW",
    message: `Student's t needs ${fewestDegrees} degrees of freedom or more.`,
    where: { field: "degreesOfFreedom" },
    found: String(degreesOfFreedom),
    expected: `${fewestDegrees} or more`,
  });
}
