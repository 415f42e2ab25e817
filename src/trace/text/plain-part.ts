import type { Layout } from "../layout.ts";
import { createColumns } from "./columns.ts";
import type { ColumnMemory } from "./growing.ts";
import { createPlainRows } from "./plain-rows.ts";
import { createTimeCells } from "./time-cells.ts";

/** Rows of a recording that were read apart from those before them: plain ones, as many as stood in a row. */
export type PlainPart = {
  /** Force in newtons, then time in seconds and displacement in metres where the layout has them. */
  readonly columns: readonly Float64Array[];
  /** How many bytes they take, from the part's start to the start of a line. */
  readonly bytes: number;
  readonly fewestDecimals: number;
  readonly mostDecimals: number;
};

export type PlainPartReader = {
  /** Reads rows from the first byte, the start of a line, to the last line end. @returns how many bytes they take. */
  read(bytes: Uint8Array): number;
  /** Whether a row was met that is not plain: the part has ended before it. */
  readonly isDone: boolean;
  /** What was read; nothing is read any more. */
  take(): PlainPart;
};

/**
 * Reads a part of a recording in a thread of its own, while another reads what stands before it: `RecordingParser.append`
 * takes the result. Nothing for layouts by which a row means what rows before it say: a moment counted from the first
 * row, a segment.
 *
 * @param memory where the columns begin to grow, in their order.
 *
 * @example
 * const reader = createPlainPartReader(layout);
 * reader?.read(secondHalf); // from the start of a line
 * const part = reader?.take();
 */
export function createPlainPartReader(
  layout: Layout,
  memory: readonly ColumnMemory[] = [],
): PlainPartReader | undefined {
  if (!isReadInParts(layout)) return undefined;
  const timeCells =
    layout.time.kind === "column" ? createTimeCells(layout.time, layout.decimal.charCodeAt(0)) : undefined;
  const { wanted } = createColumns(layout, timeCells, memory);
  const plain = createPlainRows(layout, wanted);
  if (plain === undefined) return undefined;
  let bytes = 0;
  let isDone = false;
  return {
    read(chunk) {
      const end = chunk.lastIndexOf(lineFeed) + 1;
      const read = isDone ? 0 : plain.read(chunk, 0, end);
      isDone ||= read < end;
      bytes += read;
      return read;
    },
    get isDone() {
      return isDone;
    },
    take() {
      return {
        columns: wanted.map(({ values }) => values.take()),
        bytes,
        fewestDecimals: plain.fewestDecimals,
        mostDecimals: plain.mostDecimals,
      };
    },
  };
}

/** Whether parts of a recording can be read apart from each other by this layout. */
export function isReadInParts({ encoding, time, segment }: Layout): boolean {
  const isCounted = time.kind === "column" && !time.format.startsWith("elapsed");
  return !encoding.startsWith("utf-16") && segment === undefined && !isCounted;
}

const lineFeed = 10;
