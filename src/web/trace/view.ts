import type { TraceWindow } from "../../trace/mod.ts";
import { formatNumber, withMinus } from "../../units/mod.ts";

/** Which rows of a recording are in view; rows count from 1 and may be fractions while a hand moves. */
export type View = { readonly from: number; readonly to: number };

/** The part of the picture in which the curve lies, in pixels. */
export type Plot = {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
};

/** The fewest rows that a view shows: nearer, a picture of single samples says nothing more. */
const leastRows = 20;

/** Keeps a view within the recording and not nearer than a picture makes sense. */
export function within(view: View, rows: number): View {
  const span = Math.min(Math.max(view.to - view.from, Math.min(leastRows, rows - 1)), Math.max(rows - 1, 1));
  const from = Math.min(Math.max(view.from, 1), Math.max(1, rows - span));
  return { from, to: from + span };
}

/** Shows more (factor over 1) or less around a row that stays where it is. */
export function zoomed(view: View, rows: number, factor: number, aroundRow: number): View {
  const share = (aroundRow - view.from) / (view.to - view.from);
  const span = Math.min(Math.max((view.to - view.from) * factor, Math.min(leastRows, rows - 1)), rows - 1);
  return within({ from: aroundRow - share * span, to: aroundRow + (1 - share) * span }, rows);
}

/** Moves by a share of what is in view: 0.5 is half a page to the right. */
export function panned(view: View, rows: number, share: number): View {
  const step = (view.to - view.from) * share;
  const from = Math.min(Math.max(view.from + step, 1), Math.max(1, rows - (view.to - view.from)));
  return { from, to: from + (view.to - view.from) };
}

/** The view of one pull, with some of what was before and after it. */
export function aroundRows(fromRow: number, toRow: number, rows: number, spare = 0.12): View {
  const more = Math.max((toRow - fromRow) * spare, leastRows / 2);
  return within({ from: fromRow - more, to: toRow + more }, rows);
}

/**
 * What is in view, in words.
 *
 * @example
 * viewWords(window, { from: 1200, to: 1800 }, 100_000) // "In view: 12.00 to 18.00 s."
 */
export function viewWords(window: TraceWindow, view: View, rows: number): string {
  const [from, to] = [abscissaOf(window, view.from), abscissaOf(window, view.to)];
  if (!window.xIsTime)
    return `In view: ${allOr(view, rows, `rows ${Math.round(from)} to ${Math.round(to)}`)}.`;
  // Three figures of what is in view tell its ends apart.
  const decimals = Math.min(Math.max(2 - Math.floor(Math.log10(Math.max(to - from, 1e-6))), 0), 6);
  const told = (valueS: number) => withMinus(formatNumber(valueS, { decimals }));
  return `In view: ${allOr(view, rows, `${told(from)} to ${told(to)} s`)}.`;
}

function allOr({ from, to }: View, rows: number, words: string): string {
  return to - from >= rows - 1 ? `all of it, ${words}` : words;
}

/** What to fetch for a view: half a view more on both sides, so that a hand may move on while the next is fetched. */
export function pieceFor(view: View, rows: number, columns: number): View & { readonly columns: number } {
  const { from, to } = widened(view, rows, 0.5);
  const share = (to - from) / Math.max(view.to - view.from, 1e-9);
  return { from: Math.floor(from), to: Math.ceil(to), columns: Math.ceil(columns * share) };
}

/** Whether a window shows a view as finely as so many columns can, and `spare` of its width more on both sides. */
export function isSharp(window: TraceWindow, view: View, rows: number, columns: number, spare = 0): boolean {
  const { from, to } = widened(view, rows, spare);
  if (window.fromRow > from || window.toRow < to) return false;
  const held = window.toRow - window.fromRow + 1;
  const spans = (window.x.length * (view.to - view.from)) / held;
  return window.x.length >= held || spans >= columns * 0.9;
}

function widened({ from, to }: View, rows: number, spare: number): View {
  const more = (to - from) * spare;
  return { from: Math.max(1, from - more), to: Math.min(rows, to + more) };
}

/**
 * The abscissa (seconds, or rows) of a row, read between the spans of a window that holds it.
 *
 * @example
 * abscissaOf({ fromRow: 1, toRow: 100, x: [0, 5], lowN: [0, 0], highN: [1, 1], xIsTime: true }, 26) // 2.5
 */
export function abscissaOf(window: TraceWindow, row: number): number {
  const { x } = window;
  if (x.length === 0) return row;
  const place = ((row - window.fromRow) * x.length) / (window.toRow - window.fromRow + 1);
  const at = Math.min(Math.max(Math.floor(place), 0), Math.max(x.length - 2, 0));
  const here = x[at] ?? 0;
  const next = x[at + 1] ?? here + (window.xIsTime ? 1 : (window.toRow - window.fromRow + 1) / x.length);
  return here + (next - here) * (place - at);
}

/** The row at an abscissa; the inverse of `abscissaOf`. */
export function rowAt(window: TraceWindow, abscissa: number): number {
  const { x } = window;
  let low = 0;
  let high = Math.max(x.length - 2, 0);
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((x[middle] ?? 0) <= abscissa) low = middle;
    else high = middle - 1;
  }
  const here = x[low] ?? 0;
  const next = x[low + 1] ?? here + 1;
  const share = next === here ? 0 : (abscissa - here) / (next - here);
  return window.fromRow + ((low + share) * (window.toRow - window.fromRow + 1)) / Math.max(x.length, 1);
}

/** The least and greatest force of a window, or undefined where all of it is missing. */
export function forceRange(window: TraceWindow): readonly [number, number] | undefined {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of window.lowN) if (value !== null && value < low) low = value;
  for (const value of window.highN) if (value !== null && value > high) high = value;
  return low <= high ? [low, high] : undefined;
}

/** Round numbers for an axis: steps of 1, 2 or 5 times a power of ten. */
export function ticks(low: number, high: number, about: number): readonly number[] {
  const span = high - low;
  if (!(span > 0) || !Number.isFinite(span)) return [];
  const raw = span / about;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = ([1, 2, 5, 10].find((one) => one * power >= raw * 0.999) ?? 10) * power;
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, at) =>
    Number(((first + at) * step).toPrecision(12)),
  );
}

/**
 * The outline of a curve from the extremes of its spans: along the top and back along the bottom, broken where samples
 * are missing. `at` turns a span's number into a place across, `up` a force into a place down.
 */
export function curvePath(
  window: TraceWindow,
  at: (span: number) => number,
  up: (forceN: number) => number,
): string {
  const pieces: string[] = [];
  const { lowN, highN } = window;
  let start = 0;
  while (start < highN.length) {
    if (highN[start] === null || highN[start] === undefined) {
      start += 1;
      continue;
    }
    let end = start;
    while (end < highN.length && highN[end] !== null && highN[end] !== undefined) end += 1;
    const top: string[] = [];
    const bottom: string[] = [];
    for (let span = start; span < end; span++) {
      const x = at(span).toFixed(1);
      top.push(`${x} ${up(highN[span] as number).toFixed(1)}`);
      bottom.push(`${x} ${up(lowN[span] as number).toFixed(1)}`);
    }
    pieces.push(`M${top.join("L")}L${bottom.reverse().join("L")}Z`);
    start = end;
  }
  return pieces.join("");
}
