import { max, min } from "d3-array";
import { scaleLinear } from "d3-scale";
import {
  buryBoundText,
  chanceText,
  type SeriesSlipOrBreak,
  type SlipOrBreakPoint,
} from "../../findings/mod.ts";
import { type Markup, markup } from "../markup.ts";
import {
  at,
  axisTicks,
  faint,
  figure,
  type LegendEntry,
  label,
  legend,
  rule,
  wrapped,
} from "./figure-parts.ts";
import { markWords, outcomeMark, ringAbout } from "./outcome-marks.ts";

export type SlipOrBreakFigure = {
  /** A word unique on the page. */
  readonly id?: string;
  readonly width?: number;
  readonly simulated?: boolean;
  /** Pulls with a ring about their mark: those that a sentence rests on. */
  readonly ringed?: ReadonlySet<string>;
};

/**
 * Slip or break, as two drawings over one axis of full bury in rope diameters. Above, every pull as a mark at its strength,
 * with the median slip strength as a line that climbs and the median break strength as a level line in its interval. Below,
 * the chance of slipping first with its band, the chance asked for as a dashed line, and the bury to state where the band's
 * upper edge meets it. Where no curve could be fitted only the marks stand.
 *
 * @example
 * figureSlipOrBreak(found, { width: 860 }) // '<svg … class="figure slip-or-break" …'
 */
export function figureSlipOrBreak(found: SeriesSlipOrBreak, about: SlipOrBreakFigure = {}): string {
  const { id = "slip-or-break", width = 720, simulated = false } = about;
  const { answer, points } = found;
  const key = legend(legendEntries(found), 2, simulated ? 22 : 4, width - 4);
  const top = (simulated ? 22 : 4) + key.height + 26;
  const narrow = width < 500;
  const [left, right] = [46, width - 14];
  const upper: Plot = { left, right, top, bottom: top + (narrow ? 210 : 260) };
  const withCurve = answer.curve.length > 0;
  const lowerTop = upper.bottom + 48;
  const lower: Plot = { left, right, top: lowerTop, bottom: lowerTop + (narrow ? 120 : 140) };
  const foot = (withCurve ? lower : upper).bottom;
  const source = wrapped(sourceText(found), Math.floor(width / 5.9), 4);
  const x = scaleLinear(rangeOf(found), [left, right]);
  const y = scaleLinear(heightsOf(found), [upper.bottom, upper.top]);
  const share = scaleLinear([0, 1], [lower.bottom, lower.top]);
  return figure({
    id,
    width,
    height: foot + 44 + source.length * 14,
    kind: "slip-or-break",
    title: "Slip or break: strength and the chance of slipping first, against full bury",
    simulated,
    description: describe(found),
    drawing: [
      key.drawing,
      ...strengthAxis(y, upper),
      ...buryAxis(x, upper, narrow),
      ...strengthLines(found, x, y, upper),
      ...(withCurve
        ? [...chanceAxis(share, lower), ...buryAxis(x, lower, narrow), ...chanceLines(found, x, share, lower)]
        : []),
      ...stateLine(found, x, upper.top, foot, withCurve),
      ...points.flatMap((point) => mark(point, x, y, about.ringed)),
      label(right, foot + 34, "full bury, rope diameters", { anchor: "end" }),
      ...source.map((line, row) => label(2, foot + 54 + row * 14, line, { size: 11, opacity: 0.85 })),
    ],
  });
}

