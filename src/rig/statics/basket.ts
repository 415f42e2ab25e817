import { ok, type Result, refuse } from "../../problem/mod.ts";
import { problemsOfFrom } from "./fields.ts";

export type Basket = {
  /** Tension of each leg where rope and load slide on each other without friction: both alike. */
  readonly evenN: number;
  /** What friction can make of them at worst: the tighter leg, and the slacker one. */
  readonly highN: number;
  readonly lowN: number;
  /** How much of the load's round the rope touches. */
  readonly wrapAngleRad: number;
};

/**
 * What do the two legs of a basket carry: a rope that runs under a round load and up on both sides?
 *
 * loadN 0 or more; includedAngleDeg between the legs, from 0 (side by side) to below 180; mu friction of rope on load, 0 or more.
 * The legs' pulls add up to the load, and friction lets them differ by e^(μθ) over the wrap θ = π + included angle.
 * Formula: T = W / √(1 + ρ² + 2ρ cos β), ρ the slacker leg over the tighter, from e^(−μθ) to 1; the highest lies at ρ = −cos β
 * where that is between them, and is W / sin β. Source: statics, with the capstan equation; own derivation.
 *
 * @example
 * const answer = basket({ loadN: 1000, includedAngleDeg: 120 });
 * answer.ok && answer.value.evenN // 1000
 */
export function basket(input: {
  readonly loadN: number;
  readonly includedAngleDeg: number;
  readonly mu?: number;
}): Result<Basket> {
  const { loadN, includedAngleDeg, mu = 0 } = input;
  const problems = [...problemsOfFrom(loadN, "loadN", "N"), ...problemsOfFrom(mu, "mu", "no unit")];
  if (!(includedAngleDeg >= 0 && includedAngleDeg < 180))
    problems.push({
      code: "RIG_IMPOSSIBLE",
      message: "The legs of a basket lead up from the load, or they carry nothing.",
      where: { field: "includedAngleDeg" },
      found: String(includedAngleDeg),
      expected: "from 0 to below 180 degrees between the legs",
    });
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const angle = (includedAngleDeg * Math.PI) / 180;
  const wrapAngleRad = Math.PI + angle;
  const least = Math.exp(-mu * wrapAngleRad);
  const tighter = (ratio: number) => loadN / Math.hypot(1 + ratio * Math.cos(angle), ratio * Math.sin(angle));
  const between = -Math.cos(angle);
  return ok({
    evenN: tighter(1),
    highN: between > least ? loadN / Math.sin(angle) : tighter(least),
    lowN: least * tighter(least),
    wrapAngleRad,
  });
}
