import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { normalUpperQuantile } from "../../stats/mod.ts";
import type { Growth } from "../slip-or-break/types.ts";

/**
 * What a plan of buries is tried against: how strong the rope is, where slipping gives way to breaking, and how both scatter.
 * An assumption, stated and changed by the tester; strengths in any one unit, such as a fraction of legs × rated strength.
 */
export type BuryTruth = {
  readonly growth: Growth;
  /** The median break strength where nothing slips. */
  readonly plateau: number;
  /** The bury, in diameters, at which as many slip as break: the median slip strength there is the plateau. */
  readonly turn: number;
  /** A shorter bury, and the median slip strength there. */
  readonly slipBury: number;
  readonly slipStrength: number;
  /** Standard deviations of the logarithms of the slip and of the break strength at one bury. */
  readonly slipScatter: number;
  readonly breakScatter: number;
};

/** What makes no truth: a turn that does not lie beyond the shorter bury, strengths or scatters out of all proportion. */
export function problemsOfTruth(truth: BuryTruth): Problem[] {
  const { plateau, turn, slipBury, slipStrength, slipScatter, breakScatter } = truth;
  return [
    ...above(plateau, 0, "truth.plateau", "The plateau"),
    ...above(slipBury, 0, "truth.slipBury", "The shorter bury"),
    ...above(turn, slipBury, "truth.turn", "The bury at which half slip"),
    ...above(slipStrength, 0, "truth.slipStrength", "The slip strength"),
    ...above(
      plateau,
      slipStrength,
      "truth.slipStrength",
      "The plateau, above the slip strength at the shorter bury,",
    ),
    ...within(slipScatter, "truth.slipScatter"),
    ...within(breakScatter, "truth.breakScatter"),
  ];
}

/** The median slip strength at a bury; 0 or less where the linear law gives none. */
export function slipMedian(truth: BuryTruth, buryDiameters: number): number {
  const { growth, plateau, turn, slipBury, slipStrength } = truth;
  const part = (buryDiameters - slipBury) / (turn - slipBury);
  return growth === "linear"
    ? slipStrength + (plateau - slipStrength) * part
    : slipStrength * (plateau / slipStrength) ** part;
}

/**
 * The bury at which slipping first has a chance, in a world that is known.
 *
 * Formula: the median slip strength there is the plateau times exp(z √(s₁² + s₂²)), z the upper normal quantile of the chance.
 *
 * @example
 * buryAtChance({ growth: "linear", plateau: 1, turn: 40, slipBury: 20, slipStrength: 0.5, slipScatter: 0.06, breakScatter: 0.08 }, 0.5) // 40
 */
export function buryAtChance(truth: BuryTruth, chance: number): number {
  const { growth, plateau, turn, slipBury, slipStrength, slipScatter, breakScatter } = truth;
  const needed = normalUpperQuantile(chance) * Math.hypot(slipScatter, breakScatter);
  const part =
    growth === "linear"
      ? (plateau * Math.exp(needed) - slipStrength) / (plateau - slipStrength)
      : 1 + needed / Math.log(plateau / slipStrength);
  return slipBury + (turn - slipBury) * part;
}

/** Weaker slips than this share of the plateau are no splice, and no strengths of one unit. */
const leastSlip = 0.05;

/** Buries that the truth gives a strength for; the linear law ends where it comes to nothing. */
export function checkBuries(truth: BuryTruth, levels: readonly number[]): Result<readonly number[]> {
  const none = levels.find((level) => !(slipMedian(truth, level) > leastSlip * truth.plateau));
  if (none === undefined) return ok(levels);
  return refuse({
    code: "STAT_VALUE",
    message: "The assumed slip strength comes to next to nothing at one of the buries.",
    where: { field: "levels" },
    found: `${none} diameters`,
    expected: "buries at which the assumed slip strength is more than a twentieth of the plateau",
    wayOut: "Leave that bury out, or assume exponential growth.",
  });
}

function above(value: number, least: number, field: string, what: string): Problem[] {
  if (value > least && value >= 1e-3 && value <= 1e8) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `${what} must be more than ${least}.`,
      where: { field },
      found: String(value),
      expected: `a number above ${least}`,
    },
  ];
}

function within(scatter: number, field: string): Problem[] {
  if (scatter >= 0.001 && scatter <= 0.3) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "A scatter is a share of the strength.",
      where: { field },
      found: String(scatter),
      expected: "from 0.001 to 0.3, such as 0.08",
    },
  ];
}
