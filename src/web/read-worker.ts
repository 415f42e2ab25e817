// The worker that reads a dropped file: what the file is, its samples, the pulls in them, and pieces of its picture.
import { type Problem, refuse } from "../problem/mod.ts";
import {
  createRecordingParser,
  type Layout,
  layoutHeadBytes,
  maxRecordingBytes,
  proposeLayout,
  readTrace,
  type Trace,
  traceWindow,
} from "../trace/mod.ts";
import type { FromWorker, ToWorker } from "./recording/messages.ts";

/** Bytes read at once: large enough to be quick, small enough that progress is seen. */
const stepBytes = 4 * 1024 * 1024;
let read: Trace | undefined;

self.onmessage = async (event: MessageEvent<ToWorker>) => {
  const message = event.data;
  try {
    answer(await act(message));
  } catch (error) {
    answer({
      id: message.id,
      kind: "failed",
      message: error instanceof Error ? error.message : String(error),
    });
  }
};

async function act(message: ToWorker): Promise<FromWorker> {
  const { id } = message;
  switch (message.kind) {
    case "propose": {
      const { file, hints } = message;
      const head = new Uint8Array(await file.slice(0, layoutHeadBytes).arrayBuffer());
      const proposal = proposeLayout(head, { fileName: file.name, totalBytes: file.size, hints });
      return { id, kind: "proposal", answer: proposal };
    }
    case "read":
      return readFile(id, message.file, message.layout);
    case "window": {
      const { fromRow, toRow, columns } = message;
      return {
        id,
        kind: "window",
        window: read === undefined ? undefined : traceWindow(read, { fromRow, toRow, columns }),
      };
    }
  }
}

async function readFile(id: number, file: File, layout: Layout): Promise<FromWorker> {
  // Said before half a gibibyte was read in vain; in the same words as the parser's.
  if (file.size > maxRecordingBytes) return { id, kind: "reading", answer: refuse(tooLarge(file)) };
  let rows = 0;
  const parser = createRecordingParser(layout, {
    onProgress: (_bytes, rowsRead) => {
      rows = rowsRead;
    },
  });
  for (let from = 0; from < file.size; from += stepBytes) {
    const more = parser.push(new Uint8Array(await file.slice(from, from + stepBytes).arrayBuffer()));
    answer({ id, kind: "progress", share: Math.min(1, (from + stepBytes) / file.size), rows });
    if (!more) break;
  }
  const parsed = parser.finish();
  if (!parsed.ok) return { id, kind: "reading", answer: parsed };
  const [first, ...others] = parsed.value.problems;
  if (first !== undefined) return { id, kind: "reading", answer: refuse(first, ...others) };
  read = parsed.value.trace;
  const reading = readTrace(read, { layout, warnings: parsed.warnings });
  return { id, kind: "reading", answer: { ok: true, value: reading, warnings: parsed.warnings } };
}

function tooLarge(file: File): Problem {
  return {
    code: "TRACE_TOO_LARGE",
    message: `The file is larger than ${maxRecordingBytes / 1024 / 1024} MiB, which is the most that is read.`,
    where: { file: file.name },
    found: `${Math.round(file.size / 1024 / 1024)} MiB`,
    wayOut: "Split the recording, one pull in each file.",
  };
}

function answer(message: FromWorker): void {
  self.postMessage(message);
}
