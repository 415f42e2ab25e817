import { findRoot } from "../numeric/root.ts";

/** Values on the scale on which a law only shifts and stretches: measured, and such as are only lower bounds. */
export type Observations = { readonly measured: readonly number[]; readonly atLeast: readonly number[] };

export type LocationScale = {
  readonly location: number;
  readonly spread: number;
  readonly logLikelihood: number;
};

/** What is compatible with the values, for either parameter. */
export type Ends = {
  readonly locationInterval: readonly [low: number, high: number];
  readonly spreadInterval: readonly [low: number, high: number];
};

/** The best place of a likelihood, and its profile around that: where twice its fall reaches a limit. */
export type LocationScaleFit = LocationScale & { readonly profile: (limit: number) => Ends };

/**
 * A step uphill along one line: Newton's where the curve bends down, a fixed one where it does not; never far at once.
 */
export function uphill(slope: number, bend: number): number {
  const step = bend < 0 ? -slope / bend : Math.sign(slope);
  return Math.min(1, Math.max(-1, step));
}

/** How far from 0, upward, a function that is −limit there comes to zero. */
export function firstCrossing(f: (away: number) => number, limit: number, firstStep: number): number {
  let [low, fLow] = [0, -limit];
  let [high, fHigh] = [firstStep, f(firstStep)];
  for (let round = 0; fHigh < 0; round++) {
    if (round === 1000) return Number.POSITIVE_INFINITY;
    [low, fLow] = [high, fHigh];
    high *= 1.5;
    fHigh = f(high);
  }
  return findRoot(f, low, high, fLow, fHigh);
}
