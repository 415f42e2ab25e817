import { max, min } from "d3-array";
import { scaleLinear } from "d3-scale";
import { type Markup, markup } from "../markup.ts";
import { at, axisTicks, figure, label, rule, textWidth, wrapped } from "./figure-parts.ts";

/** One row: a value with its interval, both in the axis's unit. */
export type IntervalRow = {
  readonly label: string;
  readonly beside?: string;
  readonly value: number;
  readonly interval?: readonly [low: number, high: number] | undefined;
  /** Where the next one would lie: a thinner, wider line. */
  readonly next?: readonly [low: number, high: number] | undefined;
  /** "sum": what the others come to; "claimed": a figure from outside, an open mark. */
  readonly kind?: "one" | "sum" | "claimed";
  /** From 0 to 1: how much it counts; sets the size of its mark. */
  readonly weight?: number | undefined;
};

export type IntervalFigure = {
  readonly id: string;
  readonly width: number;
  readonly title: string;
  readonly axis: string;
  /** A value to compare with, as a line across all rows. */
  readonly reference?: number;
  readonly simulated?: boolean;
};

/**
 * Values with their intervals, one row under the other, on one axis: effects, parts of the scatter, claims, a forest of
 * series. An interval that reaches beyond the axis ends in an arrow. The words of each row stand in the description too.
 *
 * @example
 * figureIntervals([{ label: "bury 60 d", value: 12, interval: [7, 17] }], { id: "f", width: 600, title: "Effects", axis: "%" })
 */
export function figureIntervals(rows: readonly IntervalRow[], about: IntervalFigure): string {
  const { width, reference } = about;
  const wide = width > 500;
  const plot = { left: wide ? 250 : 12, right: width - 14, top: about.simulated === true ? 20 : 8 };
  const worded = rows.map((row) => wordsOf(row, wide, width));
  const heights = worded.map(({ lines }) => lines * 15 + (wide ? 14 : 32));
  const tops = heights.map((_, i) => plot.top + heights.slice(0, i).reduce((sum, height) => sum + height, 0));
  const bottom = plot.top + heights.reduce((sum, height) => sum + height, 0);
  const [low, high] = rangeOf(rows, reference);
  const x = scaleLinear([low, high], [plot.left, plot.right]);
  // Where the words stand above the marks, the lines of the grid leave room for them.
  const stretches = wide
    ? [[plot.top, bottom] as const]
    : tops.map(
        (top, i) => [top + (worded[i] as Words).lines * 15 + 5, top + (heights[i] as number)] as const,
      );
  const upright = (value: number, opacity?: number) =>
    stretches.map(([from, to]) => rule(x(value), from, x(value), to, opacity));
  const ticks = axisTicks(low, high, wide ? 7 : 4).map(
    ({ value, text }) => markup`${upright(value)}${label(x(value), bottom + 16, text, { anchor: "middle" })}`,
  );
  const across = reference === undefined ? [] : upright(reference, 0.6);
  const drawn = rows.map((row, i) => {
    const [top, height] = [tops[i] as number, heights[i] as number];
    const { names, beside, lines } = worded[i] as Words;
    // Wide: words beside the mark, about its height. Narrow: words above it, and the grid runs behind them.
    const y = wide ? top + height / 2 : top + height - 14;
    const first = wide ? y - ((lines - 1) * 15) / 2 + 4 : top + 14;
    const words = [...names, ...beside].map((line, at) =>
      label(0, first + at * 15, line, {
        ...(at < names.length
          ? { weight: row.kind === "sum" ? 700 : 400 }
          : { size: 11, opacity: wide ? 0.75 : 0.85 }),
      }),
    );
    return markup`<g class="row">${words}${whisker(row.next, x, y, 1, [low, high])}${whisker(row.interval, x, y, 2.6, [low, high])}${mark(row, x(Math.min(Math.max(row.value, low), high)), y)}<title>${describe(row)}</title></g>`;
  });
  return figure({
    id: about.id,
    width,
    height: bottom + 40,
    kind: "intervals",
    title: about.title,
    description: rows.map(describe).join("; "),
    simulated: about.simulated,
    drawing: [...ticks, ...across, ...drawn, label(plot.right, bottom + 34, about.axis, { anchor: "end" })],
  });
}

type Words = {
  readonly names: readonly string[];
  readonly beside: readonly string[];
  readonly lines: number;
};

