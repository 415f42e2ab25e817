import { normalUpper } from "../distributions/normal.ts";
import { midranks, tieCounts } from "./groups.ts";

export type MannWhitney = {
  /** Pairs in which a is larger, ties counting half. */
  readonly u: number;
  /** Two-sided: share of all splits with u at least as far from the middle. */
  readonly p: number;
  /** One-sided: share of all splits with a u at least as large, at least as small. */
  readonly pGreater: number;
  readonly pLess: number;
  readonly exact: boolean;
};

/**
 * Mann and Whitney's test, exact with ties: the law of the rank sum over all splits is counted out, for up to 60 values
 * in all; beyond that by the normal law with the variance corrected for ties and for continuity.
 * Source: H. B. Mann and D. R. Whitney, Ann. Math. Statist. 18 (1947), 50-60; E. L. Lehmann, Nonparametrics (1975), 1.4.
 */
export function mannWhitney(a: readonly number[], b: readonly number[]): MannWhitney {
  const all = [...a, ...b];
  // Doubled, so that shared ranks are whole.
  const ranks = midranks(all).map((rank) => Math.round(2 * rank));
  const least = a.length * (a.length + 1);
  const twiceU = ranks.slice(0, a.length).reduce((sum, rank) => sum + rank, 0) - least;
  const middle = a.length * b.length;
  const u = twiceU / 2;
  if (all.length > 60) return { u, ...normalTails(u, a.length, b.length, tieCounts(all)), exact: false };
  const counts = rankSums(ranks, a.length);
  let total = 0;
  let asFar = 0;
  let greater = 0;
  let less = 0;
  for (const [sum, count] of counts.entries()) {
    const here = sum - least;
    total += count;
    if (Math.abs(here - middle) >= Math.abs(twiceU - middle)) asFar += count;
    if (here >= twiceU) greater += count;
    if (here <= twiceU) less += count;
  }
  return { u, p: asFar / total, pGreater: greater / total, pLess: less / total, exact: true };
}

/** How many choices of `take` of the ranks have each sum. */
function rankSums(ranks: readonly number[], take: number): Float64Array {
  const highest = [...ranks]
    .sort((x, y) => y - x)
    .slice(0, take)
    .reduce((sum, rank) => sum + rank, 0);
  const bySize = Array.from({ length: take + 1 }, () => new Float64Array(highest + 1));
  (bySize[0] as Float64Array)[0] = 1;
  for (const rank of ranks) {
    for (let size = take; size >= 1; size--) {
      const from = bySize[size - 1] as Float64Array;
      const to = bySize[size] as Float64Array;
      for (let sum = highest; sum >= rank; sum--)
        to[sum] = (to[sum] as number) + (from[sum - rank] as number);
    }
  }
  return bySize[take] as Float64Array;
}

function normalTails(u: number, m: number, n: number, ties: readonly number[]) {
  const total = m + n;
  const tied = ties.reduce((sum, t) => sum + t ** 3 - t, 0);
  const sd = Math.sqrt(((m * n) / 12) * (total + 1 - tied / (total * (total - 1))));
  const away = u - (m * n) / 2;
  if (!(sd > 0)) return { p: 1, pGreater: 1, pLess: 1 };
  const beyond = (distance: number) => normalUpper((distance - 0.5) / sd);
  return {
    p: Math.min(1, 2 * beyond(Math.abs(away))),
    pGreater: Math.min(1, beyond(away)),
    pLess: Math.min(1, beyond(-away)),
  };
}
