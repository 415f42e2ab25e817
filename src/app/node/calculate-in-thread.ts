import { Worker } from "node:worker_threads";
import { type Problem, type Result, refuse } from "../../problem/mod.ts";
import { runCalculation } from "../calc/mod.ts";
import type { LongWork } from "../contract.ts";
import { workerFile } from "./read-in-thread.ts";
import type { CalculationTask } from "./read-task.ts";

/**
 * Runs a calculation that can take seconds in a thread of its own, so that a server goes on answering; in the caller's where
 * the built worker is not there. Stopped, it ends at once.
 */
export function calculateInThread(
  name: string,
  input: unknown,
  { signal }: LongWork = {},
): Promise<Result<object>> {
  if (signal?.aborted === true) return Promise.resolve(refuse(stopped));
  const file = workerFile();
  if (file === undefined) return Promise.resolve(runCalculation(name, input));
  return new Promise((resolve, reject) => {
    const task: CalculationTask = { what: "calculation", name, input };
    const worker = new Worker(file, { workerData: task });
    const stop = () => {
      resolve(refuse(stopped));
      void worker.terminate();
    };
    signal?.addEventListener("abort", stop, { once: true });
    worker.once("message", (answer: Result<object>) => resolve(answer));
    worker.once("error", reject);
    worker.once("exit", () => {
      signal?.removeEventListener("abort", stop);
      // Without effect where there was an answer.
      reject(new Error("The calculating thread ended without an answer."));
    });
  });
}

const stopped: Problem = { code: "FINDING_STOPPED", message: "The calculation was stopped before its end." };
