import { setImmediate } from "node:timers/promises";
import type { SlipOrBreakPlan, SlipOrBreakRefits } from "../../findings/mod.ts";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { LongWork } from "../contract.ts";
import { workerFile } from "./read-in-thread.ts";
import { type RefitTask, refitBlocks } from "./read-task.ts";
import { hire, release } from "./waiting-threads.ts";

/** More would take the machine from its user; two bring 2,000 refits well under a second. */
const mostThreads = 2;

/**
 * Does all refits of a plan in threads of their own, or in turns of the caller's where the built worker is not there. The
 * refits are the same however many threads share them.
 */
export async function refitInThreads(
  plan: SlipOrBreakPlan,
  { signal, onProgress }: LongWork = {},
  threads = mostThreads,
): Promise<Result<readonly SlipOrBreakRefits[]>> {
  const parts: SlipOrBreakRefits[] = [];
  const aborted = () => signal?.aborted === true;
  const add = (part: SlipOrBreakRefits, refits: number) => {
    if (aborted()) return;
    parts.push(part);
    done += refits;
    onProgress?.(done / plan.refits);
  };
  let done = 0;
  const file = workerFile();
  if (aborted()) return refuse(stopped);
  const shares = shareOut(plan, threads).map((task) =>
    file === undefined ? inTurns(task, add, signal) : inWorker(file, task, add, signal),
  );
  await Promise.all(shares);
  return aborted() ? refuse(stopped) : ok(parts);
}

/** Called with each block of refits that is done, and how many they are. */
type Add = (part: SlipOrBreakRefits, refits: number) => void;

function shareOut(plan: SlipOrBreakPlan, threads: number): RefitTask[] {
  const each = Math.ceil(plan.refits / threads);
  return Array.from({ length: threads }, (_, i) => ({
    what: "refits" as const,
    plan,
    from: Math.min(i * each, plan.refits),
    to: Math.min((i + 1) * each, plan.refits),
  })).filter(({ from, to }) => from < to);
}

async function inTurns(task: RefitTask, add: Add, signal?: AbortSignal): Promise<void> {
  for (const { part, refits } of refitBlocks(task)) {
    if (signal?.aborted === true) return;
    add(part, refits);
    await setImmediate();
  }
}

/** Each message of the worker is a block; when it has done them all it waits for the next task, when it is stopped it ends. */
function inWorker(file: URL, task: RefitTask, add: Add, signal?: AbortSignal): Promise<void> {
  return new Promise((resolve, reject) => {
    const worker = hire(file);
    let left = task.to - task.from;
    const hear = ({ part, refits }: { part: SlipOrBreakRefits; refits: number }) => {
      add(part, refits);
      left -= refits;
      if (left > 0) return;
      leave();
      release(file, worker);
      resolve();
    };
    const stop = () => {
      leave();
      void worker.terminate();
      resolve();
    };
    const fail = (error: Error) => {
      leave();
      reject(error);
    };
    const end = () => fail(new Error("The refitting thread ended before it was done."));
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
