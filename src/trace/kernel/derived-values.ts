import { rankKernelOf, roomForAnswer } from "./rank-kernel.ts";

// What is made of many values, where they lie: by a kernel in its memory (rank-kernel.ts), and anywhere else by the plain twin.

/** The steps from each value to the next, in the place of the values: one fewer. */
export function toSteps(values: Float64Array): Float64Array {
  const count = Math.max(0, values.length - 1);
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) kernel.steps(values.byteOffset, values.length);
  else for (let at = 0; at < count; at++) values[at] = (values[at + 1] as number) - (values[at] as number);
  return values.subarray(0, count);
}

/** The second differences, in the place of the values: two fewer. */
export function toBends(values: Float64Array): Float64Array {
  const count = Math.max(0, values.length - 2);
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) kernel.bends(values.byteOffset, values.length);
  else
    for (let at = 0; at < count; at++)
      values[at] = (values[at + 2] as number) - 2 * (values[at + 1] as number) + (values[at] as number);
  return values.subarray(0, count);
}

/** How far each value lies from another, in its place. */
export function toDistances(values: Float64Array, from = 0): Float64Array {
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) kernel.away(values.byteOffset, values.length, from);
  else for (let at = 0; at < values.length; at++) values[at] = Math.abs((values[at] as number) - from);
  return values;
}

/** The values above a limit, in order, in the place of all. */
export function keepAbove(values: Float64Array, limit: number): Float64Array {
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) return values.subarray(0, kernel.above(values.byteOffset, values.length, limit));
  let kept = 0;
  for (let at = 0; at < values.length; at++)
    if ((values[at] as number) > limit) values[kept++] = values[at] as number;
  return values.subarray(0, kept);
}

/** The values, each brought to no further from 0 than a limit. */
export function clipTo(values: Float64Array, limit: number): Float64Array {
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) kernel.clip(values.byteOffset, values.length, limit);
  else
    for (let at = 0; at < values.length; at++)
      values[at] = Math.max(-limit, Math.min(limit, values[at] as number));
  return values;
}

/** The sum of products of each value with the one some places behind it, of all that have one in the first `count + lag`. */
export function sumOfProducts(values: Float64Array, count: number, lag: number): number {
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) return kernel.product(values.byteOffset, count, lag);
  let sum = 0;
  for (let at = 0; at < count; at++) sum += (values[at] as number) * (values[at + lag] as number);
  return sum;
}

/** Whether nine in ten of the values up to 4.5 units lie within 0.12 of a unit of a multiple of it. */
export function areMultiples(values: Float64Array, unit: number): boolean {
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) return kernel.multiples(values.byteOffset, values.length, unit) !== 0;
  let small = 0;
  let fits = 0;
  for (let at = 0; at < values.length; at++) {
    const value = values[at] as number;
    if (value > 4.5 * unit) continue;
    small++;
    const part = value / unit;
    if (Math.abs(part - Math.round(part)) < 0.12 && part > 0.5) fits++;
  }
  return fits >= 0.9 * small;
}

/** The highest of some values, of which there is one at least. */
export function highestOf(values: Float64Array): number {
  const kernel = rankKernelOf(values);
  if (kernel !== undefined) return kernel.highest(values.byteOffset, values.length);
  let highest = values[0] as number;
  for (let at = 1; at < values.length; at++) highest = Math.max(highest, values[at] as number);
  return highest;
}

/** What blocks of values come to, a number for each. */
export type Blocks = {
  /** +∞ and −∞ where all are NaN. */
  readonly lows: Float64Array;
  readonly highs: Float64Array;
  readonly sums: Float64Array;
  /** Sums of each value times its distance from the block's middle. */
  readonly turned: Float64Array;
};

/** What each whole block of so many values comes to; good until the next are asked for. */
export function blocksOf(values: Float64Array, size: number): Blocks {
  const count = Math.floor(values.length / size);
  const kernel = rankKernelOf(values);
  const answer = kernel && roomForAnswer(kernel, 4 * count);
  const all = answer ?? new Float64Array(4 * count);
  if (answer !== undefined) kernel?.blocks(values.byteOffset, size, count, answer.byteOffset);
  else for (let block = 0; block < count; block++) describeBlock(values, size, block, all);
  const column = (at: number) => all.subarray(at * count, (at + 1) * count);
  return { lows: column(0), highs: column(1), sums: column(2), turned: column(3) };
}

function describeBlock(values: Float64Array, size: number, block: number, all: Float64Array): void {
  const count = all.length / 4;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let at = block * size; at < (block + 1) * size; at++) {
    const value = values[at] as number;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const [sum, turned] = sumsOf(values, block * size, size);
  all[block] = low;
  all[count + block] = high;
  all[2 * count + block] = sum;
  all[3 * count + block] = turned;
}

/** The sum of some neighbours, and that of each times its distance from their middle. */
export function sumsOf(values: Float64Array, from: number, size: number): readonly [number, number] {
  let sum = 0;
  let turned = 0;
  let away = -(size - 1) / 2;
  for (let at = from; at < from + size; at++, away++) {
    const value = values[at] as number;
    sum += value;
    turned += away * value;
  }
  return [sum, turned];
}
