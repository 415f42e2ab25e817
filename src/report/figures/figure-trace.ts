import { extent } from "d3-array";
import { type ScaleContinuousNumeric, scaleLinear } from "d3-scale";
import { area } from "d3-shape";
import type { TraceWindow } from "../../trace/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { at, axisTicks, faint, figure, label, rule } from "./figure-parts.ts";
import type { TraceFigure } from "./trace-figure.ts";
import { drawTraceMarks, phaseLaneHeight } from "./trace-marks.ts";

/** Where the force axis and the time axis lie in a trace figure: what a pointer's position means. */
export type TraceScales = {
  readonly plot: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  };
  readonly x: readonly [number, number];
  readonly forceN: readonly [number, number];
};

/**
 * A force-time curve as SVG: the extremes of each span as a band, the peak, start, end and the drops marked, with axes in
 * seconds (or rows) and kilonewtons. Every mark has its words in a title, and its own shape: the peak a ring, a drop a
 * short bar beneath its arrow, start and end a dashed line each. Gaps in the recording stay gaps.
 *
 * window: at least one span; an empty one gives the axes and says that there is nothing to draw. Forces in newtons.
 *
 * @example
 * figureTrace({ fromRow: 1, toRow: 2, x: [0, 1], lowN: [0, 900], highN: [10, 1000], xIsTime: true }, { title: "A1" })
 * // '<svg … class="figure trace" …'
 */
export function figureTrace(window: TraceWindow, about: TraceFigure = {}): string {
  const { width = 720, small = false, title = "A pull", simulated } = about;
  const height = about.height ?? (small ? 130 : 320);
  const { plot, x: xs, forceN } = traceScales(window, about);
  const x = scaleLinear([...xs], [plot.left, plot.right]);
  const y = scaleLinear([...forceN], [plot.bottom, plot.top]);
  const axes = [...forceAxis(y, plot, small), ...timeAxis(x, plot, window.xIsTime, small)];
  const curve = traceCurve(window, x, y);
  const marks = drawTraceMarks(about, { x, y, plot, xIsTime: window.xIsTime, small });
  return figure({
    id: about.id ?? "trace",
    width,
    height,
    kind: "trace",
    title,
    simulated,
    stamped: !small,
    description: describe(window, about),
    drawing: [...axes, ...marks.under, curve, ...marks.over],
  });
}

/** The scales that `figureTrace` draws to, for whoever must turn a pointer's place into seconds and newtons. */
export function traceScales(window: TraceWindow, about: TraceFigure = {}): TraceScales {
  const { width = 720, small = false } = about;
  const height = about.height ?? (small ? 130 : 320);
  const frame = small
    ? { left: 30, top: 8, right: width - 6, bottom: height - 22 }
    : { left: 56, top: 22, right: width - 60, bottom: height - 42 };
  const [x0 = 0, last = 1] = extent(window.x) as [number?, number?];
  const x1 = last > x0 ? last : x0 + 1;
  const low = Math.min(0, ...finite(window.lowN), about.restN ?? 0);
  const high = Math.max(
    about.topN ?? 0,
    ...finite(window.highN),
    about.peak?.forceN ?? 0,
    about.peak?.highN ?? 0,
  );
  const top = high > low ? high + (high - low) * 0.06 : low + 1000;
  // The words of the phases stand above the plot, in as many rows as they need.
  const across = scaleLinear([x0, x1], [frame.left, frame.right]);
  const lane = phaseLaneHeight(about.phases ?? [], {
    x: across,
    plot: frame,
    xIsTime: window.xIsTime,
    small,
  });
  const plot = { ...frame, top: frame.top + lane };
  return { plot, x: [x0, x1], forceN: [low < 0 ? low * 1.06 : 0, top] };
}

/** Joins neighbouring spans until there are at most so many: a small picture needs no more than one a pixel. */
export function thinWindow(window: TraceWindow, columns: number): TraceWindow {
  const every = Math.ceil(window.x.length / Math.max(1, Math.floor(columns)));
  if (every <= 1) return window;
  const x: number[] = [];
  const lowN: (number | null)[] = [];
  const highN: (number | null)[] = [];
  for (let from = 0; from < window.x.length; from += every) {
    x.push(window.x[from] as number);
    const low = finite(window.lowN.slice(from, from + every));
    const high = finite(window.highN.slice(from, from + every));
    lowN.push(low.length === 0 ? null : Math.min(...low));
    highN.push(high.length === 0 ? null : Math.max(...high));
  }
  return { ...window, x, lowN, highN };
}

