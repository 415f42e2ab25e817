import { type Problem, type Result, refuse } from "../../problem/mod.ts";
import { runCalculation } from "../calc/mod.ts";
import type { LongWork } from "../contract.ts";
import { workerFile } from "./read-in-thread.ts";
import type { CalculationTask } from "./read-task.ts";
import { hire, release } from "./waiting-threads.ts";

/**
 * Runs a calculation that can take long in a thread of its own, so that a server goes on answering; in the caller's where the
 * built worker is not there. The thread then waits a minute for the next. Stopped, it ends at once.
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
    const worker = hire(file);
    const hear = (answer: Result<object>) => {
      leave();
      release(file, worker);
      resolve(answer);
    };
    const stop = () => {
      leave();
      void worker.terminate();
      resolve(refuse(stopped));
    };
    const fail = (error: Error) => {
      leave();
      reject(error);
    };
    const end = () => fail(new Error("The calculating thread ended without an answer."));
    const leave = () => {
      worker.off("message", hear).off("error", fail).off("exit", end);
      signal?.removeEventListener("abort", stop);
    };
    worker.on("message", hear).on("error", fail).on("exit", end);
    signal?.addEventListener("abort", stop, { once: true });
    worker.postMessage(task);
  });
}

const stopped: Problem = { code: "FINDING_STOPPED", message: "The calculation was stopped before its end." };
