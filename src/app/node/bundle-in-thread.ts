import { Worker } from "node:worker_threads";
import { type Bundle, readBundle } from "../../bundle/mod.ts";
import type { Result } from "../../problem/mod.ts";
import type { BundleOnDisk, Verification } from "../contract.ts";
import { type BundleWork, packBundle } from "../pack-bundle.ts";
import { smallBytes, workerFile } from "./read-in-thread.ts";
import type { BundleTask } from "./read-task.ts";
import { sha256 } from "./sha256.ts";

// Each in a thread of its own, so that a server goes on answering; what is small in the caller's, which is quicker.

/** A bundle unpacks to some ten times its bytes. */
const smallBundleBytes = smallBytes / 10;

export async function packInThread(work: BundleWork): Promise<Result<Uint8Array>> {
  const size = [...work.recordings, ...work.pictures.map(({ bytes }) => bytes)].reduce(
    (sum, { length }) => sum + length,
    0,
  );
  const file = size < smallBytes ? undefined : workerFile();
  if (file === undefined) return packBundle(work, (bytes) => sha256([bytes]));
  return inThread(file, { what: "pack bundle", work });
}

export async function readBundleInThread(bytes: Uint8Array): Promise<Result<Bundle>> {
  const file = bytes.length < smallBundleBytes ? undefined : workerFile();
  if (file === undefined) return readBundle(bytes, { sha256: (part) => sha256([part]) });
  return inThread(file, { what: "read bundle", bytes });
}

export async function verifyInThread(bundle: BundleOnDisk): Promise<Result<Verification> | undefined> {
  const file = bundle.bytes.length < smallBundleBytes ? undefined : workerFile();
  return file && inThread(file, { what: "verify bundle", file: bundle });
}

function inThread<T>(file: URL, task: BundleTask): Promise<Result<T>> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(file, { workerData: task });
    worker.once("message", (answer: Result<T>) => resolve(answer));
    worker.once("error", reject);
    // Without effect where there was an answer.
    worker.once("exit", () => reject(new Error("The thread ended without an answer.")));
  });
}
