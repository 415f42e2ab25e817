import { Worker } from "node:worker_threads";

/** Threads that wait for their next task: to start one costs as much as thousands of refits. */
const waiting = new Set<{ readonly worker: Worker; readonly file: string; readonly ends: NodeJS.Timeout }>();
const mostWaiting = 2;
const waitsMs = 60_000;

/**
 * Gives a task to a thread of that file: one that waits for the next, or a new one. Each of its messages is handed to `hear`,
 * which answers whether the task is done; then the thread waits again. Stopped, it ends at once.
 *
 * @returns false where it was stopped; rejects where the thread fails.
 */
export function giveToThread<Message>(
  file: URL,
  task: object,
  hear: (message: Message) => boolean,
  signal?: AbortSignal,
): Promise<boolean> {
  return new Promise((resolve, reject) => {
    const worker = hire(file);
    const take = (message: Message) => {
      if (!hear(message)) return;
      leave();
      release(file, worker);
      resolve(true);
    };
    const stop = () => {
      leave();
      void worker.terminate();
      resolve(false);
    };
    const fail = (error: Error) => {
      leave();
      reject(error);
    };
    const end = () => fail(new Error("The thread ended before its task was done."));
    const leave = () => {
      worker.off("message", take).off("error", fail).off("exit", end);
      signal?.removeEventListener("abort", stop);
    };
    worker.on("message", take).on("error", fail).on("exit", end);
    signal?.addEventListener("abort", stop, { once: true });
    worker.postMessage(task);
  });
}

function hire(file: URL): Worker {
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

/** Lets it wait when its task is done. It does not keep the program from ending, and ends by itself when nothing comes. */
function release(file: URL, worker: Worker): void {
  worker.unref();
  const ends = setTimeout(() => void worker.terminate(), waitsMs).unref();
  if (waiting.size < mostWaiting) waiting.add({ worker, file: file.href, ends });
  else void worker.terminate();
}
