import { Worker } from "node:worker_threads";

/** Threads that wait for their next task: to start one costs as much as thousands of refits. */
const waiting = new Set<{ readonly worker: Worker; readonly file: string; readonly ends: NodeJS.Timeout }>();
const mostWaiting = 2;
const waitsMs = 60_000;

/** A thread of that file which takes tasks as messages: one that waits, or a new one. */
export function hire(file: URL): Worker {
  for (const one of waiting) {
    if (one.file !== file.href) continue;
    waiting.delete(one);
    clearTimeout(one.ends);
    one.worker.ref();
    return one.worker;
  }
  const worker = new Worker(file, { workerData: { what: "waits" } });
  const forget = () => {
    for (const one of waiting) if (one.worker === worker) waiting.delete(one);
  };
  worker.on("error", forget).on("exit", forget);
  return worker;
}

/** Gives it back when its task is done. It does not keep the program from ending, and ends by itself when nothing comes. */
export function release(file: URL, worker: Worker): void {
  worker.unref();
  const ends = setTimeout(() => void worker.terminate(), waitsMs).unref();
  if (waiting.size < mostWaiting) waiting.add({ worker, file: file.href, ends });
  else void worker.terminate();
}