/** What is written of a row, in as many lines as it needs, up to two of each. */
function wordsOf({ label: name, beside }: IntervalRow, wide: boolean, width: number): Words {
  const across = wide ? 236 : width - 8;
  const linesOf = (text: string, size: number) => wrapped(text, Math.floor(across / textWidth("x", size)), 2);
  const names = linesOf(name, 12);
  const besides = beside === undefined ? [] : linesOf(beside, 11);
  return { names, beside: besides, lines: names.length + besides.length };
}

/** All values, and intervals as far as they do not dwarf the rest. */
function rangeOf(rows: readonly IntervalRow[], reference: number | undefined): readonly [number, number] {
  const values = [...rows.map(({ value }) => value), ...(reference === undefined ? [] : [reference])];
  const spread = Math.max((max(values) ?? 0) - (min(values) ?? 0), Math.abs(max(values) ?? 1) * 0.05, 1e-9);
  const widths = rows
    .flatMap(({ interval }) => (interval === undefined ? [] : [interval[1] - interval[0]]))
    .sort((a, b) => a - b);
  // An interval of three groups may be a hundred times as wide as the others: it gets an arrow.
  const room = Math.max(spread, 3 * (widths[Math.floor((widths.length - 1) / 2)] ?? 0));
  const [least, most] = [(min(values) ?? 0) - room, (max(values) ?? 0) + room];
  const ends = rows.flatMap(({ interval = [], next = [] }) => [...interval, ...next]);
  const low = Math.max(least, Math.min(min(ends) ?? least, min(values) ?? least));
  const high = Math.min(most, Math.max(max(ends) ?? most, max(values) ?? most));
  const margin = (high - low) * 0.04 || 1;
  return [low - margin, high + margin];
}

type Scale = (value: number) => number;

function whisker(
  ends: readonly [number, number] | undefined,
  x: Scale,
  y: number,
  thick: number,
  [low, high]: readonly [number, number],
): Markup {
  if (ends === undefined) return markup``;
  const [from, to] = [Math.max(ends[0], low), Math.min(ends[1], high)];
  const cap = thick > 2 ? 0 : 5;
  const end = (value: number, clipped: boolean, way: 1 | -1) =>
    clipped
      ? `M${at(x(value) - way * 7)} ${at(y - 5)}L${at(x(value))} ${at(y)}L${at(x(value) - way * 7)} ${at(y + 5)}`
      : `M${at(x(value))} ${at(y - cap)}L${at(x(value))} ${at(y + cap)}`;
  return markup`<path d="M${at(x(from))} ${at(y)}L${at(x(to))} ${at(y)}${end(from, ends[0] < low, -1)}${end(to, ends[1] > high, 1)}" fill="none" stroke="currentColor" stroke-width="${thick}" stroke-linecap="round" stroke-linejoin="round"/>`;
}

/** A square for a value, larger where it counts more; a lozenge for a sum; an open ring in the accent for a claim. */
function mark({ kind = "one", weight }: IntervalRow, x: number, y: number): Markup {
  if (kind === "claimed")
    return markup`<circle cx="${at(x)}" cy="${at(y)}" r="6" fill="var(--paper, #fff)" stroke="var(--accent, #a8480c)" stroke-width="2.4"/>`;
  if (kind === "sum")
    return markup`<path d="M${at(x - 9)} ${at(y)}L${at(x)} ${at(y - 7)}L${at(x + 9)} ${at(y)}L${at(x)} ${at(y + 7)}Z" fill="var(--accent, #a8480c)"/>`;
  const half = weight === undefined ? 5 : 3 + 6 * Math.sqrt(weight);
  return markup`<rect x="${at(x - half)}" y="${at(y - half)}" width="${at(2 * half)}" height="${at(2 * half)}" fill="currentColor" stroke="var(--paper, #fff)" stroke-width="0.8"/>`;
}

function describe({ label: name, beside, value, interval, next }: IntervalRow): string {
  const figureOf = (one: number) => String(Number(one.toPrecision(3)));
  const within =
    interval === undefined ? "" : `, interval ${figureOf(interval[0])} to ${figureOf(interval[1])}`;
  const further = next === undefined ? "" : `, the next ${figureOf(next[0])} to ${figureOf(next[1])}`;
  return `${name}${beside === undefined ? "" : ` (${beside})`}: ${figureOf(value)}${within}${further}`;
}
