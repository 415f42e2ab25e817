import type { Problem, Warning } from "../problem/mod.ts";
import {
  completeLayout,
  type Layout,
  type LayoutHints,
  type LayoutReason,
  layoutHeadBytes,
  type PullReading,
  proposeLayout,
  type Reading,
  readRecording,
} from "../trace/mod.ts";
import { type FileBytes, readBytes } from "./files.ts";

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
  input: AsyncIterable<Uint8Array>,
): Promise<ReadFile> {
  const bytes = await readBytes(file, input);
  if (!bytes.ok) return refused({ file }, bytes.problems);
  const known = { file, sha256: bytes.value.sha256 };

  const proposal = proposeLayout(headOf(bytes.value), { totalBytes: bytes.value.sizeBytes, hints });
  if (!proposal.ok) return refused(known, proposal.problems);
  const { reasons } = proposal.value;
  const layout = completeLayout(proposal.value.layout, hints);
  if (!layout.ok) return refused(known, layout.problems, reasons);
  const read = readRecording(bytes.value.bytes, layout.value);
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
