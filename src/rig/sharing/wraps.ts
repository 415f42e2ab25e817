import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfAbove, problemsOfFrom } from "../statics/fields.ts";

export type Wraps = {
  /** What the turns hold when the first leg reaches its strength, at worst and at best. */
  readonly lowN: number;
  readonly highN: number;
  /** The same over one leg's strength: at best twice the number of wraps. */
  readonly lowLegs: number;
  readonly highLegs: number;
  /** What the low end rests on: the legs' lengths, or friction that lets no more difference be. */
  readonly limitedBy: "length" | "friction";
};

/**
 * What do several wraps of a thinner rope between two pins hold, when wraps share only as well as lengths and friction allow?
 *
 * legN one leg's strength, in newtons; wraps a whole number from 1 (each has two legs); `lengthSpread` by which share the longest leg may be
 * longer than the shortest (0.01 is 1 %); `breakStrain` how far a leg stretches until it breaks (0.035 for HMPE, from memory); `mu` friction
 * of rope on pin. At best all legs carry alike. At worst one leg alone is the shortest and all others are longest: with stiff
 * rope they then carry 1 − spread/strain of it. Friction cannot hold a larger difference than e^(μπ) from leg to leg over a
 * half turn, counted both ways round the loop, so the low end is the better of the two. Pins that turn have no friction.
 * Formula: low = B (1 + (2w − 1)(1 − spread/strain)₊) or B Σ e^(−μπ dᵢ), dᵢ half turns from the tightest leg. Source: own
 * derivation from T = k (x − Δ)₊ and the capstan equation; no published source for wraps of braid.
 *
 * @example
 * const answer = wraps({ legN: 10_000, wraps: 2, lengthSpread: 0.01, mu: 0.1 });
 * answer.ok && answer.value.lowN // 32 683: friction lets the legs differ by no more
 */
export function wraps(input: {
  readonly legN: number;
  readonly wraps: number;
  readonly lengthSpread?: number;
  readonly breakStrain?: number;
  readonly mu?: number;
}): Result<Wraps> {
  const { legN, wraps: turns, lengthSpread = 0.01, breakStrain = 0.035, mu = 0.1 } = input;
  const problems: Problem[] = [
    ...problemsOfAbove(legN, "legN", "N"),
    ...problemsOfFrom(lengthSpread, "lengthSpread", "no unit"),
    ...problemsOfAbove(breakStrain, "breakStrain", "no unit"),
    ...problemsOfFrom(mu, "mu", "no unit"),
  ];
  if (!(Number.isInteger(turns) && turns >= 1 && turns <= 64))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "Wraps are counted in whole turns.",
      where: { field: "wraps" },
      found: String(turns),
      expected: "a whole number from 1 to 64",
    });
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const legs = 2 * turns;
  const byLength = 1 + (legs - 1) * Math.max(0, 1 - lengthSpread / breakStrain);
  let byFriction = 0;
  for (let i = 0; i < legs; i++) byFriction += Math.exp(-mu * Math.PI * Math.min(i, legs - i));
  const lowLegs = Math.max(byLength, byFriction);
  return ok({
    lowN: legN * lowLegs,
    highN: legN * legs,
    lowLegs,
    highLegs: legs,
    limitedBy: byLength >= byFriction ? "length" : "friction",
  });
}
