import type { Trace } from "../reading.ts";

/**
 * The samples of a trace that have a force, in order, each with the row it stood in. Missing samples are left out and
 * nothing is put in their place.
 */
export type Samples = {
  readonly force: Float64Array;
  /** Row of each sample in the trace, from 0. Absent where no sample is missing: then sample and row are the same. */
  readonly rows?: Int32Array;
  readonly timeS?: Float64Array;
  readonly traceRows: number;
};

export function samplesOf(trace: Trace): Samples {
  const traceRows = trace.forceN.length;
  const time = trace.timeS === undefined ? {} : { timeS: trace.timeS };
  if (trace.missing === 0) return { force: trace.forceN, traceRows, ...time };
  const force = new Float64Array(traceRows);
  const rows = new Int32Array(traceRows);
  let count = 0;
  for (let row = 0; row < traceRows; row++) {
    const value = trace.forceN[row] as number;
    if (Number.isNaN(value)) continue;
    force[count] = value;
    rows[count++] = row;
  }
  return { force: force.subarray(0, count), rows: rows.subarray(0, count), traceRows, ...time };
}

/** The first sample at or after each of some rows, as far as there is one; both in order. */
export function samplesAt(samples: Samples, rows: readonly number[]): readonly number[] {
  const { force, rows: own } = samples;
  if (own === undefined) return rows;
  const found: number[] = [];
  let at = 0;
  for (const row of rows) {
    while (at < force.length && (own[at] as number) < row) at++;
    if (at < force.length) found.push(at);
  }
  return found;
}

/** The row of a sample in the trace, from 0. */
export function rowOf(samples: Samples, index: number): number {
  return samples.rows === undefined ? index : (samples.rows[index] as number);
}

/** Seconds of a sample, or nothing where the recording has no time. */
export function timeOf(samples: Samples, index: number): number | undefined {
  return samples.timeS?.[rowOf(samples, index)];
}

/** Where a sample stands on the axis that the recording has: its time, or its row where there is none. */
export function placeOf(samples: Samples, index: number): number {
  return timeOf(samples, index) ?? rowOf(samples, index);
}

/** A column of the trace at some samples that have a force, both ends in. */
export function columnOf(
  { rows }: Samples,
  column: Float64Array,
  { from, to }: { readonly from: number; readonly to: number },
): Float64Array {
  if (rows === undefined) return column.subarray(from, to + 1);
  return Float64Array.from(rows.subarray(from, to + 1), (row) => column[row] as number);
}
