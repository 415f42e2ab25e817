import { Worker } from "node:worker_threads";
import type { Result } from "../../problem/mod.ts";
import { type BundleWork, packBundle } from "../pack-bundle.ts";
import { smallBytes, workerFile } from "./read-in-thread.ts";
import type { PackTask } from "./read-task.ts";
import { sha256 } from "./sha256.ts";

/** Packs a bundle in a thread of its own, so that a server goes on answering; a small one in the caller's, which is quicker. */
export function packInThread(work: BundleWork): Promise<Result<Uint8Array>> {
  const size = [...work.recordings, ...work.pictures.map(({ bytes }) => bytes)].reduce(
    (sum, { length }) => sum + length,
    0,
  );
  const file = size < smallBytes ? undefined : workerFile();
  if (file === undefined) return Promise.resolve(packBundle(work, (bytes) => sha256([bytes])));
  return new Promise((resolve, reject) => {
    const task: PackTask = { what: "bundle", work };
    const worker = new Worker(file, { workerData: task });
    worker.once("message", (packed: Result<Uint8Array>) => resolve(packed));
    worker.once("error", reject);
    // Without effect where there was an answer.
    worker.once("exit", () => reject(new Error("The packing thread ended without an answer.")));
  });
}
