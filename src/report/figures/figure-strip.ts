import { max, min } from "d3-array";
import { scaleLinear, scaleLog } from "d3-scale";
import type { SeriesFindings } from "../../findings/mod.ts";
import { type Factor, type OutcomeKind, outcomeKinds, type SeriesFields } from "../../series/mod.ts";
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
  textWidth,
  wrapped,
} from "./figure-parts.ts";
import { markWords, outcomeMark } from "./outcome-marks.ts";
import { cellMarks, type ShownPull, type StripMarks, shownPulls } from "./strip-marks.ts";
import {
  boundOf,
  chooseMeasure,
  factorAlong,
  intervalOf,
  makePanels,
  meanOf,
  notPlaced,
  type Panel,
  type Slot,
  type StripMeasure,
} from "./strip-panels.ts";

export type StripFigure = {
  /** A word unique on the page. */
  readonly id?: string;
  readonly width?: number;
  /** Absent: leg efficiency where the ropes' rated strengths differ and all are known, else strength. */
  readonly measure?: StripMeasure;
  /** Pulls with a ring about their mark: those that a finding rests on. */
  readonly ringed?: ReadonlySet<string>;
};

/**
 * Every pull of a series as a mark, set against the cells of its plan: along the factor of numbers with the most levels (to scale), or
 * in slots where levels are words; one panel for each combination of the other factors. Behind the marks lie each cell's
 * mean as a line, its 95 % confidence interval as a band, and the lower bound that the series states as a floor, where they
 * could be given; a bound far below all marks is an arrow at the foot. Pulls that lack a level stand in a panel of their own. Void pulls with a readable force are drawn as crosses and stand in no mean.
 *
 * The force axis is always upright and is in kilonewtons with pounds-force beside it, or in per cent. It starts at zero
 * unless all marks lie in its upper half; then the figure says where it starts.
 *
 * @example
 * figureStrip(series, judgeSeries(series, pulls), { width: 720 }) // '<svg … class="figure strip" …'
 */
export function figureStrip(
  series: Pick<SeriesFields, "factors" | "simulated">,
  findings: SeriesFindings,
  about: StripFigure = {},
): string {
  const { width = 720 } = about;
  const measure = about.measure ?? chooseMeasure(findings);
  const along = factorAlong(series.factors);
  const shown = shownPulls(findings, measure);
  const panels = makePanels(series.factors, along, findings, Math.max(3, Math.floor((width - 96) / 62)));
  const values = shownValues(findings, measure, [...shown.values()]);
  const key = legend(legendEntries(findings, measure, shown), 2, series.simulated ? 22 : 4, width - 4);
  const top = (series.simulated ? 22 : 4) + key.height + 6;
  const shape = layOut(panels, width);
  const [low, high] = domain(values);
  const rows = Math.ceil(panels.length / shape.perRow);
  const height = top + rows * shape.rowHeight;
  const drawn = panels.map((panel, index) =>
    drawPanel(panel, {
      along,
      measure,
      findings,
      shown,
      ringed: about.ringed,
      domain: [low, high],
      left: shape.left + (index % shape.perRow) * (shape.panelWidth + shape.gap),
      top: top + Math.floor(index / shape.perRow) * shape.rowHeight,
      width: shape.panelWidth,
      height: shape.rowHeight,
      firstInRow: index % shape.perRow === 0,
      lastInRow: index % shape.perRow === shape.perRow - 1 || index === panels.length - 1,
    }),
  );
  return figure({
    id: about.id ?? "strip",
    width,
    height,
    kind: "strip",
    title: `Every pull: ${measure}${along === undefined ? "" : ` against ${along.name}`}`,
    simulated: series.simulated,
    description: describe(findings, measure, low, shown.size),
    drawing: [key.drawing, ...drawn, startNote(low, measure, width, height)],
  });
}

