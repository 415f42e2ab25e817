import { createHash } from "node:crypto";
import { parseFile } from "../app/node/mod.ts";
import { ok, type Problem, type Result, type Warning } from "../problem/mod.ts";
import {
  completeLayout,
  type Layout,
  type LayoutHints,
  type LayoutReason,
  layoutHeadBytes,
  type ParsedRecording,
  type PullReading,
  parseRecording,
  proposeLayout,
  type Reading,
  readParsed,
} from "../trace/mod.ts";
import { type FileBytes, fileProblem, openPieces, readBytes } from "./files.ts";
import type { Terminal } from "./terminal.ts";

/** A pull as `read --json` prints it: its doubts stand with those of the file, under the pull's number. */
export type PrintedPull = Omit<PullReading, "warnings">;

/** What `read --json` prints for one file. A file that could not be read has problems and no pulls. */
export type PrintedFile = {
  readonly file: string;
  readonly sha256?: string;
  readonly layout?: Layout;
  readonly rows?: number;
  readonly durationS?: number;
  /** Whether forces are read with the sign that they have in the file, or turned round. */
  readonly sign?: NonNullable<Reading["sign"]>;
  readonly startedAt?: string;
  readonly pulls?: readonly PrintedPull[];
  readonly otherLoads?: Reading["otherLoads"];
  readonly warnings: readonly (Warning & { readonly pull?: number })[];
  readonly problems: readonly Problem[];
};

export type ReadFile = { readonly printed: PrintedFile; readonly reasons: readonly LayoutReason[] };

/** Reads one file from its bytes to its pulls, or to the reasons why that cannot be done. Never throws for bad input. */
export async function readFile(
  file: string,
  hints: LayoutHints,
  terminal: Pick<Terminal, "input">,
): Promise<ReadFile> {
  const opened = file === "-" ? ok(undefined) : openPieces(file, layoutHeadBytes);
  if (!opened.ok) return refused({ file }, opened.problems);
  if (opened.value === undefined) {
    const bytes = await readBytes(file, terminal.input);
    if (!bytes.ok) return refused({ file }, bytes.problems);
    const { sha256, sizeBytes } = bytes.value;
    return readPieces({ file, sha256: () => sha256 }, hints, {
      sizeBytes,
      head: headOf(bytes.value),
      parse: (layout) => parseRecording(bytes.value.bytes, layout),
    });
  }
  const { sizeBytes, head, pieces } = opened.value;
  const hash = createHash("sha256");
  let isHashed = false;
  const sha256 = () => {
    if (!isHashed) for (const piece of pieces()) hash.update(piece);
    isHashed = true;
    return hash.digest("hex");
  };
  try {
    return await readPieces({ file, sha256 }, hints, {
      sizeBytes,
      head,
      parse(layout) {
        isHashed = true;
        return parseFile({ path: file, sizeBytes, pieces }, layout, {
          onPiece: (piece) => hash.update(piece),
        });
      },
    });
  } catch (error) {
    const problem = fileProblem(error, file);
    if (problem === undefined) throw error;
    return refused({ file }, [problem]);
  }
}

/** A file of which the head is at hand, and which is parsed when a layout is known. */
type Source = {
  readonly sizeBytes: number;
  readonly head: Uint8Array;
  parse(layout: Layout): Result<ParsedRecording> | Promise<Result<ParsedRecording>>;
};

/** Reads a file by the layout that its head shows; `sha256` is asked for once, at the end. */
async function readPieces(
  { file, sha256 }: { readonly file: string; sha256(): string },
  hints: LayoutHints,
  { sizeBytes, head, parse }: Source,
): Promise<ReadFile> {
  const proposal = proposeLayout(head, { totalBytes: sizeBytes, hints });
  if (!proposal.ok) return refused({ file, sha256: sha256() }, proposal.problems);
  const { reasons } = proposal.value;
  const layout = completeLayout(proposal.value.layout, hints);
  if (!layout.ok) return refused({ file, sha256: sha256() }, layout.problems, reasons);
  const read = readParsed(await parse(layout.value), layout.value);
  const known = { file, sha256: sha256() };
  if (!read.ok) return refused({ ...known, layout: layout.value }, read.problems, reasons);

  const { reading } = read.value;
  return {
    reasons,
    printed: {
      ...known,
      layout: reading.layout,
      rows: reading.rows,
      ...(reading.sign === undefined ? {} : { sign: reading.sign }),
      ...(reading.durationS === undefined ? {} : { durationS: reading.durationS }),
      ...(reading.startedAt === undefined ? {} : { startedAt: reading.startedAt }),
      pulls: reading.pulls.map(({ warnings: _, ...pull }) => pull),
      otherLoads: reading.otherLoads,
      warnings: [
        ...proposal.warnings,
        // What the layout leaves open, the reading says as well.
        ...reading.warnings,
        ...reading.pulls.flatMap(({ index, warnings }) =>
          warnings.map((warning) => ({ ...warning, pull: index })),
        ),
      ],
      problems: [],
    },
  };
}

/** The beginning of a file, as much of it as a layout is proposed from. */
export function headOf({ bytes }: FileBytes): Uint8Array {
  const first = bytes[0];
  if (first !== undefined && (first.length >= layoutHeadBytes || bytes.length === 1))
    return first.subarray(0, layoutHeadBytes);
  const head = new Uint8Array(
    Math.min(
      layoutHeadBytes,
      bytes.reduce((sum, { length }) => sum + length, 0),
    ),
  );
  let at = 0;
  for (const chunk of bytes) {
    if (at === head.length) break;
    const piece = chunk.subarray(0, head.length - at);
    head.set(piece, at);
    at += piece.length;
  }
  return head;
}

function refused(
  known: { readonly file: string; readonly sha256?: string; readonly layout?: Layout },
  problems: readonly Problem[],
  reasons: readonly LayoutReason[] = [],
): ReadFile {
  return { reasons, printed: { ...known, warnings: [], problems } };
}
