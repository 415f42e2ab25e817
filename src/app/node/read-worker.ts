import { parentPort, workerData } from "node:worker_threads";
import {
  answerTask,
  type CalculationTask,
  type PackTask,
  type ReadTask,
  type RefitTask,
  refitBlocks,
} from "./read-task.ts";
import { sha256 } from "./sha256.ts";

// The thread for long work: one task comes with it, its answer goes back, and it ends.
const task = workerData as ReadTask | PackTask | { readonly what: "waits" };
if (task.what === "waits")
  // For refits and calculations it stays, and each task comes as a message.
  parentPort?.on("message", (next: RefitTask | CalculationTask) => {
    if (next.what === "calculation") void calculate(next);
    else for (const block of refitBlocks(next)) parentPort?.postMessage(block);
  });
else if (task.what === "bundle") {
  // Zod and the zip are loaded where they are wanted.
  const { packBundle } = await import("../pack-bundle.ts");
  const packed = packBundle(task.work, (bytes) => sha256([bytes]));
  parentPort?.postMessage(packed, packed.ok ? [packed.value.buffer as ArrayBuffer] : []);
} else answerReading(task);

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
