import { normalQuantile, normalUpper } from "../../stats/mod.ts";
import { createLaw, type Law, marginAt, placeAt, signedRoot, type Top } from "./law.ts";
import { farthest, firstBelow, type PlannedLaw, perLaw, type SlipOrBreakRefits } from "./plan.ts";
import { growthTo } from "./resample.ts";
import type { Asked } from "./sample.ts";

/** A law of growth with what its refits say of its signed root. */
export type JudgedLaw = PlannedLaw & {
  readonly law: Law;
  readonly weight: number;
  /** Signed roots of the refits, rising; one that did not settle counts as the most unfavourable on either side. */
  readonly roots: Float64Array;
  readonly unsettled: number;
};

/** Gathers the refits law by law, and weighs the laws by their likelihood (both have as many parameters). */
export function judgeLaws(
  asked: Asked,
  laws: readonly PlannedLaw[],
  refits: readonly SlipOrBreakRefits[],
): JudgedLaw[] {
  const highest = Math.max(...laws.map(({ top }) => top.height));
  const shares = laws.map(({ top }) => Math.exp(top.height - highest));
  const all = shares.reduce((sum, share) => sum + share, 0);
  return laws.map((planned, index) => {
    const column = columnOf(refits, laws.length, index * perLaw);
    const roots = Float64Array.from(column.filter((root) => !Number.isNaN(root))).sort();
    return {
      ...planned,
      law: createLaw(asked.sample, planned.growth),
      weight: (shares[index] as number) / all,
      roots,
      unsettled: column.length - roots.length,
    };
  });
}

export function columnOf(refits: readonly SlipOrBreakRefits[], laws: number, column: number): number[] {
  const wide = laws * perLaw;
  return refits
    .toSorted((a, b) => a.from - b.from)
    .flatMap(({ values }) =>
      Array.from({ length: values.length / wide }, (_, i) => values[i * wide + column] as number),
    );
}

/** The share of refits whose root lies at or below the given one, between two of them in proportion. */
export function shareBelow({ roots, unsettled }: JudgedLaw, root: number): number {
  let low = 0;
  let high = roots.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((roots[middle] as number) <= root) low = middle + 1;
    else high = middle;
  }
  const before = roots[low - 1];
  const after = roots[low];
  const part =
    before === undefined || after === undefined ? 0.5 : (root - before) / Math.max(after - before, 1e-300);
  return (low - 0.5 + part + unsettled) / (roots.length + unsettled);
}

/**
 * The laws that count: where AICc tells them apart by 2 or more the better alone, else both. As both have as many parameters,
 * the difference of AICc is twice that of the log-likelihood.
 */
export function lawsThatCount(laws: readonly JudgedLaw[]): readonly [JudgedLaw, ...JudgedLaw[]] {
  const [best, ...others] = laws.toSorted((a, b) => b.top.height - a.top.height);
  if (best === undefined) throw new Error("a plan with refits has a law");
  return [best, ...others.filter(({ top }) => 2 * (best.top.height - top.height) < 2)];
}

/** The laws' shares as one: the largest, so that a bound holds whichever of the laws that count is the true one. */
function together(shares: readonly number[]): number {
  return Math.max(...shares);
}

/** The upper bound of the place where slipping first has the chance of z; undefined where the pulls put no end to it. */
export function upperPlace(laws: readonly JudgedLaw[], z: number, limit: number): number | undefined {
  const falling = (t: number) => together(laws.map((judged) => tailAt(judged, t, z)));
  const places = laws.map(({ top }) => Math.min(Math.max(placeAt(top, z), 0), farthest));
  return firstBelow(falling, limit, Math.min(...places));
}

function tailAt(judged: JudgedLaw, t: number, z: number): number {
  const { law, top } = judged;
  const held = law.held(top, t, z);
  return held === undefined ? 1 : shareBelow(judged, signedRoot(top, held, t, z));
}

/** The chance of slipping first at t: the laws' chances, by weight. */
export function chanceAt(laws: readonly JudgedLaw[], t: number): number {
  return weighed(laws, (top) => normalUpper(marginAt(top, t)));
}

export function slipMedianAt(laws: readonly JudgedLaw[], t: number): number {
  return Math.exp(weighed(laws, (top) => top.level + growthTo(top.growth, t, top.grown)));
}

function weighed(laws: readonly JudgedLaw[], of: (top: Top) => number): number {
  const all = laws.reduce((sum, { weight }) => sum + weight, 0);
  return laws.reduce((sum, { top, weight }) => sum + (weight / all) * of(top), 0);
}

/** The estimate of the place: where the weighed chance falls to the one asked. Undefined where it never does. */
export function estimatedPlace(laws: readonly JudgedLaw[], chance: number): number | undefined {
  if (laws.every(({ top }) => top.grown <= 0)) return undefined;
  return firstBelow((t) => chanceAt(laws, t), chance, 0);
}

/** One-sided bounds of the chance of slipping first at t. */
export function chanceBounds(
  laws: readonly JudgedLaw[],
  t: number,
  limit: number,
): { readonly lower: number; readonly upper: number } {
  const estimate = -normalQuantile(chanceAt(laws, t));
  const shareOf = (z: number, side: "upper" | "lower") =>
    together(
      laws.map((judged) => {
        const share = tailAt(judged, t, z);
        return side === "upper" ? share : 1 - share;
      }),
    );
  // On the scale of normal quantiles: up to 8 from the estimate, where a chance is 0 or 1 to fifteen digits.
  const edge = (side: "upper" | "lower") => {
    const sign = side === "upper" ? -1 : 1;
    let low = 0;
    let high = 0.25;
    while (shareOf(estimate + sign * high, side) > limit && high < 8) {
      low = high;
      high *= 2;
    }
    if (high >= 8) return sign * Number.POSITIVE_INFINITY;
    for (let round = 0; round < 12; round++) {
      const middle = 0.5 * (low + high);
      if (shareOf(estimate + sign * middle, side) > limit) low = middle;
      else high = middle;
    }
    return estimate + sign * high;
  };
  return { lower: normalUpper(edge("lower")), upper: normalUpper(edge("upper")) };
}