/** The outline of the band between the extremes of the spans; empty where no span has samples. Gaps stay gaps. */
export function bandPath(window: Pick<TraceWindow, "x" | "lowN" | "highN">, x: Scale, y: Scale): string {
  const spans = window.x.map((value, index) => ({
    x: value,
    low: window.lowN[index] ?? null,
    high: window.highN[index] ?? null,
  }));
  const band = area<(typeof spans)[number]>()
    .defined(({ low, high }) => low !== null && high !== null)
    .x((span) => x(span.x))
    .y0((span) => y(span.low ?? 0))
    .y1((span) => y(span.high ?? 0))
    .digits(2);
  return band(spans) ?? "";
}

type Plot = TraceScales["plot"];
type Scale = ScaleContinuousNumeric<number, number>;

function traceCurve(window: TraceWindow, x: Scale, y: Scale): Markup {
  if (!window.highN.some((high) => high !== null)) {
    const [left = 0, right = 0] = x.range();
    return label((left + right) / 2, ((y.range()[0] ?? 0) + (y.range()[1] ?? 0)) / 2, "no samples to draw", {
      anchor: "middle",
    });
  }
  // The band is stroked as well: where all samples of a span are alike it has no height of its own.
  return markup`<path class="curve" d="${bandPath(window, x, y)}" fill="currentColor" stroke="currentColor" stroke-width="1.1" stroke-linejoin="round"/>`;
}

/** Kilonewtons on the left with hairlines, pounds-force on the right; small: two ticks and nothing on the right. */
export function forceAxis(y: Scale, plot: Plot, small: boolean): Markup[] {
  const [low = 0, high = 1] = y.domain();
  const kilo = axisTicks(low / 1000, high / 1000, small ? 2 : 5);
  const left = kilo.flatMap(({ value, text }) => [
    rule(plot.left, y(value * 1000), plot.right, y(value * 1000), value === 0 ? 0.5 : faint),
    label(plot.left - 6, y(value * 1000) + 4, text, { anchor: "end", size: small ? 10 : 12 }),
  ]);
  if (small) return left;
  const perLbf = 4.4482216152605; // newtons: 0.45359237 kg × 9.80665 m/s², exact
  const right = axisTicks(low / perLbf, high / perLbf, 5).map(({ value, text }) =>
    label(plot.right + 6, y(value * perLbf) + 4, text, { opacity: 0.75, rim: true }),
  );
  return [
    ...left,
    ...right,
    label(plot.left - 6, plot.top - 8, "kN", { anchor: "end", weight: 700 }),
    label(plot.right + 6, plot.top - 8, "lbf", { weight: 700, opacity: 0.75 }),
  ];
}

function timeAxis(x: Scale, plot: Plot, isTime: boolean, small: boolean): Markup[] {
  const [from = 0, to = 1] = x.domain();
  const unit = isTime ? "s" : "row";
  const found = axisTicks(from, to, small ? 3 : 8);
  return [
    ...found.map(({ value, text }, index) =>
      label(
        x(value),
        plot.bottom + (small ? 13 : 17),
        small && index === found.length - 1 ? `${text} ${unit}` : text,
        {
          anchor: "middle",
          size: small ? 10 : 12,
        },
      ),
    ),
    ...(small
      ? []
      : [
          label(
            (plot.left + plot.right) / 2,
            plot.bottom + 35,
            isTime ? "time, s" : "row of the recording (it has no time)",
            { anchor: "middle", opacity: 0.85 },
          ),
        ]),
  ];
}

function describe(window: TraceWindow, about: TraceFigure): string {
  const { peak, drops = [], slips = [], phases = [], hold, start, end } = about;
  const isTime = window.xIsTime;
  const parts = [`Force over ${isTime ? "time" : "rows"}, ${window.x.length} spans.`];
  if (start !== undefined && end !== undefined)
    parts.push(`The pull runs from ${place(start, isTime)} to ${place(end, isTime)}.`);
  if (phases.length > 0)
    parts.push(
      `Phases: ${phases.map(({ name, fromX }) => `${name} from ${place(fromX, isTime)}`).join(", ")}.`,
    );
  if (hold !== undefined) parts.push(`${hold.words}.`);
  if (peak !== undefined)
    parts.push(`Its ${peak.words ?? `peak is ${kN(peak.forceN)}`} at ${place(peak.x, isTime)}.`);
  if (slips.length > 0)
    parts.push(
      `Slips: ${slips.map((slip) => `of ${kN(slip.fromN - slip.toN)} at ${place(slip.x, isTime)}`).join("; ")}.`,
    );
  if (drops.length > 0)
    parts.push(
      `Drops: ${drops.map((drop) => `${kN(drop.fromN)} to ${kN(drop.toN)} at ${place(drop.x, isTime)}`).join("; ")}.`,
    );
  return parts.join(" ");
}

function kN(forceN: number): string {
  return `${(forceN / 1000).toFixed(2)} kN`;
}

function place(x: number, isTime: boolean): string {
  return isTime ? `${at(x)} s` : `row ${at(x)}`;
}

function finite(values: readonly (number | null)[]): number[] {
  return values.filter((value): value is number => value !== null && Number.isFinite(value));
}
