import { parentPort, workerData } from "node:worker_threads";
import { answerTask, type ReadTask } from "./read-task.ts";

// The reading thread: one task comes with it, one answer goes back, and it ends.
const answer = answerTask(workerData as ReadTask);
const columns =
  answer.ok && "forceN" in answer.value
    ? [answer.value.forceN, answer.value.timeS, answer.value.displacementM, answer.value.segment]
    : [];
// Columns are handed over, not copied: a trace can be hundreds of megabytes.
parentPort?.postMessage(
  answer,
  columns.flatMap((column) => (column?.buffer instanceof ArrayBuffer ? [column.buffer] : [])),
);
