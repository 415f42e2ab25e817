import {
  type BuryTruth,
  judgePull,
  pullsForSlipOrBreak,
  type SlipOrBreakPull,
  truthOfPulls,
} from "../../findings/mod.ts";
import { pullToJudge } from "./judge.ts";
import type { SeriesHoldings } from "./overview.ts";

/** What a person says of slipping and breaking; what is not said is assumed. */
export type SaidTruth = { readonly [Part in keyof BuryTruth]?: BuryTruth[Part] | undefined };

/** What is assumed where a plan of buries is tried, and where that comes from. */
export type AssumedTruth = { readonly truth: BuryTruth; readonly says: string };

/**
 * What the book's own pulls say: those of the series itself, else of the earlier series with the most pulls of which any gives a
 * length. Without such pulls: half slip in the middle of the levels, the plateau at 88 % of the legs' rated strength, 70 % of it
 * at the shortest bury, both strengths scattering as cells do. An assumption to start from; common practice, no published source.
 */
export function assumedTruth(
  levels: readonly number[],
  said: SaidTruth,
  cv: { readonly value: number; readonly typed: boolean },
  own: SeriesHoldings | undefined,
  earlier: readonly SeriesHoldings[],
): AssumedTruth {
  const known = own === undefined ? truthFrom(earlier) : (truthFrom([own]) ?? truthFrom(earlier));
  const [shortest, longest] = [Math.min(...levels), Math.max(...levels)];
  const from = known?.truth;
  const turn = said.turn ?? from?.turn ?? (shortest < longest ? (shortest + longest) / 2 : shortest);
  const plateau = said.plateau ?? from?.plateau ?? 0.88;
  const scatter = cv.typed ? undefined : from;
  return {
    truth: {
      growth: said.growth ?? from?.growth ?? "exponential",
      plateau,
      turn,
      slipBury: said.slipBury ?? from?.slipBury ?? (shortest < turn ? shortest : 0.6 * turn),
      slipStrength: said.slipStrength ?? from?.slipStrength ?? 0.7 * plateau,
      slipScatter: said.slipScatter ?? scatter?.slipScatter ?? cv.value,
      breakScatter: said.breakScatter ?? scatter?.breakScatter ?? cv.value,
    },
    says:
      known?.says ??
      "a start that nothing in the book supports yet: the turn in the middle of the levels, breaks at 88 % and slips at the shortest bury at 70 % of that",
  };
}

function truthFrom(all: readonly SeriesHoldings[]): AssumedTruth | undefined {
  const tried = all
    .map((held) => ({ title: held.series.title, pulls: pullsOf(held) }))
    .toSorted((a, b) => b.pulls.length - a.pulls.length);
  for (const { title, pulls } of tried) {
    const truth = truthOfPulls(pulls);
    if (truth !== undefined) return { truth, says: `as fitted to ${pulls.length} pulls of “${title}”` };
  }
  return undefined;
}

function pullsOf(held: SeriesHoldings): readonly SlipOrBreakPull[] {
  const judged = held.pulls.map((pull) => judgePull(pullToJudge(pull, held)));
  const taken = pullsForSlipOrBreak(held.series, judged);
  return taken.ok ? taken.value.input.pulls : [];
}