function layOut(panels: readonly Panel[], width: number) {
  const most = max(panels, ({ slots }) => slots.length) ?? 1;
  const [left, right, gap] = [46, 50, 18];
  const wanted = Math.max(170, most * 50);
  const fitting = Math.max(1, Math.floor((width - left - right + gap) / (wanted + gap)));
  // As few rows as fit, and those equally long: four panels stand two by two, not three and one.
  const perRow = Math.ceil(panels.length / Math.ceil(panels.length / fitting)) || 1;
  const room = (width - left - right - gap * (perRow - 1)) / perRow;
  // Few words in a wide panel would stand lost in it.
  const panelWidth = panels.every(({ numeric }) => !numeric) ? Math.min(room, most * 170) : room;
  return { left, gap, perRow, panelWidth, rowHeight: width < 500 ? 310 : 350 };
}

function domain(values: readonly number[]): [number, number] {
  const top = max(values) ?? 1;
  const bottom = min(values) ?? 0;
  const from = bottom > top / 2 ? bottom - (top - bottom) * 0.5 - top * 0.02 : 0;
  return [Math.max(0, from), top + (top - Math.max(0, from)) * 0.08];
}

/** What the axis must hold: marks, intervals and bounds. */
function shownValues(
  { pulls, cells }: SeriesFindings,
  measure: StripMeasure,
  shown: readonly ShownPull[],
): number[] {
  const values = shown.map(({ value }) => value);
  // A bound from few pulls may lie far below; it does not press the marks together, but ends in an arrow.
  const lowestBound = (min(values) ?? 0) * 0.6;
  for (const cell of cells) {
    const interval = intervalOf(cell, measure);
    // An interval from two pulls can be wider than all else; it is drawn as far as the axis goes.
    if (interval !== undefined && cell.n > 2) values.push(...interval);
    const bound = boundOf(cell, measure, pulls);
    if (bound !== undefined && bound > lowestBound) values.push(bound);
  }
  return values;
}

type PanelPlace = StripMarks & {
  readonly measure: StripMeasure;
  readonly along: Factor | undefined;
  readonly findings: SeriesFindings;
  readonly domain: readonly [number, number];
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly firstInRow: boolean;
  readonly lastInRow: boolean;
};

function drawPanel(panel: Panel, where: PanelPlace): Markup {
  const plot = {
    left: where.left,
    right: where.left + where.width,
    top: where.top + 44,
    bottom: where.top + where.height - 74,
  };
  const y = scaleLinear([...where.domain], [plot.bottom, plot.top]);
  const pad = Math.min(40, where.width / (panel.slots.length + 1));
  const xs = panel.slots.map((slot) => slot.x);
  const [first, last] = [min(xs) ?? 0, max(xs) ?? 0];
  const x = scaleAlong(first, last, plot.left + pad, plot.right - pad);
  const centres = panel.slots.map((slot) => x.at(slot.x));
  const room =
    min(centres.slice(1).map((centre, index) => centre - (centres[index] as number))) ?? where.width;
  const half = Math.max(7, Math.min(26, room / 2 - 3));
  const slots = panel.slots.map((slot, index) =>
    drawSlot(slot, centres[index] as number, half, y, plot, where),
  );
  const foot = slotLabels(panel, centres, room, plot.bottom);
  const name = wrapped(panel.label, Math.floor(where.width / 6.6), 2).map((line, row, lines) =>
    label(plot.left, where.top + 20 - (lines.length - 1 - row) * 13, line, { weight: 700, size: 12 }),
  );
  const below = alongText(where.along, panel, x.logarithmic);
  return markup`<g class="panel">${name}${axis(y, plot, where)}${slots}${foot}${below === "" ? "" : label((plot.left + plot.right) / 2, plot.bottom + 54, below, { anchor: "middle", opacity: 0.85 })}</g>`;
}

/** To scale along the factor; where its levels span more than thirtyfold, by their logarithm. */
function scaleAlong(first: number, last: number, left: number, right: number) {
  if (first === last) return { at: () => (left + right) / 2, logarithmic: false };
  const logarithmic = first > 0 && last / first >= 30;
  return { at: (logarithmic ? scaleLog : scaleLinear)([first, last], [left, right]), logarithmic };
}

