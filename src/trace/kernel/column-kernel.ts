import { columnsWasm } from "./columns.wasm.ts";
import { loadKernel } from "./load-kernel.ts";

/** What columns.as gives, and its memory as numbers. */
export type ColumnKernel = {
  readonly numbers: Float64Array;
  readonly extremes: (stretches: number) => void;
  readonly steps: (pairs: number) => void;
};

/**
 * Where things lie in the module's memory, as numbers of 8 bytes: the value before a chunk, the chunk, and what was found.
 * The chunk begins half a page of 4096 bytes behind one's start: a processor takes a store for one to the load that lies
 * a whole number of pages away, and copying in took 19 ms in place of 4 for 1e7 values where both lay so (measured).
 */
export const places = { before: 255, chunk: 256, lows: 256 + 8192, highs: 256 + 8192 + 512 } as const;
/** Values of one chunk: with what is found they stay in a core's own cache, and a column takes no memory of its own. */
export const chunkSize = 8192;

let started: ColumnKernel | undefined | "none";

/** The kernel, started when it is first asked for (1 ms); nothing where there is none: then the plain twins do the work. */
export function columnKernel(): ColumnKernel | undefined {
  started ??= start() ?? "none";
  return started === "none" ? undefined : started;
}

type Exports = Omit<ColumnKernel, "numbers"> & { readonly memory: WebAssembly.Memory };

function start(): ColumnKernel | undefined {
  const kernel = loadKernel<Exports>(columnsWasm);
  return (
    kernel && {
      extremes: kernel.extremes,
      steps: kernel.steps,
      numbers: new Float64Array(kernel.memory.buffer),
    }
  );
}
