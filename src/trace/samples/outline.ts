import type { Trace, TraceWindow } from "../reading.ts";
import { pyramidOf } from "./pyramid.ts";

/** The lowest and the highest force of each 256 rows of a long recording, and when each begins: its picture without its samples. */
export type Outline = {
  readonly rows: number;
  /** +∞ and −∞ where no row has a value. */
  readonly lowN: Float64Array;
  readonly highN: Float64Array;
  readonly timeS?: Float64Array;
};

/** A level of the pyramid: 16 × 16. */
const stretchRows = 256;
const level = 1;
/** A shorter recording is opened with all its samples in some ten milliseconds. */
const fewestRows = 262_144;
/** Spans begin with whole stretches: by so many in each, none begins further off than an eighth of its width, or a quarter. */
const fewestStretches = 2;

/** Outlines live as long as the traces that they are of. */
const made = new WeakMap<Trace, Outline>();

/**
 * The outline of a trace; nothing where it is too short to want one.
 *
 * What it buys: ten million rows are shown from 1 MB in place of 160, and from a book in 3 ms in place of 350.
 */
export function outlineOf(trace: Trace): Outline | undefined {
  const { forceN, timeS } = trace;
  const known = made.get(trace);
  if (known !== undefined || forceN.length < fewestRows) return known;
  const { lows, highs } = pyramidOf(forceN);
  const outline: Outline = {
    rows: forceN.length,
    lowN: lows[level] as Float64Array,
    highN: highs[level] as Float64Array,
    ...(timeS === undefined
      ? {}
      : {
          timeS: Float64Array.from(lows[level] as Float64Array, (_, at) => timeS[at * stretchRows] as number),
        }),
  };
  made.set(trace, outline);
  return outline;
}

/**
 * A window as `traceWindow` gives it, exact as well, whose spans begin with whole stretches: so do its rows, which may be up to
 * 255 more on either side than were asked for. Nothing where it is finer than the outline.
 *
 * @example
 * const outline = outlineOf(trace);
 * const window = outline && outlineWindow(outline, { columns: 1000 });
 */
export function outlineWindow(
  { rows, lowN, highN, timeS }: Outline,
  options: { readonly fromRow?: number; readonly toRow?: number; readonly columns: number },
): TraceWindow | undefined {
  const within = (row: number) => Math.min(Math.max(1, Math.round(row)), rows);
  const fromRow = within(options.fromRow ?? 1);
  const first = Math.floor((fromRow - 1) / stretchRows);
  const behind = Math.ceil(Math.max(fromRow, within(options.toRow ?? rows)) / stretchRows);
  const spans = Math.floor(options.columns);
  if (behind - first < fewestStretches * spans) return undefined;
  const placeOf = (span: number) => first + Math.floor((span * (behind - first)) / spans);
  const window = { x: [] as number[], lowN: [] as (number | null)[], highN: [] as (number | null)[] };
  for (let span = 0; span < spans; span++) {
    const from = placeOf(span);
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (let at = from; at < placeOf(span + 1); at++) {
      low = Math.min(low, lowN[at] as number);
      high = Math.max(high, highN[at] as number);
    }
    window.x.push(timeS?.[from] ?? from * stretchRows + 1);
    window.lowN.push(low <= high ? low : null);
    window.highN.push(low <= high ? high : null);
  }
  const toRow = Math.min(rows, behind * stretchRows);
  return { fromRow: first * stretchRows + 1, toRow, ...window, xIsTime: timeS !== undefined };
}

/** "BEo1": the bytes of an outline in the first form. */
const mark = 0x31_6f_45_42;
const headerBytes = 16;

/**
 * An outline as bytes, to be kept. All numbers are little-endian: the letters "BEo1", the count of columns (3 with time, else
 * 2), the count of rows and 0, whole numbers of 4 bytes; then lows, highs and times, 8 bytes (binary64) for each stretch.
 */
export function outlineToBytes({ rows, lowN, highN, timeS }: Outline): Uint8Array {
  const columns = timeS === undefined ? [lowN, highN] : [lowN, highN, timeS];
  const bytes = new Uint8Array(headerBytes + 8 * columns.length * lowN.length);
  const view = new DataView(bytes.buffer);
  for (const [at, value] of [mark, columns.length, rows, 0].entries()) view.setUint32(4 * at, value, true);
  let to = headerBytes;
  for (const column of columns)
    for (const value of column) {
      view.setFloat64(to, value, true);
      to += 8;
    }
  return bytes;
}

/** The outline that such bytes hold; nothing where they are cut short or something else: then samples are read. */
export function outlineFromBytes(bytes: Uint8Array): Outline | undefined {
  if (bytes.length < headerBytes) return undefined;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const [found, columns, rows] = [0, 4, 8].map((at) => view.getUint32(at, true)) as [number, number, number];
  const stretches = Math.ceil(rows / stretchRows);
  const isWhole = (columns === 2 || columns === 3) && bytes.length === headerBytes + 8 * columns * stretches;
  if (found !== mark || !isWhole) return undefined;
  const column = (number: number): Float64Array =>
    Float64Array.from({ length: stretches }, (_, at) =>
      view.getFloat64(headerBytes + 8 * (number * stretches + at), true),
    );
  return { rows, lowN: column(0), highN: column(1), ...(columns === 3 ? { timeS: column(2) } : {}) };
}
