import { parentPort, workerData } from "node:worker_threads";
import {
  answerTask,
  type BundleTask,
  type CalculationTask,
  type ReadTask,
  type RefitTask,
  refitBlocks,
} from "./read-task.ts";
import { sha256 } from "./sha256.ts";

// The thread for long work: one task comes with it, its answer goes back, and it ends.
const task = workerData as ReadTask | BundleTask | { readonly what: "waits" };
if (task.what === "waits")
  // For refits and calculations it stays, and each task comes as a message.
  parentPort?.on("message", (next: RefitTask | CalculationTask) => {
    if (next.what === "calculation") void calculate(next);
    else for (const block of refitBlocks(next)) parentPort?.postMessage(block);
  });
// What the others load is loaded where it is wanted.
else if (task.what === "pack bundle") {
  const { packBundle } = await import("../pack-bundle.ts");
  const packed = packBundle(task.work, (bytes) => sha256([bytes]));
  parentPort?.postMessage(packed, packed.ok ? [packed.value.buffer as ArrayBuffer] : []);
} else if (task.what === "read bundle") {
  const { readBundle } = await import("../../bundle/mod.ts");
  const read = readBundle(task.bytes, { sha256: (bytes) => sha256([bytes]) });
  parentPort?.postMessage(read, read.ok ? ownBuffers(read.value.files.values()) : []);
} else if (task.what === "verify bundle") {
  const { answerVerify } = await import("./answer-verify.ts");
  parentPort?.postMessage(await answerVerify(task.file));
} else answerReading(task);

/** Memory that holds a large file and nothing else: it is handed over, not copied. */
function ownBuffers(files: Iterable<Uint8Array>): ArrayBuffer[] {
  return [...files].flatMap(({ buffer, byteLength }) =>
    buffer instanceof ArrayBuffer && byteLength === buffer.byteLength && byteLength > 100_000 ? [buffer] : [],
  );
}

async function calculate({ name, input }: CalculationTask): Promise<void> {
  // The registry is large, and the other tasks do without it.
  const { runCalculation } = await import("../calc/mod.ts");
  parentPort?.postMessage(runCalculation(name, input));
}

function answerReading(reading: ReadTask): void {
  const answer = answerTask(reading);
  const columns =
    answer.ok && "forceN" in answer.value
      ? [answer.value.forceN, answer.value.timeS, answer.value.displacementM, answer.value.segment]
      : [];
  // Columns are handed over, not copied: a trace can be hundreds of megabytes.
  parentPort?.postMessage(
    answer,
    columns.flatMap((column) => (column?.buffer instanceof ArrayBuffer ? [column.buffer] : [])),
  );
}
