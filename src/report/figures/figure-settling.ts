import { max, mean, min } from "d3-array";
import { scaleLinear, scaleLog } from "d3-scale";
import { pullName } from "../../findings/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { type Markup, markup } from "../markup.ts";
import type { ReportInput } from "../types.ts";
import { figureIntervals, type IntervalRow } from "./figure-intervals.ts";
import { at, axisTicks, faint, figure, label, legend, rule } from "./figure-parts.ts";
import { bandPath } from "./figure-trace.ts";
import { placeLabels } from "./label-column.ts";

/** How the force of one pull fell at its hold: seconds since the hold began, shares of the force at its start. */
export type SettlingCurve = {
  readonly pullId: string;
  readonly name: string;
  readonly sinceS: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
  /** Share lost in each tenfold of time, where it could be given. */
  readonly perDecade: { readonly value: number; readonly interval: readonly [number, number] } | undefined;
};

type About = { readonly id: string; readonly width: number; readonly simulated?: boolean };

/**
 * The holds of a series, from the curves as the report has them, thinned so that all together have some 2,000 spans, evenly
 * on a logarithmic axis. Pulls without a hold or without times have none.
 */
export function settlingCurves({
  findings,
  traces,
  readings = {},
}: Pick<ReportInput, "findings" | "traces" | "readings">): SettlingCurve[] {
  const each = Math.max(12, Math.min(80, Math.floor(2000 / Math.max(1, findings.pulls.length))));
  return findings.pulls.flatMap((pull) => {
    const [window, reading] = [traces[pull.pullId], readings[pull.pullId]];
    const { fromS, toS, startN, settling } = reading?.deep?.hold ?? {};
    if (window === undefined || !window.xIsTime || fromS === undefined || toS === undefined) return [];
    if (startN === undefined || !(startN > 0)) return [];
    const restN = reading?.restN ?? 0;
    const held = window.x.flatMap((time, i) => {
      // A span counts where all of it lies in the hold: its end is the next one's start. It stands at its middle.
      const [low, high, end] = [window.lowN[i] ?? null, window.highN[i] ?? null, window.x[i + 1]];
      if (low === null || high === null || end === undefined || time < fromS || end > toS) return [];
      const sinceS = (time + end) / 2 - fromS;
      return [{ sinceS, low: (low - restN) / startN, high: (high - restN) / startN }];
    });
    // In the last span the drive may be moving already.
    held.pop();
    if (held.length < 2) return [];
    const spans = thinned(held, each);
    return [
      {
        pullId: pull.pullId,
        name: pullName(pull),
        sinceS: spans.map(({ sinceS }) => sinceS),
        low: spans.map(({ low }) => low),
        high: spans.map(({ high }) => high),
        perDecade: settling?.perDecade,
      },
    ];
  });
}

/**
 * How the force fell while it was held: in per cent of the force at the start of the hold, against the logarithm of time. Up
 * to ten have their names at the side, and a dashed line with the loss per decade that was read. Nothing where no pull was held.
 *
 * @example
 * figureSettling(settlingCurves(input), { id: "settling", width: 860 })
 */
export function figureSettling(curves: readonly SettlingCurve[], about: About): string | undefined {
  if (curves.length === 0) return undefined;
  const { width, simulated = false } = about;
  const named = curves.length <= 10;
  const key = legend(legendOf(named ? curves : []), 2, simulated ? 22 : 4, width - 4);
  const top = (simulated ? 22 : 4) + key.height + 24;
  const plot = {
    left: 46,
    right: width - 14 - (named ? 100 : 0),
    top,
    bottom: top + (width < 500 ? 230 : 300),
  };
  const x = scaleLog(timesOf(curves), [plot.left, plot.right]);
  const y = scaleLinear(sharesOf(curves), [plot.bottom, plot.top]);
  const names = named
    ? placeLabels(
        curves.map(({ name, sinceS, low, high, perDecade }) => ({
          text: perDecade === undefined ? name : `${name}: ${percent(perDecade.value)}`,
          y: y(((low.at(-1) ?? 1) + (high.at(-1) ?? 1)) / 2),
          fromX: x(sinceS.at(-1) ?? 1) + 2,
        })),
        { left: plot.right + 14, top: plot.top, bottom: plot.bottom, characters: 15 },
      )
    : [];
  return figure({
    id: about.id,
    width,
    height: plot.bottom + 44,
    kind: "settling",
    title: "How the force settled at the hold",
    description: describe(curves),
    simulated,
    drawing: [
      key.drawing,
      ...shareAxis(y, plot),
      ...timeAxis(x, plot),
      ...curves.map((curve) => drawCurve(curve, x, y)),
      ...(named ? curves.map((curve) => lossLine(curve, x, y)) : []),
      ...names,
    ],
  });
}

