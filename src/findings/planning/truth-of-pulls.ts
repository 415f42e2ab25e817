import { placeAt } from "../slip-or-break/law.ts";
import { bestLaw, prepareSlipOrBreak } from "../slip-or-break/plan.ts";
import type { SlipOrBreakPull } from "../slip-or-break/types.ts";
import { type BuryTruth, problemsOfTruth } from "./bury-truth.ts";

/**
 * What earlier pulls say of slipping and breaking, to be assumed for the next: the fit of the law that fits them better.
 *
 * pulls: as slip-or-break takes them; with covariates the truth is that of their means. Result: a truth to try a plan against; absent where the pulls give
 * no length, where the slip strength does not grow, or where as many slip as break at no bury beyond the shortest.
 *
 * @example
 * truthOfPulls([]) // undefined
 */
export function truthOfPulls(pulls: readonly SlipOrBreakPull[]): BuryTruth | undefined {
  if (pulls.length === 0) return undefined;
  const plan = prepareSlipOrBreak({ pulls });
  if (!plan.ok || plan.value.given !== "length") return undefined;
  const { top, growth } = bestLaw(plan.value);
  const buries = pulls.map(({ buryDiameters }) => buryDiameters);
  const shortest = Math.min(...buries);
  const half = placeAt(top, 0);
  if (!(half > 0) || !Number.isFinite(half) || shortest === 0) return undefined;
  // To the digits that a person would type: more would look like knowledge.
  const rounded = (value: number, digits: number) => Number(value.toPrecision(digits));
  const truth: BuryTruth = {
    growth,
    plateau: rounded(Math.exp(top.plateau), 3),
    turn: rounded(shortest + half * (Math.max(...buries) - shortest), 3),
    slipBury: rounded(shortest, 3),
    slipStrength: rounded(Math.exp(top.level), 3),
    slipScatter: rounded(top.slipScatter, 2),
    breakScatter: rounded(top.breakScatter, 2),
  };
  return problemsOfTruth(truth).length === 0 ? truth : undefined;
}
