import { rowOf, type Samples } from "./samples.ts";
import type { Sampling } from "./sampling.ts";

/** The samples of a record as the deeper reading looks at them: without spikes, on a clock that was put right. */
export type Signal = {
  readonly samples: Samples;
  readonly force: Float64Array;
  /** Seconds of a sample on a clock without backward or batched stamps; its row where the record has no time. */
  readonly place: (index: number) => number;
  /** Median interval; absent without a clock. */
  readonly intervalS?: number;
  readonly sampling: Sampling;
  /** What is taken as no force. */
  readonly zeroN: number;
};

export function createSignal(
  samples: Samples,
  known: {
    readonly clock?: Float64Array;
    readonly intervalS?: number;
    readonly sampling: Sampling;
    readonly zeroN: number;
  },
): Signal {
  const { clock, intervalS, sampling, zeroN } = known;
  return {
    samples,
    force: samples.force,
    place: placeOn(samples, clock),
    ...(intervalS === undefined || clock === undefined ? {} : { intervalS }),
    sampling,
    zeroN,
  };
}

/** Asked for of every sample in turn: where no row is missing, the clock is read at once. */
function placeOn(samples: Samples, clock: Float64Array | undefined): (index: number) => number {
  if (clock === undefined) return (index) => rowOf(samples, index);
  if (samples.rows === undefined) return (index) => clock[index] as number;
  return (index) => clock[rowOf(samples, index)] as number;
}

/** The first sample of a range at or after a place; `to` where there is none. */
export function sampleAt(signal: Signal, wanted: number, from: number, to: number): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (signal.place(middle) >= wanted) high = middle;
    else low = middle + 1;
  }
  return low;
}
