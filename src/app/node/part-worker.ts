import { closeSync, openSync, readSync } from "node:fs";
import { parentPort, workerData } from "node:worker_threads";
import { createPlainPartReader, type Layout, type PlainPart } from "../../trace/mod.ts";

/** What this thread is to read: bytes `from` to before `to` of a file, from the start of a line. */
export type PartTask = {
  readonly path: string;
  readonly from: number;
  readonly to: number;
  readonly layout: Layout;
  /** Where the columns begin to grow. */
  readonly memory: readonly Float64Array[];
};

const pieceBytes = 1024 * 1024;

// The thread that reads the second half of a large recording: one task comes with it, and it ends.
parentPort?.postMessage(readPart(workerData as PartTask));

function readPart({ path, from, to, layout, memory }: PartTask): PlainPart | undefined {
  const reader = createPlainPartReader(
    layout,
    memory.map((values) => ({ values, room: values.length })),
  );
  if (reader === undefined) return undefined;
  const buffer = new Uint8Array(pieceBytes);
  const file = openSync(path, "r");
  try {
    let at = from;
    // What is left of a piece, the beginning of a line, goes before the next one.
    for (let left = 0; at < to; ) {
      const count = readSync(file, buffer, left, Math.min(buffer.length - left, to - at), at);
      if (count === 0) break;
      at += count;
      const filled = left + count;
      const read = reader.read(buffer.subarray(0, filled));
      if (reader.isDone || read === 0) break;
      buffer.copyWithin(0, read, filled);
      left = filled - read;
    }
  } finally {
    closeSync(file);
  }
  return reader.take();
}
