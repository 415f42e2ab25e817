import { setImmediate } from "node:timers/promises";
import type { SlipOrBreakPlan, SlipOrBreakRefits } from "../../findings/mod.ts";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { LongWork } from "../contract.ts";
import { stopped } from "../stopped.ts";
import { workerFile } from "./read-in-thread.ts";
import { type RefitTask, refitBlocks } from "./read-task.ts";
import { giveToThread } from "./waiting-threads.ts";

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
    file === undefined ? inTurns(task, add, signal) : inThread(file, task, add, signal),
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

/** Each message of the thread is a block. */
async function inThread(file: URL, task: RefitTask, add: Add, signal?: AbortSignal): Promise<void> {
  let left = task.to - task.from;
  await giveToThread<{ part: SlipOrBreakRefits; refits: number }>(
    file,
    task,
    ({ part, refits }) => {
      add(part, refits);
      left -= refits;
      return left <= 0;
    },
    signal,
  );
}
