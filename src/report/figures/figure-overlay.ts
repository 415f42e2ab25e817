import { max, min } from "d3-array";
import { scaleLinear } from "d3-scale";
import { pullName } from "../../findings/mod.ts";
import type { OutcomeKind } from "../../series/mod.ts";
import { type Markup, markup } from "../markup.ts";
import type { ReportInput } from "../types.ts";
import { axisTicks, figure, label, legend, rule } from "./figure-parts.ts";
import { bandPath, forceAxis, thinWindow } from "./figure-trace.ts";
import { placeLabels } from "./label-column.ts";
import { markWords, outcomeMark } from "./outcome-marks.ts";

/** Where all curves have their zero of time. */
export const alignments = ["peak", "start"] as const;
export type Alignment = (typeof alignments)[number];

/** One pull's curve, laid over the others: seconds from the common moment, newtons net of the rest. */
export type OverlayCurve = {
  readonly pullId: string;
  readonly name: string;
  readonly outcome: OutcomeKind | undefined;
  readonly timesS: readonly number[];
  readonly lowN: readonly (number | null)[];
  readonly highN: readonly (number | null)[];
  readonly peak: { readonly timeS: number; readonly forceN: number };
};

export type OverlayFigure = {
  /** A word unique on the page. */
  readonly id: string;
  readonly width: number;
  readonly align: Alignment;
  readonly simulated?: boolean;
};

/**
 * The curves of a series with one common moment, the peak or the start of the load, thinned so that all together have at
 * most 3,000 spans. Pulls without a recording, or with one that has no time, have none. What was taken as zero is off.
 */
export function overlayCurves(
  { findings, traces, readings = {} }: Pick<ReportInput, "findings" | "traces" | "readings">,
  align: Alignment,
): OverlayCurve[] {
  const drawn = findings.pulls.flatMap((pull) => {
    const [window, reading] = [traces[pull.pullId], readings[pull.pullId]];
    const zeroS = align === "peak" ? reading?.peakTimeS : reading?.startS;
    if (window === undefined || reading === undefined || !window.xIsTime) return [];
    if (zeroS === undefined || reading.peakTimeS === undefined) return [];
    return [
      { pull, window, zeroS, restN: reading.restN ?? 0, peakS: reading.peakTimeS, peakN: reading.peakN },
    ];
  });
  const each = Math.max(40, Math.min(400, Math.floor(3000 / Math.max(1, drawn.length))));
  return drawn.map(({ pull, window, zeroS, restN, peakS, peakN }) => {
    const thin = thinWindow(window, each);
    const net = (force: number | null) => (force === null ? null : force - restN);
    return {
      pullId: pull.pullId,
      name: pullName(pull),
      outcome: pull.outcome?.kind,
      timesS: thin.x.map((time) => time - zeroS),
      lowN: thin.lowN.map(net),
      highN: thin.highN.map(net),
      peak: { timeS: peakS - zeroS, forceN: peakN - restN },
    };
  });
}

/**
 * Force-time curves laid over one another, aligned at the peak or at the start of the load. At each peak stands the mark of
 * how the pull ended; up to ten curves have their names at the side. Nothing where no pull has a curve with times.
 *
 * @example
 * figureOverlay(overlayCurves(input, "peak"), { id: "overlay", width: 860, align: "peak" })
 */
