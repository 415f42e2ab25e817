import { type Result, refuse } from "../../problem/mod.ts";
import type { Layout, LayoutHints, LayoutProposal, Reading } from "../../trace/mod.ts";
import type { TraceSource } from "../trace/use-windows.ts";
import type { FromWorker, ToWorker } from "./messages.ts";

export type Progress = { readonly share: number; readonly rows: number };

/** Reads one dropped file in a worker of its own, so that the page stays at hand; the file leaves this computer never. */
export type FileReader = {
  propose(hints: LayoutHints): Promise<Result<LayoutProposal>>;
  read(layout: Layout, onProgress: (progress: Progress) => void): Promise<Result<Reading>>;
  /** The extremes of the samples that were read last. */
  readonly source: TraceSource;
  /** Stops at once, whatever is under way. */
  stop(): void;
};

/** A message without its number. */
type Asked = ToWorker extends infer Message ? (Message extends unknown ? Omit<Message, "id"> : never) : never;

export function openFile(file: File): FileReader {
  let worker: Worker | undefined;
  let lastId = 0;
  const waiting = new Map<number, (message: FromWorker) => void>();

  function start(): Worker {
    const fresh = new Worker("/read-worker.js", { type: "module" });
    fresh.onmessage = (event: MessageEvent<FromWorker>) => waiting.get(event.data.id)?.(event.data);
    fresh.onerror = (event) => {
      for (const [id, answer] of waiting) answer({ id, kind: "failed", message: event.message });
    };
    return fresh;
  }

  function say(asked: Asked, hear: (message: FromWorker) => void): void {
    worker ??= start();
    lastId += 1;
    const id = lastId;
    waiting.set(id, (message) => {
      if (message.kind !== "progress") waiting.delete(id);
      hear(message);
    });
    worker.postMessage({ ...asked, id });
  }

  return {
    propose: (hints) =>
      new Promise((resolve) => {
        say({ kind: "propose", file, hints }, (message) => {
          if (message.kind === "proposal") resolve(message.answer);
          else if (message.kind === "failed") resolve(unreadable(file, message.message));
        });
      }),
    read: (layout, onProgress) =>
      new Promise((resolve) => {
        say({ kind: "read", file, layout }, (message) => {
          if (message.kind === "progress") onProgress(message);
          else if (message.kind === "reading") resolve(message.answer);
          else if (message.kind === "failed") resolve(unreadable(file, message.message));
        });
      }),
    source: (fromRow, toRow, columns) =>
      new Promise((resolve) => {
        say({ kind: "window", fromRow, toRow, columns }, (message) => {
          resolve(message.kind === "window" ? message.window : undefined);
        });
      }),
    stop() {
      worker?.terminate();
      worker = undefined;
      waiting.clear();
    },
  };
}

/** The browser could not get at the file: it was moved, or is in use by another program. */
function unreadable(file: File, message: string) {
  return refuse({
    code: "INPUT_FILE",
    message: "The browser could not read this file.",
    where: { file: file.name },
    found: message,
    wayOut: "See that it is still where it was and that no other program holds it, and drop it again.",
  });
}
