import type { Trace, TraceWindow } from "../reading.ts";
import { extremesOf, type Pyramid, pyramidOf } from "./pyramid.ts";

/**
 * The lowest and highest force in each of a number of equal spans of rows: what a picture of the trace needs. Exact: no
 * sample is skipped, so no peak is lost in a narrow picture. A span without a value has null.
 *
 * @param options rows from 1, both ends included; `columns` spans at most, fewer where there are fewer rows.
 *
 * @example
 * traceWindow({ forceN: Float64Array.of(1, 5, 2, 3), missing: 0 }, { fromRow: 1, toRow: 4, columns: 2 }).highN // [5, 3]
 */
export function traceWindow(
  trace: Trace,
  options: { readonly fromRow?: number; readonly toRow?: number; readonly columns: number },
): TraceWindow {
  const { forceN, timeS } = trace;
  const rows = forceN.length;
  const within = (row: number) => Math.min(Math.max(1, Math.round(row)), Math.max(1, rows));
  const fromRow = within(options.fromRow ?? 1);
  const toRow = Math.max(fromRow, within(options.toRow ?? rows));
  const count = rows === 0 ? 0 : Math.max(1, Math.min(Math.floor(options.columns), toRow - fromRow + 1));
  const pyramid = toRow - fromRow + 1 > count * fewRows ? pyramidOf(forceN) : noPyramid;
  const x: number[] = [];
  const lowN: (number | null)[] = [];
  const highN: (number | null)[] = [];
  for (let span = 0; span < count; span++) {
    const from = fromRow - 1 + Math.floor((span * (toRow - fromRow + 1)) / count);
    const to = fromRow - 1 + Math.floor(((span + 1) * (toRow - fromRow + 1)) / count);
    const [low, high] = extremesOf(forceN, pyramid, from, to);
    x.push(timeS?.[from] ?? from + 1);
    lowN.push(low <= high ? low : null);
    highN.push(low <= high ? high : null);
  }
  return { fromRow, toRow, x, lowN, highN, xIsTime: timeS !== undefined };
}

/** With fewer rows in a column a pyramid saves nothing. */
const fewRows = 16;
const noPyramid: Pyramid = { lows: [], highs: [] };