type Plot = { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
type Scale = ReturnType<typeof scaleLinear<number, number>>;

/** From a little before the shortest bury to the end of the curve, or a little past the longest bury. */
function rangeOf({ answer, points }: SeriesSlipOrBreak): [number, number] {
  const buries = points.map(({ buryDiameters }) => buryDiameters);
  const low = min(buries) ?? 0;
  const high = Math.max(max(buries) ?? 1, answer.curve.at(-1)?.buryDiameters ?? 0, answer.length.upper ?? 0);
  const room = Math.max((high - low) * 0.04, 1);
  return [Math.max(0, low - room), high + room];
}

/** Of the marks and the plateau alone: a slip curve that climbs out of the drawing says enough. */
function heightsOf({ answer, points }: SeriesSlipOrBreak): [number, number] {
  const heights = [...points.map(({ strength }) => strength), ...(answer.break?.plateau.interval ?? [])];
  const [low, high] = [min(heights) ?? 0, max(heights) ?? 1];
  const from = low > high / 2 ? Math.floor((low - 0.05) * 20) / 20 : 0;
  return [Math.max(0, from), high + (high - from) * 0.12];
}

function strengthAxis(y: Scale, plot: Plot): Markup[] {
  const [from = 0, to = 1] = y.domain();
  return [
    ...axisTicks(from * 100, to * 100, 6).flatMap(({ value, text }) => [
      rule(plot.left, y(value / 100), plot.right, y(value / 100), value === 0 ? 0.55 : faint),
      label(plot.left - 6, y(value / 100) + 4, text, { anchor: "end" }),
    ]),
    label(2, plot.top - 12, "strength, % of legs × rated strength", { weight: 700 }),
    ...(from > 0
      ? [
          label(plot.right, plot.bottom - 6, `starts at ${Math.round(from * 100)} %, not at zero`, {
            anchor: "end",
            size: 11,
            opacity: 0.85,
            rim: true,
          }),
        ]
      : []),
  ];
}

function chanceAxis(share: Scale, plot: Plot): Markup[] {
  return [
    ...[0, 0.25, 0.5, 0.75, 1].flatMap((value) => [
      rule(plot.left, share(value), plot.right, share(value), value === 0 ? 0.55 : faint),
      label(plot.left - 6, share(value) + 4, String(value * 100), { anchor: "end" }),
    ]),
    label(2, plot.top - 12, "slips first, %", { weight: 700 }),
  ];
}

function buryAxis(x: Scale, plot: Plot, narrow: boolean): Markup[] {
  const [from = 0, to = 1] = x.domain();
  return axisTicks(from, to, narrow ? 5 : 9).flatMap(({ value, text }) => [
    rule(x(value), plot.bottom, x(value), plot.bottom + 4, 0.55),
    label(x(value), plot.bottom + 17, text, { anchor: "middle" }),
  ]);
}

function strengthLines({ answer }: SeriesSlipOrBreak, x: Scale, y: Scale, plot: Plot): Markup[] {
  const [, highest = 1] = y.domain();
  const [lowest = 0] = y.domain();
  const slip = answer.curve.map(({ buryDiameters, slipStrength }) => [buryDiameters, slipStrength] as const);
  const drawn = within(slip, lowest, highest);
  const { break: rope } = answer;
  const interval = rope?.plateau.interval;
  const [low, high] = interval ?? [0, 0];
  return [
    ...(interval === undefined
      ? []
      : [
          markup`<rect class="plateau-interval" x="${at(plot.left)}" y="${at(y(high))}" width="${at(plot.right - plot.left)}" height="${at(y(low) - y(high))}" fill="currentColor" fill-opacity="0.12"><title>${chanceText(answer.confidence)} interval of the median break strength: ${percent(low)} to ${percent(high)}</title></rect>`,
        ]),
    ...(rope === undefined
      ? []
      : [
          markup`<line class="plateau" x1="${at(plot.left)}" y1="${at(y(rope.plateau.strength))}" x2="${at(plot.right)}" y2="${at(y(rope.plateau.strength))}" stroke="currentColor" stroke-width="2"><title>median break strength: ${percent(rope.plateau.strength)}</title></line>`,
        ]),
    ...(drawn.length < 2
      ? []
      : [
          markup`<path class="slip-strength" d="M${drawn.map(([bury, strength]) => `${at(x(bury))} ${at(y(strength))}`).join("L")}" fill="none" stroke="var(--accent, #a8480c)" stroke-width="2"><title>median slip strength</title></path>`,
        ]),
  ];
}

/** The part of a climbing line between two heights, cut where it passes them. */
function within(
  line: readonly (readonly [number, number])[],
  lowest: number,
  highest: number,
): (readonly [number, number])[] {
  return line.flatMap((point, i) => {
    const next = line[i + 1];
    const inside = point[1] >= lowest && point[1] <= highest;
    const cuts = [lowest, highest].flatMap((height) =>
      next !== undefined && (point[1] - height) * (next[1] - height) < 0
        ? [[point[0] + ((next[0] - point[0]) * (height - point[1])) / (next[1] - point[1]), height] as const]
        : [],
    );
    return [...(inside ? [point] : []), ...cuts];
  });
}

function chanceLines({ answer }: SeriesSlipOrBreak, x: Scale, share: Scale, plot: Plot): Markup[] {
  const { curve, length, confidence } = answer;
  const along = (side: (one: (typeof curve)[number]) => number, points = curve) =>
    points.map((one) => `${at(x(one.buryDiameters))} ${at(share(side(one)))}`).join("L");
  const band = `M${along(({ upper }) => upper)}L${along(({ lower }) => lower, [...curve].reverse())}Z`;
  return [
    markup`<path class="band" d="${band}" fill="currentColor" fill-opacity="0.12"><title>each edge is a bound with ${chanceText(confidence)} confidence</title></path>`,
    markup`<path class="chance" d="M${along(({ probability }) => probability)}" fill="none" stroke="currentColor" stroke-width="2"><title>chance of slipping first</title></path>`,
    markup`<g class="asked"><title>the chance asked for: ${chanceText(length.chance)}</title>${rule(plot.left, share(length.chance), plot.right, share(length.chance), 0.8, "6 4")}${label(plot.right, share(length.chance) - 5, `${chanceText(length.chance)} asked`, { anchor: "end", size: 11, rim: true })}</g>`,
  ];
}

/** The bury to state through both drawings, named at the top of the lower one. */
function stateLine(
  { answer }: SeriesSlipOrBreak,
  x: Scale,
  top: number,
  bottom: number,
  withCurve: boolean,
): Markup[] {
  const { length } = answer;
  if (length.upper === undefined) return [];
  const place = x(length.upper);
  const [, end = 0] = x.range();
  const words = `bury to state: ${buryBoundText(length)}`;
  // Beside the line where there is room for the words, else before it.
  const before = place + words.length * 6.6 > end;
  return [
    markup`<line class="to-state" x1="${at(place)}" y1="${at(top)}" x2="${at(place)}" y2="${at(bottom)}" stroke="var(--accent, #a8480c)" stroke-width="1.6" stroke-dasharray="2 3"><title>${words}</title></line>`,
    label(place + (before ? -6 : 6), withCurve ? bottom - 76 : top + 12, words, {
      anchor: before ? "end" : "start",
      weight: 700,
      colour: "var(--accent, #a8480c)",
      rim: true,
    }),
  ];
}

function mark(point: SlipOrBreakPoint, x: Scale, y: Scale, ringed?: ReadonlySet<string>): Markup[] {
  const { pullId, outcome, buryDiameters, strength } = point;
  const [cx, cy] = [x(buryDiameters), y(strength)];
  const ring = ringed?.has(pullId) ? [ringAbout(outcome, cx, cy)] : [];
  return [...ring, outcomeMark(outcome, cx, cy, pointText(point))];
}

function pointText({ name, outcome, buryDiameters, strength, buryFrom }: SlipOrBreakPoint): string {
  const planned = buryFrom === "plan" ? " as planned" : "";
  return `${name}: ${outcome} at ${percent(strength)}, full bury ${buryDiameters.toFixed(1)} d${planned}`;
}

function legendEntries({ points, answer }: SeriesSlipOrBreak): LegendEntry[] {
  const kinds = (["broke", "slipped", "stopped"] as const).filter((kind) =>
    points.some(({ outcome }) => outcome === kind),
  );
  const stroke = (colour: string) => (x: number, y: number) =>
    markup`<line x1="${at(x - 8)}" y1="${at(y)}" x2="${at(x + 8)}" y2="${at(y)}" stroke="${colour}" stroke-width="2"/>`;
  const curve = answer.curve.length > 0;
  return [
    ...kinds.map(
      (kind): LegendEntry => ({
        word: markWords[kind],
        sign: (x, y) => outcomeMark(kind, x, kind === "stopped" ? y + 5 : y),
      }),
    ),
    ...(curve ? [{ word: "median slip strength", sign: stroke("var(--accent, #a8480c)") }] : []),
    ...(answer.break === undefined
      ? []
      : [
          {
            word: curve ? "median break strength; chance" : "median break strength",
            sign: stroke("currentColor"),
          },
        ]),
    ...(answer.break === undefined
      ? []
      : [
          {
            word: `${chanceText(answer.confidence)} confidence`,
            sign: (x: number, y: number) =>
              markup`<rect x="${at(x - 8)}" y="${at(y - 6)}" width="16" height="12" fill="currentColor" fill-opacity="0.12"/>`,
          },
        ]),
  ];
}

/** What the drawing rests on, as far as a reader can check it. */
function sourceText({ answer, points, otherFactors }: SeriesSlipOrBreak): string {
  const planned = points.filter(({ buryFrom }) => buryFrom === "plan").length;
  const bury =
    planned === 0
      ? "buries as made"
      : planned === points.length
        ? "buries as planned"
        : `buries as made, ${planned} of them as planned`;
  const law =
    answer.growth === undefined
      ? "no fit"
      : answer.growthDecided === false
        ? "both laws of growth"
        : `${answer.growth} growth`;
  const fitted = otherFactors.filter((one) => one.as === "fitted").map(({ factor }) => factor);
  const middle = fitted.length === 0 ? "" : ` Lines for the middle of ${fitted.join(" and ")}.`;
  const refits =
    answer.refits.made === 0 ? "" : `, ${answer.refits.made} refits from seed ${answer.refits.seed}`;
  return `Source: ${points.length} pulls of this series, ${bury}; ${law}${refits}.${middle}`;
}

function describe({ answer, points }: SeriesSlipOrBreak): string {
  const { length, slipped, broke, stopped } = answer;
  const state =
    length.upper === undefined
      ? "No bury can be stated."
      : `The bury to state for a chance of ${chanceText(length.chance)} is ${buryBoundText(length)}.`;
  return `${points.length} pulls: ${slipped} slipped, ${broke} broke, ${stopped} borne without an end. ${state} The tables hold the same numbers.`;
}

function percent(fraction: number): string {
  return `${(100 * fraction).toFixed(1)} %`;
}
