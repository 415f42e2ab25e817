import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { createRandom } from "../random/random.ts";
import { differ, noScatter, problemsOfMany, sorted } from "../values.ts";
import { type Groups, problemsOfGroups } from "./groups.ts";

export type SamePopulation = {
  /** Anderson-Darling's A², by the empirical distribution from the right. */
  readonly statistic: number;
  /** The same with ties split between both sides. */
  readonly statisticMidrank: number;
  /** (A² − (k − 1)) / its standard deviation. */
  readonly normalised: number;
  readonly normalisedMidrank: number;
  /** Share of random regroupings with a midrank statistic at least as large. */
  readonly p: number;
  readonly resamples: number;
  readonly seed: number;
  /** What the normalised statistic exceeds with chance 0.25, 0.10, 0.05, 0.025, 0.01 for large groups. */
  readonly quantiles: readonly { readonly alpha: number; readonly value: number }[];
};

/**
 * May the groups be treated as one population, before they are pooled?
 *
 * Two or more groups of two or more values each, in all four or more, not all equal. A small p speaks against pooling.
 * p is found by regrouping at random from the seed, so ties and small groups do not spoil it; the chance error is
 * about √(p (1 − p)/resamples).
 * Source: F. W. Scholz and M. A. Stephens, K-sample Anderson-Darling tests, J. Amer. Statist. Assoc. 82 (1987),
 * 918-924.
 *
 * @example
 * const answer = samePopulation({ groups: [[38.7, 41.5, 43.8], [39.2, 39.3, 39.7], [34, 35, 39]] });
 * answer.ok && answer.value.resamples // 9999
 */
export function samePopulation(input: {
  readonly groups: Groups;
  readonly resamples?: number;
  readonly seed?: number;
}): Result<SamePopulation> {
  const { groups, resamples = 9999, seed = 1 } = input;
  const name = "A comparison of populations";
  const all = groups.flat();
  const [problem, ...more] = [
    ...problemsOfMany(all.length, mostValues, name, "groups"),
    ...problemsOfGroups(groups, 2, name),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  if (!differ(all)) return refuse(noScatter(name, all[0] as number));
  const sizes = groups.map((group) => group.length);
  const levels = levelsOf(all);
  const places = all.map((value) => levels.place.get(value) as number);
  const observed = statisticsOf(places, sizes, levels.counts);
  const sd = Math.sqrt(varianceOf(sizes));
  const shift = groups.length - 1;
  // Many values need fewer regroupings: the work is kept within about 1e8 steps.
  const count = Math.max(
    199,
    Math.min(resamples, Math.floor(1e8 / (levels.counts.length * groups.length + all.length))),
  );
  const random = createRandom(seed);
  let asFar = 0;
  for (let i = 0; i < count; i++) {
    const regrouped = statisticsOf(random.shuffle(places), sizes, levels.counts);
    if (regrouped.midrank >= observed.midrank * (1 - 1e-12)) asFar += 1;
  }
  return ok(
    {
      statistic: observed.right,
      statisticMidrank: observed.midrank,
      normalised: (observed.right - shift) / sd,
      normalisedMidrank: (observed.midrank - shift) / sd,
      p: (asFar + 1) / (count + 1),
      resamples: count,
      seed,
      quantiles: limits.map(([alpha, b0, b1, b2]) => ({
        alpha,
        value: b0 + b1 / Math.sqrt(shift) + b2 / shift,
      })),
    },
    count < resamples ? [fewer(count)] : [],
  );
}

/** Regroupings of more take minutes. */
const mostValues = 100_000;

/** Scholz and Stephens, table 2: alpha, then the parts in 1, 1/√(k − 1) and 1/(k − 1). */
const limits = [
  [0.25, 0.675, -0.245, -0.105],
  [0.1, 1.281, 0.25, -0.305],
  [0.05, 1.645, 0.678, -0.362],
  [0.025, 1.96, 1.149, -0.391],
  [0.01, 2.326, 1.822, -0.396],
] as const;

function levelsOf(all: readonly number[]): { counts: number[]; place: Map<number, number> } {
  const place = new Map<number, number>();
  const counts: number[] = [];
  for (const value of sorted(all)) {
    const known = place.get(value);
    if (known === undefined) {
      place.set(value, counts.length);
      counts.push(1);
    } else counts[known] = (counts[known] as number) + 1;
  }
  return { counts, place };
}

/** Equations 6 (midrank) and 3 (right-continuous) of the paper, over the distinct values. */
function statisticsOf(places: readonly number[], sizes: readonly number[], counts: readonly number[]) {
  const total = places.length;
  let right = 0;
  let midrank = 0;
  let start = 0;
  for (const size of sizes) {
    const inGroup = new Uint32Array(counts.length);
    for (let i = start; i < start + size; i++) {
      const place = places[i] as number;
      inGroup[place] = (inGroup[place] as number) + 1;
    }
    start += size;
    let below = 0;
    let groupBelow = 0;
    let rightPart = 0;
    let midPart = 0;
    for (let j = 0; j < counts.length; j++) {
      const here = counts[j] as number;
      const groupHere = inGroup[j] as number;
      const b = below + here;
      const m = groupBelow + groupHere;
      if (b < total) rightPart += (here * (total * m - size * b) ** 2) / (b * (total - b));
      const bMid = below + here / 2;
      const mMid = groupBelow + groupHere / 2;
      midPart += (here * (total * mMid - size * bMid) ** 2) / (bMid * (total - bMid) - (total * here) / 4);
      below = b;
      groupBelow = m;
    }
    right += rightPart / size;
    midrank += midPart / size;
  }
  return { right: right / total, midrank: (midrank * (total - 1)) / (total * total) };
}

/** The variance of A² where all groups come from one population: equation 4 of the paper. */
function varianceOf(sizes: readonly number[]): number {
  const k = sizes.length;
  const total = sizes.reduce((sum, size) => sum + size, 0);
  const bigH = sizes.reduce((sum, size) => sum + 1 / size, 0);
  let h = 0;
  let g = 0;
  let tail = 0;
  for (let i = total - 1; i >= 1; i--) {
    h += 1 / i;
    // Σ over i < j of 1/((N − i) j): the tail of 1/j from i + 1 on.
    if (i < total - 1) g += tail / (total - i);
    tail += 1 / i;
  }
  const a = (4 * g - 6) * (k - 1) + (10 - 6 * g) * bigH;
  const b = (2 * g - 4) * k * k + 8 * h * k + (2 * g - 14 * h - 4) * bigH - 8 * h + 4 * g - 6;
  const c = (6 * h + 2 * g - 2) * k * k + (4 * h - 4 * g + 6) * k + (2 * h - 6) * bigH + 4 * h;
  const d = (2 * h + 6) * k * k - 4 * h * k;
  return (a * total ** 3 + b * total ** 2 + c * total + d) / ((total - 1) * (total - 2) * (total - 3));
}

function fewer(count: number): Warning {
  return {
    code: "STAT_APPROXIMATE",
    message: "For so many values fewer random regroupings were made than asked for.",
    found: String(count),
  };
}