function alongText(along: Factor | undefined, panel: Panel, logarithmic: boolean): string {
  if (along === undefined || panel.label === notPlaced) return "";
  return `${along.name}${along.unit === "" ? "" : `, ${along.unit}`}${logarithmic && panel.numeric ? " (logarithmic scale)" : ""}`;
}

type Plot = { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
type Scale = ReturnType<typeof scaleLinear<number, number>>;

function axis(y: Scale, plot: Plot, where: PanelPlace): Markup {
  const [from = 0, to = 1] = y.domain();
  const shown = where.measure === "strength" ? 1 / 1000 : 100;
  const main = axisTicks(from * shown, to * shown, 6).map(
    ({ value, text }) =>
      markup`${rule(plot.left, y(value / shown), plot.right, y(value / shown), value === 0 ? 0.55 : faint)}${where.firstInRow ? label(plot.left - 6, y(value / shown) + 4, text, { anchor: "end" }) : ""}`,
  );
  const title = where.firstInRow
    ? label(plot.left - 6, plot.top - 9, where.measure === "strength" ? "kN" : "%", {
        anchor: "end",
        weight: 700,
      })
    : "";
  if (where.measure !== "strength" || !where.lastInRow) return markup`${main}${title}`;
  const perLbf = 4.4482216152605; // newtons: 0.45359237 kg × 9.80665 m/s², exact
  const beside = axisTicks(from / perLbf, to / perLbf, 6).map(({ value, text }) =>
    label(plot.right + 6, y(value * perLbf) + 4, text, { opacity: 0.75 }),
  );
  return markup`${main}${title}${beside}${label(plot.right + 6, plot.top - 9, "lbf", { weight: 700, opacity: 0.75 })}`;
}

function drawSlot(
  { cell }: Slot,
  centre: number,
  half: number,
  y: Scale,
  plot: Plot,
  where: PanelPlace,
): Markup {
  const mean = meanOf(cell, where.measure);
  const interval = intervalOf(cell, where.measure);
  const inside = (value: number) => Math.min(plot.bottom, Math.max(plot.top, y(value)));
  const behind = [
    interval === undefined
      ? ""
      : markup`<rect class="interval" x="${at(centre - half)}" y="${at(inside(interval[1]))}" width="${at(2 * half)}" height="${at(inside(interval[0]) - inside(interval[1]))}" fill="currentColor" fill-opacity="0.1"><title>95 % interval of the mean, ${cell.label}</title></rect>`,
    mean === undefined
      ? ""
      : markup`<line class="mean" x1="${at(centre - half)}" y1="${at(y(mean))}" x2="${at(centre + half)}" y2="${at(y(mean))}" stroke="currentColor" stroke-width="2"><title>mean, ${cell.label}</title></line>`,
    boundMark(boundOf(cell, where.measure, where.findings.pulls), {
      centre,
      half,
      y,
      foot: plot.bottom,
      title: `${where.findings.statedBy.name}, ${cell.label}`,
    }),
  ];
  const drawn = cellMarks(cell, where, { centre, half, y });
  return markup`<g class="cell">${behind}${drawn}</g>`;
}

/** A floor with hatching beneath it; an arrow at the foot where the bound lies below the drawing. */
function boundMark(
  bound: number | undefined,
  about: {
    readonly centre: number;
    readonly half: number;
    readonly y: Scale;
    readonly foot: number;
    readonly title: string;
  },
): Markup {
  if (bound === undefined) return markup``;
  const { centre, half, y, foot, title } = about;
  const below = bound < (y.domain()[0] ?? 0);
  const d = below
    ? `M${at(centre)} ${at(foot - 13)}L${at(centre)} ${at(foot - 2)}M${at(centre - 4)} ${at(foot - 6.5)}L${at(centre)} ${at(foot - 2)}L${at(centre + 4)} ${at(foot - 6.5)}`
    : floorPath(centre, y(bound), half);
  return markup`<path class="bound" d="${d}" fill="none" stroke="currentColor" stroke-width="1.5" stroke-linejoin="round"><title>${title}${below ? ", below the drawing" : ""}</title></path>`;
}

function floorPath(centre: number, y: number, half: number): string {
  const strokes = [-0.9, -0.3, 0.3, 0.9].map((share) => {
    const x = centre + share * (half - 3);
    return `M${at(x + 2)} ${at(y)}L${at(x - 2)} ${at(y + 5)}`;
  });
  return `M${at(centre - half)} ${at(y)}L${at(centre + half)} ${at(y)}${strokes.join("")}`;
}

/** Levels and counts under the slots; where numbers stand too close, every other one is left away. */
function slotLabels(panel: Panel, centres: readonly number[], room: number, bottom: number): Markup {
  let free = Number.NEGATIVE_INFINITY;
  const labels = panel.slots.map(({ cell, text }, index) => {
    const centre = centres[index] as number;
    const lines = panel.numeric ? [text] : wrapped(text, Math.max(8, Math.floor(room / 7)), 3);
    const wide = Math.max(textWidth(`n ${cell.n}`, 11), ...lines.map((line) => textWidth(line, 12)));
    if (panel.numeric && centre - wide / 2 < free) return "";
    free = centre + wide / 2 + 2;
    const below = [...lines, `n ${cell.n}`];
    return markup`${below.map((line, row) => label(centre, bottom + 17 + row * 12.5, line, { anchor: "middle", size: row < lines.length ? 12 : 11, opacity: row < lines.length ? 1 : 0.75 }))}`;
  });
  return markup`${labels}`;
}

function legendEntries(
  { pulls, cells, statedBy }: SeriesFindings,
  measure: StripMeasure,
  shown: StripMarks["shown"],
): LegendEntry[] {
  const kinds = new Set<OutcomeKind>();
  for (const { kind } of shown.values()) kinds.add(kind);
  const entries = outcomeKinds
    .filter((kind) => kinds.has(kind))
    .map(
      (kind): LegendEntry => ({
        word: markWords[kind],
        sign: (x, y) => outcomeMark(kind, x, kind === "stopped" ? y + 5 : y),
      }),
    );
  if (cells.some((cell) => meanOf(cell, measure) !== undefined))
    entries.push({
      word: "mean of a cell",
      sign: (x, y) =>
        markup`<line x1="${at(x - 8)}" y1="${at(y)}" x2="${at(x + 8)}" y2="${at(y)}" stroke="currentColor" stroke-width="2"/>`,
    });
  if (cells.some((cell) => intervalOf(cell, measure) !== undefined))
    entries.push({
      word: "95 % interval of the mean",
      sign: (x, y) =>
        markup`<rect x="${at(x - 8)}" y="${at(y - 6)}" width="16" height="12" fill="currentColor" fill-opacity="0.12"/>`,
    });
  if (cells.some((cell) => boundOf(cell, measure, pulls) !== undefined))
    entries.push({
      word: statedBy.name,
      sign: (x, y) =>
        markup`<path d="${floorPath(x, y - 2, 8)}" fill="none" stroke="currentColor" stroke-width="1.5"/>`,
    });
  return entries;
}

/** An axis that does not start at zero says so where it stands, not only in its description. */
function startNote(low: number, measure: StripMeasure, width: number, height: number): Markup {
  if (low === 0) return markup``;
  return label(width - 2, height - 6, `The axis starts at ${startText(low, measure)}, not at zero.`, {
    anchor: "end",
    size: 11,
    opacity: 0.85,
  });
}

function startText(low: number, measure: StripMeasure): string {
  return measure === "strength" ? `${(low / 1000).toFixed(1)} kN` : `${(low * 100).toFixed(0)} %`;
}

function describe(
  { pulls, cells }: SeriesFindings,
  measure: StripMeasure,
  low: number,
  shown: number,
): string {
  const start = low > 0 ? ` The axis starts at ${startText(low, measure)}, not at zero.` : "";
  return `${shown} of ${pulls.length} pulls in ${cells.filter((cell) => cell.pulls.length > 0).length} cells, each pull a mark.${start} The tables hold the same numbers.`;
}
