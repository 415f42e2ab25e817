import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { Worker } from "node:worker_threads";
import { type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { Layout, PullReading, Reading, ReadingContext, Trace } from "../../trace/mod.ts";
import type { Rows } from "../read-stretch.ts";
import { answerTask, type ReadTask } from "./read-task.ts";

/** Files smaller than this are read faster than a thread starts. */
export const smallBytes = 2_000_000;

/** Reads a recording, in a thread of its own where the file is large and the built worker is there. */
export async function readInThread(
  bytes: readonly Uint8Array[],
  layout: Layout,
  { context, signal }: { readonly context?: ReadingContext; readonly signal?: AbortSignal } = {},
): Promise<Result<Reading>> {
  const task = { what: "reading", bytes, layout, ...(context === undefined ? {} : { context }) } as const;
  return (await run(task, signal)) as Result<Reading>;
}

/** Reads one stretch of a recording as a pull. */
export async function readStretchInThread(
  bytes: readonly Uint8Array[],
  layout: Layout,
  about: { readonly stretch: Rows; readonly within: Rows; readonly context?: ReadingContext },
): Promise<Result<PullReading>> {
  return (await run({ what: "stretch", bytes, layout, ...about })) as Result<PullReading>;
}

/** The samples of a recording, likewise. */
export async function parseInThread(bytes: readonly Uint8Array[], layout: Layout): Promise<Result<Trace>> {
  return (await run({ what: "trace", bytes, layout })) as Result<Trace>;
}

let distRoot: URL | undefined;

/** Says where the built files lie, where they are not beside this one or in the folder above it. */
export function setDistRoot(root: URL): void {
  distRoot = root;
}

async function run(task: ReadTask, signal?: AbortSignal): Promise<Result<Reading | PullReading | Trace>> {
  if (signal?.aborted === true) return refuse(stopped);
  const size = task.bytes.reduce((sum, part) => sum + part.length, 0);
  const worker = size < smallBytes ? undefined : workerFile();
  if (worker === undefined) return answerTask(task);
  return inWorker(worker, task, signal);
}

function inWorker(
  file: URL,
  task: ReadTask,
  signal?: AbortSignal,
): Promise<Result<Reading | PullReading | Trace>> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(file, { workerData: task });
    const stop = () => {
      resolve(refuse(stopped));
      void worker.terminate();
    };
    signal?.addEventListener("abort", stop, { once: true });
    worker.once("message", (answer: Result<Reading | PullReading | Trace>) => resolve(answer));
    worker.once("error", reject);
    worker.once("exit", () => {
      signal?.removeEventListener("abort", stop);
      // Without effect where there was an answer.
      reject(new Error("The reading thread ended without an answer."));
    });
  });
}

/** The built worker: beside the bundle, or above it where the bundle is a chunk. Absent when run from the sources. */
export function workerFile(): URL | undefined {
  const places = [distRoot, new URL("./", import.meta.url), new URL("../", import.meta.url)];
  return places
    .filter((place) => place !== undefined)
    .map((place) => new URL("read-worker.js", place))
    .find((file) => file.protocol === "file:" && existsSync(fileURLToPath(file)));
}

const stopped: Problem = {
  code: "TRACE_STOPPED",
  message: "Reading was stopped before the end of the file; nothing was stored.",
};
