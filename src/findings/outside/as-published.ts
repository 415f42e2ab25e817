import type { Result } from "../../problem/mod.ts";
import { ok } from "../../problem/mod.ts";
import type { PooledSeriesFields } from "../../series/mod.ts";
import { judgePull } from "../judge-pull.ts";
import type { PullToJudge } from "../types.ts";
import { pullsAt } from "./against.ts";
import { entryOf, traitsOf } from "./pool-series.ts";

/**
 * Another series that this one is pooled with, by its pulls, as the figures that a publication of it would state: n, mean and
 * SD of strength / (legs × rated strength), construction, kind of the rated strength. Pooled by these, the mean, its interval
 * and its weight are the same; only the test whether the pulls themselves are alike has nothing left to look at.
 *
 * Refused, with the reason, where the pulls say nothing of their scatter or their basis is not known.
 *
 * @example
 * asPublished(row, { title: "Hill bench", pulls, source: "bundle hill.zip" })
 */
export function asPublished(
  pooled: PooledSeriesFields,
  other: { readonly title: string; readonly pulls: readonly PullToJudge[]; readonly source: string },
): Result<PooledSeriesFields> {
  const pulls = pullsAt(other.pulls.map(judgePull), pooled.otherLevels);
  const entry = entryOf(pooled.name, "published figures", "", pulls);
  if (!entry.ok) return entry;
  const { n, mean, standardError } = entry.value;
  const { construction = "", ratedStrengthBasis, ratedStrengthEnds } = traitsOf(pulls);
  const { otherSeriesId: _, ...kept } = pooled;
  return ok({
    ...kept,
    otherLevels: {},
    source: pooled.source === "" ? other.source : `${pooled.source}; ${other.source}`,
    n,
    basis: "rated, all legs",
    meanShare: mean.value,
    sdShare: standardError * Math.sqrt(n),
    construction,
    ratedStrengthBasis: ratedStrengthBasis ?? "not stated",
    ratedStrengthEnds: ratedStrengthEnds ?? "not stated",
  });
}
