import type { RestFound } from "./pull-rest.ts";
import type { Signal } from "./signal.ts";

/** What the cell shows of no force, along the pull: the rests on both sides, and a straight line between them. */
export type Zero = {
  /** Level and place of the rest before, and of the one after where there is one. */
  readonly level: number;
  readonly at: number;
  readonly change: number;
  readonly over: number;
  /** Standard uncertainty of the level from noise and steps. */
  readonly errorN: number;
  /** Newtons by which the rests differ, over the time between them. */
  readonly driftPerS: number;
};

/** The zero at a sample. */
export function zeroAt({ place }: Signal, { level, at, change, over }: Zero, index: number): number {
  if (change === 0 || !(over > 0)) return level;
  return level + change * Math.min(1, Math.max(0, (place(index) - at) / over));
}

/** Zero along a pull: a line between the rests on both sides; with one of them, or none, a level. */
export function zeroOf(signal: Signal, rest: RestFound, zero: number, netN: number): Zero {
  const { place, sampling } = signal;
  const { noiseN, stepN, averaged } = sampling;
  const { runBefore, runAfter } = rest;
  const samples = Math.min(
    ...[runBefore, runAfter].map((run) => (run === undefined ? 1e9 : run.to - run.from)),
  );
  const independent = Math.max(1, (samples < 1e9 ? samples : 1) / 2 / averaged);
  // Noise wider than a step averages the steps out; a quieter cell stands on one of them.
  const stuckN = noiseN < 0.4 * stepN ? stepN / Math.sqrt(12) : 0;
  const errorN = Math.hypot(noiseN / Math.sqrt(independent), stuckN);
  if (runBefore === undefined || runAfter === undefined)
    return { level: zero, at: 0, change: 0, over: 0, errorN, driftPerS: 0 };
  const middle = (run: { from: number; to: number }) => place(Math.floor((run.from + run.to - 1) / 2));
  const over = middle(runAfter) - middle(runBefore);
  const difference = runAfter.level - runBefore.level;
  // Further apart than this they are not one drifting rest: a strand still carries, or the cell was set anew.
  const drifts = Math.abs(difference) > 2 * errorN && Math.abs(difference) <= 0.12 * netN;
  const change = drifts ? difference : 0;
  return {
    level: change === 0 ? zero : runBefore.level,
    at: middle(runBefore),
    change,
    over,
    errorN,
    driftPerS: over > 0 ? Math.hypot(change, errorN) / over : 0,
  };
}
