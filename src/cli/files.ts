import { createHash } from "node:crypto";
import { closeSync, createReadStream, openSync, readSync, statSync } from "node:fs";
import { stat } from "node:fs/promises";
import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { maxRecordingBytes } from "../trace/mod.ts";

/** A recording's bytes in the chunks in which they were read, with what they are known by. */
export type FileBytes = {
  readonly bytes: readonly Uint8Array[];
  readonly sizeBytes: number;
  readonly sha256: string;
};

/**
 * Reads a recording, or the standard input for "-". A larger file than a recording may be is refused unread; a stream
 * whose size nobody knows is refused as soon as it has passed the limit.
 */
export async function readBytes(path: string, input: AsyncIterable<Uint8Array>): Promise<Result<FileBytes>> {
  try {
    if (path === "-") return await gather(path, input);
    const { size } = await stat(path);
    if (size > maxRecordingBytes) return refuse(refusedSize(path, size));
    return await gather(path, createReadStream(path, { highWaterMark: 1024 * 1024 }));
  } catch (error) {
    const problem = fileProblem(error, path);
    if (problem === undefined) throw error;
    return refuse(problem);
  }
}

/** A file as it is read piece by piece, twice over: its head for a look, then all of it. */
export type FilePieces = {
  readonly sizeBytes: number;
  readonly head: Uint8Array;
  /**
   * All pieces in order, or those of bytes `from` to before `to`. Each lies in the same memory as the one before: what is
   * kept of it must be copied.
   */
  pieces(from?: number, to?: number): Generator<Uint8Array>;
};

const pieceBytes = 1024 * 1024;

/**
 * Opens a recording to be read piece by piece, so that memory holds a megabyte of it and not all: a larger file than a
 * recording may be is refused unread. Nothing for what can be read but once, such as a pipe.
 */
export function openPieces(path: string, headBytes: number): Result<FilePieces | undefined> {
  return orFileProblem<FilePieces | undefined>(path, () => {
    const stats = statSync(path);
    if (!stats.isFile() && !stats.isDirectory()) return ok(undefined);
    const { size } = stats;
    if (size > maxRecordingBytes) return refuse(refusedSize(path, size));
    const head = new Uint8Array(Math.min(headBytes, size));
    const file = openSync(path, "r");
    try {
      let filled = 0;
      for (let read = -1; read !== 0 && filled < head.length; filled += read)
        read = readSync(file, head, filled, head.length - filled, null);
      return ok({
        sizeBytes: size,
        head: head.subarray(0, filled),
        pieces: (from, to) => piecesOf(path, from, to),
      });
    } finally {
      closeSync(file);
    }
  });
}

function* piecesOf(path: string, from = 0, to = Number.POSITIVE_INFINITY): Generator<Uint8Array> {
  const buffer = new Uint8Array(pieceBytes);
  const file = openSync(path, "r");
  try {
    for (let at = from; at < to; ) {
      const read = readSync(file, buffer, 0, Math.min(buffer.length, to - at), at);
      if (read === 0) return;
      at += read;
      yield buffer.subarray(0, read);
    }
  } finally {
    closeSync(file);
  }
}

/** Does work on a file; what the system refuses of it becomes a refusal in words. */
function orFileProblem<T>(path: string, work: () => Result<T>): Result<T> {
  try {
    return work();
  } catch (error) {
    const problem = fileProblem(error, path);
    if (problem === undefined) throw error;
    return refuse(problem);
  }
}

/** What the system said of a file, in words; nothing where the error is not the file system's. */
export function fileProblem(error: unknown, path: string): Problem | undefined {
  if (!(error instanceof Error && "code" in error && "syscall" in error)) return undefined;
  const [message, wayOut] = reasons[String(error.code)] ?? [`The system refuses it: ${error.message}.`];
  return {
    code: "INPUT_FILE",
    message,
    where: { file: path },
    ...(wayOut === undefined ? {} : { wayOut }),
  };
}

const reasons: Readonly<Record<string, readonly [string, string?]>> = {
  ENOENT: ["There is no such file.", "Look at the name and the folder."],
  ENOTDIR: ["A part of this path is a file, not a folder.", "Look at the path."],
  EISDIR: ["This is a folder, not a file.", "Name the files in it."],
  EACCES: ["This user may not open it.", "Look at its permissions."],
  EPERM: ["This user may not open it.", "Look at its permissions."],
  EEXIST: ["Something with that name is there already.", "Choose another name."],
  ENOSPC: ["There is no room left on the disk.", "Make room, or choose another disk."],
  EROFS: ["The disk can only be read.", "Choose another folder."],
};

async function gather(path: string, stream: AsyncIterable<Uint8Array>): Promise<Result<FileBytes>> {
  const hash = createHash("sha256");
  const bytes: Uint8Array[] = [];
  let sizeBytes = 0;
  for await (const chunk of stream) {
    sizeBytes += chunk.length;
    if (sizeBytes > maxRecordingBytes) return refuse(refusedSize(path, sizeBytes));
    hash.update(chunk);
    bytes.push(chunk);
  }
  return ok({ bytes, sizeBytes, sha256: hash.digest("hex") });
}

function refusedSize(file: string, size: number): Problem {
  return {
    code: "TRACE_TOO_LARGE",
    message: "The file is larger than a recording may be; nothing of it was read.",
    where: { file },
    found: `${size} bytes`,
    expected: `at most ${maxRecordingBytes} bytes`,
    wayOut: "Split the file at a rest, or export fewer columns or a lower rate.",
  };
}
