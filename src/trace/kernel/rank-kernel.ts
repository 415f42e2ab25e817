import { loadKernel } from "./load-kernel.ts";
import { ranksWasm } from "./ranks.wasm.ts";

/** What ranks.as gives: `at` are bytes of its memory. */
export type RankKernel = {
  readonly memory: WebAssembly.Memory;
  steps(at: number, count: number): void;
  bends(at: number, count: number): void;
  away(at: number, count: number, from: number): void;
  above(at: number, count: number, limit: number): number;
  clip(at: number, count: number, limit: number): void;
  product(at: number, count: number, lag: number): number;
  multiples(at: number, count: number, unit: number): number;
  select(at: number, count: number, rank: number, rounds: number): number;
  highest(at: number, count: number): number;
  blocks(at: number, size: number, count: number, to: number): void;
};

const roomAt = 16;
/** So many values are asked of at once (R-MANY), with some more beside them. */
const mostValues = 65_536 + 16;
/** Fewer are as quickly done without. */
const fewValues = 1000;

/** Behind the values there is room for an answer: four numbers for each 16 of them. */
const answerAt = roomAt + 8 * mostValues;
const longestAnswer = 4 * 4097;

let shared: RankKernel | undefined | "none";

function rankKernel(): RankKernel | undefined {
  shared ??= loadKernel<RankKernel>(ranksWasm) ?? "none";
  return shared === "none" ? undefined : shared;
}

/**
 * Room for values that are worked on and then forgotten, good until somebody asks for room again. Of many it lies in the memory of
 * a kernel: what derived-values.ts and select.ts make of them is then done by it.
 *
 * What it buys: in a process that reads one file, loops over its samples are over before the compiler has done with them.
 * `bitterend read` takes 114 ms for 30,000 rows with the kernel, which starts in 0.5, and 141 without it (measured).
 */
export function roomFor(count: number): Float64Array {
  const kernel = isOfMany(count) ? rankKernel() : undefined;
  return kernel === undefined
    ? new Float64Array(count)
    : new Float64Array(kernel.memory.buffer, roomAt, count);
}

/** Whether so many values, laid out, lie in the kernel's memory, where there is one. */
export function isOfMany(count: number): boolean {
  return count >= fewValues && count <= mostValues;
}

/** Room for what is made of values in the kernel's memory; nothing where that is too much. */
export function roomForAnswer({ memory }: RankKernel, count: number): Float64Array | undefined {
  return count > longestAnswer ? undefined : new Float64Array(memory.buffer, answerAt, count);
}

/** Some values copied to where they may be worked on. */
export function laidOut(values: Float64Array): Float64Array {
  const room = roomFor(values.length);
  room.set(values);
  return room;
}

/** The kernel in whose memory values lie. */
export function rankKernelOf({ buffer }: Float64Array): RankKernel | undefined {
  return shared !== undefined && shared !== "none" && buffer === shared.memory.buffer ? shared : undefined;
}