/** The settling of each pull with its interval, one under the other; nothing where none could be given. */
export function settlingRows(findings: ReportInput["findings"]): IntervalRow[] {
  return findings.pulls.flatMap((pull) => {
    const { settlingPerDecade: settling } = pull;
    if (settling === undefined) return [];
    const levels = Object.values(pull.levels).join(", ");
    return [
      {
        label: pullName(pull),
        ...(levels === "" ? {} : { beside: levels }),
        value: 100 * settling.value,
        interval: [100 * settling.interval[0], 100 * settling.interval[1]] as const,
      },
    ];
  });
}

/**
 * How much of its force each pull lost at its hold in each tenfold of time, with the 95 % interval of that.
 *
 * @example
 * figureSettlingRates(findings, { id: "settling-rates", width: 860 })
 */
export function figureSettlingRates(findings: ReportInput["findings"], about: About): string | undefined {
  const rows = settlingRows(findings);
  if (rows.length === 0) return undefined;
  return figureIntervals(rows, {
    ...about,
    title: "How much of the force settles away",
    axis: "of the force at the hold’s start, % per tenfold of time",
    reference: 0,
  });
}

type Span = { readonly sinceS: number; readonly low: number; readonly high: number };

/** Spans joined where they lie closer on the logarithmic axis than so many of them fit on it; the first and the last stay. */
function thinned(spans: readonly Span[], most: number): Span[] {
  const [first, last] = [spans[0]?.sinceS ?? 1, spans.at(-1)?.sinceS ?? 1];
  const step = (last / first) ** (1 / most);
  const kept: Span[] = [];
  let from = Number.NEGATIVE_INFINITY;
  for (const [i, span] of spans.entries()) {
    const before = kept.at(-1);
    if (before === undefined || span.sinceS >= from * step || i === spans.length - 1) {
      kept.push(span);
      from = span.sinceS;
    } else
      kept[kept.length - 1] = {
        ...before,
        low: Math.min(before.low, span.low),
        high: Math.max(before.high, span.high),
      };
  }
  return kept;
}

