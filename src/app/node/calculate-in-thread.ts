import { type Result, refuse } from "../../problem/mod.ts";
import { runCalculation } from "../calc/mod.ts";
import type { LongWork } from "../contract.ts";
import { stopped } from "../stopped.ts";
import { workerFile } from "./read-in-thread.ts";
import type { CalculationTask } from "./read-task.ts";
import { giveToThread } from "./waiting-threads.ts";

/**
 * Runs a calculation that can take long in a thread of its own, so that a server goes on answering; in the caller's where the
 * built worker is not there. The thread then waits a minute for the next. Stopped, it ends at once.
 */
export async function calculateInThread(
  name: string,
  input: unknown,
  { signal }: LongWork = {},
): Promise<Result<object>> {
  if (signal?.aborted === true) return refuse(stopped);
  const file = workerFile();
  if (file === undefined) return runCalculation(name, input);
  let answer: Result<object> = refuse(stopped);
  const task: CalculationTask = { what: "calculation", name, input };
  await giveToThread<Result<object>>(
    file,
    task,
    (told) => {
      answer = told;
      return true;
    },
    signal,
  );
  return answer;
}
