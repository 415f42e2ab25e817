import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";

export type WorseLoss = {
  /** Share of the rope's strength that is left. */
  readonly retention: number;
  readonly because: "termination" | "bend" | "neither";
};

/**
 * What is left of a rope's strength at its end and over its bend? The worse of the two counts; they are not multiplied.
 *
 * termination and bend: shares of strength that each alone leaves, above 0, up to 1. Formula: the smaller. Source: marine
 * lifting guideline 0027/ND revision 11 (2016), sections 7.6.1 and 7.7.2: termination and bend factors are not applied at once,
 * the one that leaves less governs.
 *
 * @example
 * const answer = worseLoss({ termination: 0.9, bend: 0.7 });
 * answer.ok && answer.value // { retention: 0.7, because: "bend" }
 */
export function worseLoss(input: { readonly termination: number; readonly bend: number }): Result<WorseLoss> {
  const problems: Problem[] = [];
  for (const field of ["termination", "bend"] as const)
    if (!(input[field] > 0 && input[field] <= 1))
      problems.push({
        code: "RIG_IMPOSSIBLE",
        message: "A loss leaves a share of the strength.",
        where: { field },
        found: String(input[field]),
        expected: "above 0, up to 1",
      });
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const { termination, bend } = input;
  const retention = Math.min(termination, bend);
  return ok({
    retention,
    because: retention === 1 ? "neither" : bend < termination ? "bend" : "termination",
  });
}