type Plot = { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
type Time = ReturnType<typeof scaleLog<number, number>>;
type Share = ReturnType<typeof scaleLinear<number, number>>;

function timesOf(curves: readonly SettlingCurve[]): [number, number] {
  const from = min(curves, ({ sinceS }) => sinceS[0]) ?? 0.1;
  const to = max(curves, ({ sinceS }) => sinceS.at(-1)) ?? 1;
  return [Math.max(from, to / 1e4), to > from ? to : from * 10];
}

/** As far as the curves go: on an axis from zero the loss of a few per cent would be a level line. */
function sharesOf(curves: readonly SettlingCurve[]): [number, number] {
  const low = min(curves, (curve) => min(curve.low)) ?? 0;
  const high = max(curves, (curve) => max(curve.high)) ?? 1;
  const room = Math.max(high - low, 0.002) * 0.08;
  return [low - room, high + room];
}

function drawCurve({ name, sinceS, low, high }: SettlingCurve, x: Time, y: Share): Markup {
  const path = bandPath({ x: sinceS, lowN: low, highN: high }, x.copy().clamp(true), y);
  return markup`<path class="curve" d="${path}" fill="currentColor" fill-opacity="0.3" stroke="currentColor" stroke-opacity="0.55" stroke-width="1" stroke-linejoin="round"><title>${name}</title></path>`;
}

/** The loss over the last tenfold of time, through the middle of the curve there; earlier the law itself is flatter. */
function lossLine({ name, sinceS, low, high, perDecade }: SettlingCurve, x: Time, y: Share): Markup {
  const [from = 0.1] = x.domain();
  const end = sinceS.at(-1) ?? 1;
  const start = Math.max(end / 10, from);
  const late = sinceS.flatMap((since, i) =>
    since < start ? [] : [{ logTime: Math.log10(since), share: ((low[i] ?? 1) + (high[i] ?? 1)) / 2 }],
  );
  if (perDecade === undefined || !(start < end) || late.length === 0) return markup``;
  const middle = mean(late, ({ logTime }) => logTime) ?? 0;
  const share = mean(late, (one) => one.share) ?? 1;
  const heightAt = (since: number) => y(share - perDecade.value * (Math.log10(since) - middle));
  return markup`<g class="loss"><title>${name}: ${percent(perDecade.value)} per tenfold of time</title><path d="M${at(x(start))} ${at(heightAt(start))}L${at(x(end))} ${at(heightAt(end))}" fill="none" stroke="var(--accent, #a8480c)" stroke-width="1.6" stroke-dasharray="6 4"/></g>`;
}

function shareAxis(y: Share, plot: Plot): Markup[] {
  const [low = 0, high = 1] = y.domain();
  return [
    ...axisTicks(low * 100, high * 100, 6).flatMap(({ value, text }) => [
      rule(plot.left, y(value / 100), plot.right, y(value / 100), faint),
      label(plot.left - 6, y(value / 100) + 4, text, { anchor: "end" }),
    ]),
    label(2, plot.top - 12, "force, % of that at the hold’s start", { weight: 700 }),
    ...(low > 0
      ? [
          label(plot.left + 4, plot.bottom - 7, "The axis does not start at zero.", {
            size: 11,
            opacity: 0.85,
            rim: true,
          }),
        ]
      : []),
  ];
}

function timeAxis(x: Time, plot: Plot): Markup[] {
  const few = plot.right - plot.left < 350;
  const ticks = [
    0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000,
  ];
  const [from = 0.1, to = 1] = x.domain();
  const inside = ticks.filter((value) => value >= from && value <= to);
  const shown = few && inside.length > 5 ? inside.filter((value) => /^1|\.0*1$/.test(String(value))) : inside;
  return [
    ...shown.flatMap((value) => [
      rule(x(value), plot.top, x(value), plot.bottom, faint),
      label(x(value), plot.bottom + 17, String(value), { anchor: "middle" }),
    ]),
    label(plot.right, plot.bottom + 36, "seconds since the hold began (logarithmic)", { anchor: "end" }),
  ];
}

function legendOf(curves: readonly SettlingCurve[]) {
  const line = (colour: string, dash: string) => (x: number, y: number) =>
    markup`<line x1="${x - 8}" y1="${y}" x2="${x + 8}" y2="${y}" stroke="${colour}" stroke-width="2"${dash === "" ? "" : markup` stroke-dasharray="${dash}"`}/>`;
  return [
    { word: "one pull, as recorded", sign: line("currentColor", "") },
    ...(curves.some(({ perDecade }) => perDecade !== undefined)
      ? [{ word: "loss per tenfold of time, as read", sign: line("var(--accent, #a8480c)", "6 4") }]
      : []),
  ];
}

function describe(curves: readonly SettlingCurve[]): string {
  const said = curves.map(({ name, perDecade }) =>
    perDecade === undefined ? `${name}: not given` : `${name}: ${percent(perDecade.value)}`,
  );
  const shown = said.length > 12 ? [...said.slice(0, 12), `and ${said.length - 12} more`] : said;
  return `${curves.length} holds, the force against the time since the hold began. Lost in each tenfold of time: ${shown.join("; ")}.`;
}

function percent(share: number): string {
  return `${formatNumber(100 * share, { significant: 2 })} %`;
}
