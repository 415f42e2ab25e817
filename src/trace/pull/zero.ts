import type { RestRun } from "../samples/rest.ts";
import type { Signal } from "../samples/signal.ts";
import type { RestFound } from "./pull-rest.ts";

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
  const before = runBefore && faceOf(runBefore, "last", place);
  const after = runAfter && faceOf(runAfter, "first", place);
  if (before === undefined || after === undefined) {
    const { level, at, driftPerS } = before ?? after ?? { level: zero, at: 0, driftPerS: 0 };
    return { level, at, change: 0, over: 0, errorN, driftPerS };
  }
  const over = after.at - before.at;
  const difference = after.level - before.level;
  // Further apart than this they are not one drifting rest: a strand still carries, or the cell was set anew.
  // And what is less than two standard uncertainties of a difference of two levels is no drift.
  const drifts = Math.abs(difference) > 2 * Math.SQRT2 * errorN && Math.abs(difference) <= 0.12 * netN;
  const change = drifts ? difference : 0;
  return {
    level: change === 0 ? zero : before.level,
    at: before.at,
    change,
    over,
    errorN,
    driftPerS: over > 0 ? Math.hypot(change, errorN) / over : 0,
  };
}

/** What a rest says of zero on its side that faces the pull: at its end where it leans, else in its middle. */
function faceOf(
  { from, to, level, lean }: RestRun,
  side: "first" | "last",
  place: (index: number) => number,
) {
  if (lean === undefined) return { level, at: place(Math.floor((from + to - 1) / 2)), driftPerS: 0 };
  const length = place(to - 1) - place(from);
  return {
    level: lean[side],
    at: place(side === "first" ? from : to - 1),
    driftPerS: length > 0 ? (Math.abs(lean.slope) * (to - from)) / length : 0,
  };
}
