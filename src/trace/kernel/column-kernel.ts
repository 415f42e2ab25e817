import { columnsWasm } from "./columns.wasm.ts";
import { loadKernel } from "./load-kernel.ts";

/** What columns.as gives: places are bytes of its memory. */
export type ColumnKernel = {
  readonly memory: WebAssembly.Memory;
  /** The lowest of each 16 values from `below`, and the highest of each 16 from `above`. */
  extremes(below: number, above: number, stretches: number, lows: number, highs: number): void;
  /** The shortest and the longest of so many fours of steps and of the two at `found`, where they are then left. */
  steps(from: number, fours: number, found: number): void;
};

/** A kernel into whose memory a column is copied chunk by chunk; the memory as numbers. */
export type ChunkKernel = ColumnKernel & { readonly numbers: Float64Array };

/**
 * Where things lie in the memory of a chunk kernel, as numbers of 8 bytes: the value before a chunk, the chunk, and what was
 * found. The chunk begins half a page of 4096 bytes behind one's start: a processor takes a store for one to the load that
 * lies a whole number of pages away, and copying in took 19 ms in place of 4 for 1e7 values where both lay so (measured).
 */
export const places = { before: 255, chunk: 256, lows: 256 + 8192, highs: 256 + 8192 + 512 } as const;
/** Values of one chunk: with what is found they stay in a core's own cache. */
export const chunkSize = 8192;

let shared: ChunkKernel | undefined | "none";

/** The one for all columns, started when it is first asked for (1 ms); nothing where there is none: then the plain twins do. */
export function chunkKernel(): ChunkKernel | undefined {
  shared ??= start() ?? "none";
  return shared === "none" ? undefined : shared;
}

/** One with a memory of its own. */
export function startColumnKernel(): ColumnKernel | undefined {
  return loadKernel<ColumnKernel>(columnsWasm);
}

function start(): ChunkKernel | undefined {
  const kernel = startColumnKernel();
  if (kernel === undefined) return undefined;
  const { memory, extremes, steps } = kernel;
  return { memory, extremes, steps, numbers: new Float64Array(memory.buffer) };
}