export function figureOverlay(curves: readonly OverlayCurve[], about: OverlayFigure): string | undefined {
  if (curves.length === 0) return undefined;
  const { width, align, simulated = false } = about;
  const kinds = (["broke", "slipped", "stopped", "void"] as const).filter((kind) =>
    curves.some(({ outcome }) => outcome === kind),
  );
  const key = legend(
    kinds.map((kind) => ({
      word: kind === "void" ? "void" : markWords[kind],
      sign: (x, y) => outcomeMark(kind, x, kind === "stopped" ? y + 5 : y),
    })),
    2,
    simulated ? 22 : 4,
    width - 4,
  );
  const named = curves.length <= 10;
  const height = width < 500 ? 300 : 400;
  const top = (simulated ? 22 : 4) + key.height + 24;
  const plot = { left: 46, right: width - 52 - (named ? 78 : 0), top, bottom: top + height };
  const x = scaleLinear(timesOf(curves), [plot.left, plot.right]);
  const y = scaleLinear(forcesOf(curves), [plot.bottom, plot.top]);
  const names = named
    ? placeLabels(
        curves.map(({ name, peak }) => ({ text: name, y: y(peak.forceN), fromX: x(peak.timeS) + 7 })),
        { left: plot.right + 50, top: plot.top, bottom: plot.bottom, characters: 11 },
      )
    : [];
  return figure({
    id: about.id,
    width,
    height: plot.bottom + 44,
    kind: "overlay",
    title: `All pulls over one another, aligned at the ${align === "peak" ? "peak" : "start of the load"}`,
    description: describe(curves, align),
    simulated,
    drawing: [
      key.drawing,
      ...names,
      ...forceAxis(y, plot, false),
      ...timeAxis(x, plot, align),
      ...curves.map((curve) => drawCurve(curve, x, y)),
      ...curves.map(({ outcome, name, peak }) =>
        outcome === undefined
          ? ""
          : outcomeMark(outcome, x(peak.timeS), y(peak.forceN), `${name}: ${kN(peak.forceN)}, ${outcome}`),
      ),
    ].filter((part) => part !== ""),
  });
}

type Plot = { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
type Scale = ReturnType<typeof scaleLinear<number, number>>;

function timesOf(curves: readonly OverlayCurve[]): [number, number] {
  const from = min(curves, ({ timesS }) => timesS[0]) ?? 0;
  const to = max(curves, ({ timesS }) => timesS.at(-1)) ?? 1;
  return to > from ? [from, to] : [from, from + 1];
}

function forcesOf(curves: readonly OverlayCurve[]): [number, number] {
  const high =
    max(curves, ({ highN, peak }) => Math.max(peak.forceN, max(highN, (one) => one ?? 0) ?? 0)) ?? 1;
  const low = Math.min(0, min(curves, ({ lowN }) => min(lowN, (one) => one ?? 0)) ?? 0);
  const top = high > 0 ? high : 1000;
  return [low < -top * 0.005 ? low * 1.1 : 0, top * 1.08];
}

function drawCurve({ name, outcome, timesS, lowN, highN }: OverlayCurve, x: Scale, y: Scale): Markup {
  const colour = outcome === "slipped" ? "var(--accent, #a8480c)" : "currentColor";
  const path = bandPath({ x: timesS, lowN, highN }, x, y);
  return markup`<path class="curve" d="${path}" fill="${colour}" fill-opacity="0.35" stroke="${colour}" stroke-opacity="0.6" stroke-width="1" stroke-linejoin="round"><title>${name}</title></path>`;
}

function timeAxis(x: Scale, plot: Plot, align: Alignment): Markup[] {
  const [from = 0, to = 1] = x.domain();
  return [
    ...axisTicks(from, to, plot.right - plot.left < 350 ? 4 : 8).map(({ value, text }) =>
      label(x(value), plot.bottom + 17, text, { anchor: "middle" }),
    ),
    ...(from <= 0 && to >= 0 ? [rule(x(0), plot.top, x(0), plot.bottom, 0.45, "3 3")] : []),
    label(
      plot.right,
      plot.bottom + 36,
      `seconds from the ${align === "peak" ? "peak" : "start of the load"}`,
      {
        anchor: "end",
      },
    ),
  ];
}

function describe(curves: readonly OverlayCurve[], align: Alignment): string {
  const peaks = curves.map(
    ({ name, outcome, peak }) => `${name} ${kN(peak.forceN)} (${outcome ?? "not judged"})`,
  );
  const shown =
    peaks.length > 12 ? `${peaks.slice(0, 12).join(", ")} and ${peaks.length - 12} more` : peaks.join(", ");
  return `${curves.length} curves of force over time, each with second 0 at its ${align === "peak" ? "peak" : "start of the load"}, net of the rest. Peaks: ${shown}.`;
}

function kN(forceN: number): string {
  return `${(forceN / 1000).toFixed(1)} kN`;
}
