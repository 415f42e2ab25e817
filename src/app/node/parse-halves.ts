import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Worker } from "node:worker_threads";
import type { Result } from "../../problem/mod.ts";
import {
  createRecordingParser,
  isReadInParts,
  type Layout,
  type ParsedRecording,
  type PlainPart,
} from "../../trace/mod.ts";
import type { PartTask } from "./part-worker.ts";

/** A file that is read piece by piece. */
export type FileToParse = {
  readonly path: string;
  readonly sizeBytes: number;
  /** The pieces of bytes `from` to before `to`, all by default. */
  pieces(from?: number, to?: number): Iterable<Uint8Array>;
};

export type ParseFileOptions = {
  readonly onPiece?: (piece: Uint8Array) => void;
  readonly worker?: URL | undefined;
  /** From which size on two threads read. */
  readonly largeBytes?: number;
};

/** A smaller file is read by one thread before a second has started and read its half. */
const twoThreadsFrom = 40_000_000;
/** So much is looked at to find a line end in the middle. */
const lookedAt = 64 * 1024;
const lineFeed = 10;
/** Rows are foreseen by the length of those in the middle, and so many times more. */
const margin = 1.1;

/**
 * Parses a recording from its file; the second half of a large one is read by a thread meanwhile. The answer is that of one
 * thread: the other reads plain rows only, and from the first row of its half that is not plain this one goes on.
 *
 * @param options `onPiece` is given each piece of the file once, in order; `worker` is the built part-worker.ts, where it
 * does not lie beside the bundle.
 */
export async function parseFile(
  file: FileToParse,
  layout: Layout,
  { onPiece, worker = workerFile(), largeBytes = twoThreadsFrom }: ParseFileOptions = {},
): Promise<Result<ParsedRecording>> {
  const { sizeBytes } = file;
  const halves = worker === undefined || sizeBytes < largeBytes ? undefined : planHalves(file, layout);
  if (worker === undefined || halves === undefined) {
    const parser = createRecordingParser(layout, { sizeBytes });
    let isWanted = true;
    for (const piece of file.pieces()) {
      onPiece?.(piece);
      isWanted = isWanted && parser.push(piece);
    }
    return parser.finish();
  }
  const { cut, columns, room } = halves;
  // Loaded only here, and before anything is read: a thread that is asked for later begins when this one has ended.
  const { Worker } = await import("node:worker_threads");
  const workerData: PartTask = {
    path: file.path,
    from: cut,
    to: sizeBytes,
    layout,
    memory: columns.map((values) => values.subarray(room)),
  };
  const second = answerOf(new Worker(worker, { workerData }));
  const parser = createRecordingParser(layout, { memory: columns.map((values) => ({ values, room })) });
  let isWanted = true;
  for (const piece of file.pieces(0, cut)) {
    onPiece?.(piece);
    isWanted = isWanted && parser.push(piece);
  }
  if (onPiece !== undefined) for (const piece of file.pieces(cut)) onPiece(piece);
  const part = await second;
  const isTaken =
    isWanted &&
    part !== undefined &&
    parser.append({
      ...part,
      // What came back is another name for the same shared memory, unless the thread ran out of that.
      columns: part.columns.map((column, at) =>
        column.buffer instanceof SharedArrayBuffer
          ? (columns[at] as Float64Array).subarray(room, room + column.length)
          : column,
      ),
    });
  const from = isTaken ? cut + part.bytes : cut;
  for (const piece of file.pieces(from)) isWanted = isWanted && parser.push(piece);
  return parser.finish();
}

/** Where the file is cut, and shared columns with room for each half; nothing where one thread is to read it. */
function planHalves(file: FileToParse, layout: Layout) {
  const { sizeBytes } = file;
  if (!isReadInParts(layout)) return undefined;
  const from = Math.floor(sizeBytes / 2);
  const [middle = new Uint8Array()] = file.pieces(from, from + lookedAt);
  const first = middle.indexOf(lineFeed) + 1;
  const last = middle.lastIndexOf(lineFeed) + 1;
  let lines = 0;
  for (let at = first; at < last; at++) if (middle[at] === lineFeed) lines++;
  if (lines === 0) return undefined;
  const cut = from + first;
  const rowsPerByte = (margin * lines) / (last - first);
  const room = Math.ceil(cut * rowsPerByte);
  const rows = room + Math.ceil((sizeBytes - cut) * rowsPerByte);
  const count = 1 + (layout.time.kind === "column" ? 1 : 0) + (layout.displacement === undefined ? 0 : 1);
  const columns = Array.from({ length: count }, () => new Float64Array(new SharedArrayBuffer(8 * rows)));
  return { cut, columns, room };
}

/** What a thread read of a part; nothing where it could not, for whatever reason: then this one does. */
function answerOf(worker: Worker): Promise<PlainPart | undefined> {
  return new Promise((resolve) => {
    worker.once("message", resolve);
    worker.once("error", () => resolve(undefined));
    worker.once("exit", () => resolve(undefined));
  });
}

/** The built worker: beside the bundle, or above it where the bundle is a chunk. Absent when run from the sources. */
function workerFile(): URL | undefined {
  return [new URL("./", import.meta.url), new URL("../", import.meta.url)]
    .map((place) => new URL("part-worker.cjs", place))
    .find((file) => existsSync(fileURLToPath(file)));
}
