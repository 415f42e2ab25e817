import { type Markup, markup } from "../markup.ts";
import { at, label, rule, textWidth } from "./figure-parts.ts";
import type { TraceDrop, TraceFigure, TracePeak, TracePhase, TracePoint } from "./trace-figure.ts";

/** Where marks are drawn to: scales, the plot's frame, and how forces are told. */
export type TracePlace = {
  readonly x: (value: number) => number;
  readonly y: (forceN: number) => number;
  readonly plot: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  };
  readonly xIsTime: boolean;
  /** Without words: for many pictures side by side. */
  readonly small: boolean;
  /** Size of the words; 11 unless said. */
  readonly textSize?: number;
  /** A force with its unit; in kilonewtons unless said. */
  readonly force?: (forceN: number) => string;
};

/** Marks that lie under the curve, and those that lie over it. */
export type TraceMarkup = { readonly under: readonly Markup[]; readonly over: readonly Markup[] };

/**
 * What was read out of a trace as marks on it, the same on screen and in a report: phases as bands with their words above
 * the plot, the hold as a bracket with how it settled, slips as ticks with their size, the first slip as a diamond, the
 * peak as a ring with a whisker of its expanded uncertainty (an arrow upward where it is a lower bound), samples that were
 * left out as crosses in a dotted ring. Nothing is told by colour alone: each mark has its shape and its title.
 *
 * @example
 * drawTraceMarks({ peak: { x: 10, forceN: 9000, lowN: 8900, highN: 9100 } }, place).over
 */
export function drawTraceMarks(about: TraceFigure, place: TracePlace): TraceMarkup {
  const { x, y, plot, small } = place;
  return {
    under: [
      ...phaseBands(about.phases ?? [], place),
      ...edges(about, place),
      ...(about.restN === undefined
        ? []
        : [
            rule(
              clamped(x(about.start ?? plot.left), plot),
              y(about.restN),
              plot.right,
              y(about.restN),
              0.55,
              "2 3",
            ),
          ]),
    ],
    over: [
      ...(about.hold === undefined ? [] : [holdMark(about.hold, place)]),
      ...(about.drops ?? []).map((drop) => dropMark(drop, place)),
      ...slipMarks(about.slips ?? [], place),
      // Where the first slip began at the peak, the peak's own mark stands there.
      ...(about.firstSlip === undefined || small || about.firstSlip.x === about.peak?.x
        ? []
        : [firstSlipMark(about.firstSlip, place)]),
      ...(about.leftOut ?? []).map((point) => leftOutMark(point, place)),
      ...(about.peak === undefined ? [] : [peakMark(about.peak, place)]),
    ],
  };
}

/** How many rows of words the phases take above the plot, and how high those are. */
export function phaseLaneHeight(
  phases: readonly TracePhase[],
  place: Omit<TracePlace, "y" | "force">,
): number {
  const placed = layOutWords(phases, place);
  if (placed.length === 0) return 0;
  return (Math.max(...placed.map(({ row }) => row)) + 1) * rowHeight(place) + 4;
}

/** The most rows of words above the plot; what does not fit keeps its title and its place in the table. */
const mostRows = 3;

type PhaseWord = {
  readonly phase: TracePhase;
  readonly word: string;
  readonly centre: number;
  readonly from: number;
  readonly row: number;
};

function layOutWords(
  phases: readonly TracePhase[],
  place: Pick<TracePlace, "x" | "plot" | "small" | "textSize">,
): readonly PhaseWord[] {
  if (place.small) return [];
  const { plot } = place;
  const size = place.textSize ?? 11;
  const placed: PhaseWord[] = [];
  const filledTo = Array.from({ length: mostRows }, () => plot.left - 40);
  for (const phase of phases) {
    const [left, right] = [clamped(place.x(phase.fromX), plot), clamped(place.x(phase.toX), plot)];
    if (place.x(phase.toX) < plot.left || place.x(phase.fromX) > plot.right) continue;
    const centre = (left + right) / 2;
    const words = phase.more === undefined ? [phase.name] : [`${phase.name}, ${phase.more}`, phase.name];
    for (let row = 0; row < mostRows; row++) {
      const word = row === 0 ? words.find((one) => textWidth(one, size) <= right - left) : words.at(-1);
      if (word === undefined) continue;
      const wide = textWidth(word, size);
      const taken = (filledTo[row] as number) + 6;
      const from = Math.min(Math.max(centre - wide / 2, plot.left - 34, taken), plot.right + 14 - wide);
      // Its line down must still meet the word.
      if (from < taken || from > centre - 4) continue;
      filledTo[row] = from + wide;
      placed.push({ phase, word, centre, from, row });
      break;
    }
  }
  return placed;
}

function rowHeight({ textSize = 11 }: Pick<TracePlace, "textSize">): number {
  return textSize + 4;
}

function phaseBands(phases: readonly TracePhase[], place: TracePlace): Markup[] {
  const { x, plot, textSize = 11 } = place;
  const bands = phases.flatMap((phase, index) => {
    const [left, right] = [clamped(x(phase.fromX), plot), clamped(x(phase.toX), plot)];
    if (right <= left) return [];
    const title = phase.more === undefined ? phase.name : `${phase.name}, ${phase.more}`;
    return [
      markup`<g class="phase"><title>${title}</title><rect x="${at(left)}" y="${at(plot.top)}" width="${at(right - left)}" height="${at(plot.bottom - plot.top)}" fill="currentColor" fill-opacity="${index % 2 === 0 ? 0.035 : 0.085}"/>${rule(left, plot.top, left, plot.bottom, 0.25)}<path d="M${at(left + 1)} ${at(plot.top + 4)}V${at(plot.top)}H${at(right - 1)}V${at(plot.top + 4)}" fill="none" stroke="currentColor" stroke-opacity="0.6"/></g>`,
    ];
  });
  const words = layOutWords(phases, place).map(({ word, centre, from, row }) => {
    const foot = plot.top - 5 - row * rowHeight(place);
    const lead = row === 0 ? "" : rule(centre, foot + 3, centre, plot.top, 0.45);
    return markup`${lead}${label(from, foot, word, { size: textSize })}`;
  });
  return [...bands, ...words];
}

function edges(
  { start, end, phases = [] }: TraceFigure,
  { x, plot, small, textSize = 11 }: TracePlace,
): Markup[] {
  // Phases say by their words where the pull starts and ends.
  const wordless = small || phases.length > 0;
  const edge = (value: number | undefined, word: string, anchor: "start" | "end") =>
    value === undefined || x(value) < plot.left - 0.5 || x(value) > plot.right + 0.5
      ? []
      : [
          markup`<g class="edge"><title>${word} of the pull</title>${rule(x(value), plot.top, x(value), plot.bottom, 0.6, "5 3")}${wordless ? "" : label(x(value) + (anchor === "start" ? 4 : -4), plot.bottom - 6, word, { anchor, size: textSize, opacity: 0.85 })}</g>`,
        ];
  return [...edge(start, "start", "start"), ...edge(end, "end", "end")];
}

function holdMark(hold: NonNullable<TraceFigure["hold"]>, place: TracePlace): Markup {
  const { x, y, plot, small, textSize = 11 } = place;
  const [left, right] = [clamped(x(hold.fromX), plot), clamped(x(hold.toX), plot)];
  if (right - left < 1) return markup``;
  const down = Math.min(Math.max(y(hold.fromN), y(hold.toN)) + 10, plot.bottom - 8);
  const bracket = markup`<path d="M${at(left)} ${at(down - 4)}V${at(down)}H${at(right)}V${at(down - 4)}" fill="none" stroke="currentColor" stroke-width="1.4"/>`;
  const widest = (lines: readonly string[]) => Math.max(...lines.map((line) => textWidth(line, textSize)));
  const lines = left + widest([hold.words]) < plot.right ? [hold.words] : hold.words.split(/(?<=,) /);
  const fits = left + widest(lines) < plot.right;
  const word = small
    ? ""
    : lines.map((line, at) =>
        label(fits ? left : right, down + (at + 1) * (textSize + 3), line, {
          size: textSize,
          anchor: fits ? "start" : "end",
          rim: true,
        }),
      );
  return markup`<g class="hold"><title>${hold.words}</title>${bracket}${word}</g>`;
}

function dropMark({ x: when, fromN, toN }: TraceDrop, place: TracePlace): Markup {
  const { x, y, plot } = place;
  const [cx, top, bottom] = [x(when), y(fromN), y(toN)];
  if (cx < plot.left - 1 || cx > plot.right + 1) return markup``;
  const text = `drop from ${force(place, fromN)} to ${force(place, toN)} at ${where(when, place)}`;
  // A head longer than the arrow itself would hide it.
  const head =
    bottom - top < 7
      ? ""
      : `M${at(cx - 3)} ${at(bottom - 5)}L${at(cx)} ${at(bottom)}L${at(cx + 3)} ${at(bottom - 5)}`;
  return markup`<g class="drop" stroke="var(--accent, #a8480c)" stroke-width="1.6" fill="none"><title>${text}</title><path d="M${at(cx - 4)} ${at(top)}L${at(cx + 4)} ${at(top)}M${at(cx)} ${at(top)}L${at(cx)} ${at(bottom)}${head}"/></g>`;
}

/** Slips as ticks from where the force stood to where it fell; the sizes of the largest are written while there is room. */
function slipMarks(slips: readonly TraceDrop[], place: TracePlace): Markup[] {
  const { x, y, plot, small, textSize = 11 } = place;
  const inView = slips.filter((slip) => x(slip.x) >= plot.left && x(slip.x) <= plot.right);
  const words: { readonly from: number; readonly to: number; readonly foot: number }[] = [];
  const bySize = [...inView].sort((a, b) => b.fromN - b.toN - (a.fromN - a.toN));
  const drawn = new Map<TraceDrop, Markup>();
  for (const slip of small ? [] : bySize) {
    const text = `−${force(place, slip.fromN - slip.toN)}`;
    const wide = textWidth(text, textSize);
    const from = x(slip.x) - wide / 2;
    const crowded = (foot: number) =>
      words.some(
        (one) => from < one.to + 5 && from + wide > one.from - 5 && Math.abs(foot - one.foot) < textSize + 2,
      );
    const foot = [0, 1, 2]
      .map((down) => Math.min(y(slip.toN) + textSize + 5 + down * (textSize + 3), plot.bottom - 3))
      .find((one) => !crowded(one));
    if (foot === undefined || from + wide > plot.right + 8) continue;
    words.push({ from, to: from + wide, foot });
    drawn.set(slip, label(x(slip.x), foot, text, { size: textSize, anchor: "middle", rim: true }));
  }
  return inView.map((slip) => {
    const [cx, top, bottom] = [x(slip.x), y(slip.fromN), y(slip.toN)];
    const text = `slip of ${force(place, slip.fromN - slip.toN)}, from ${force(place, slip.fromN)}, at ${where(slip.x, place)}`;
    return markup`<g class="slip"><title>${text}</title><path d="M${at(cx - 4)} ${at(top)}H${at(cx + 4)}M${at(cx)} ${at(top)}V${at(bottom)}M${at(cx - 4)} ${at(bottom)}H${at(cx + 4)}" fill="none" stroke="var(--accent, #a8480c)" stroke-width="1.8"/>${drawn.get(slip) ?? ""}</g>`;
  });
}

function firstSlipMark(point: TracePoint, place: TracePlace): Markup {
  const { x, y, plot, textSize = 11 } = place;
  const [cx, cy] = [x(point.x), y(point.forceN)];
  if (cx < plot.left || cx > plot.right) return markup``;
  const r = 4.5;
  const words = "first slip";
  const room = cx - plot.left > textWidth(words, textSize) + 12;
  return markup`<g class="first-slip"><title>first slip at ${force(place, point.forceN)}, ${where(point.x, place)}</title><path d="M${at(cx)} ${at(cy - r)}L${at(cx + r)} ${at(cy)}L${at(cx)} ${at(cy + r)}L${at(cx - r)} ${at(cy)}Z" fill="var(--leaf, var(--paper, #fff))" stroke="var(--accent, #a8480c)" stroke-width="1.6"/>${label(cx + (room ? -8 : 8), cy - 4, words, { size: textSize, anchor: room ? "end" : "start", rim: true })}</g>`;
}

function leftOutMark(point: TracePoint, place: TracePlace): Markup {
  const { x, y, plot, small, textSize = 11 } = place;
  const [cx, cy] = [x(point.x), Math.max(y(point.forceN), plot.top + 7)];
  if (cx < plot.left || cx > plot.right) return markup``;
  const r = 3;
  const word = small ? "" : label(cx + 9, cy + 4, "left out", { size: textSize });
  return markup`<g class="left-out"><title>left out as a spike, ${where(point.x, place)}</title><circle cx="${at(cx)}" cy="${at(cy)}" r="6" fill="none" stroke="currentColor" stroke-dasharray="2 2"/><path d="M${at(cx - r)} ${at(cy - r)}L${at(cx + r)} ${at(cy + r)}M${at(cx - r)} ${at(cy + r)}L${at(cx + r)} ${at(cy - r)}" stroke="currentColor" stroke-width="1.4"/>${word}</g>`;
}

function peakMark(peak: TracePeak, place: TracePlace): Markup {
  const { x, y, plot, small, textSize = 11 } = place;
  const [cx, cy] = [x(peak.x), y(peak.forceN)];
  if (cx < plot.left - 1 || cx > plot.right + 1) return markup``;
  const words = peak.words ?? `peak ${force(place, peak.forceN)}`;
  const size = textSize + (small ? 0 : 2);
  const room = cx - plot.left > textWidth(words, size) + 14;
  const high = Math.min(cy, y(peak.highN ?? peak.forceN));
  const word = small
    ? ""
    : label(
        clamped(cx, plot) + (room ? -11 : 11),
        Math.max(Math.min(cy + 2, high + 10), plot.top + size),
        words,
        {
          anchor: room ? "end" : "start",
          weight: 700,
          size,
        },
      );
  return markup`<g class="peak"><title>${words} at ${where(peak.x, place)}</title>${whisker(peak, place)}<circle cx="${at(cx)}" cy="${at(cy)}" r="${small ? 3.4 : 5}" fill="none" stroke="var(--accent, #a8480c)" stroke-width="2"/>${word}</g>`;
}

/** From the least to the greatest force that the peak may be; an arrow upward where there is no greatest. */
function whisker(
  { x: when, lowN, highN, openAbove = false }: TracePeak,
  { x, y, plot, small }: TracePlace,
): Markup {
  if (lowN === undefined) return markup``;
  const cx = x(when);
  const reach = small ? 4 : 8;
  const foot = y(lowN);
  const top = openAbove ? Math.max(plot.top + 2, foot - (small ? 14 : 26)) : y(highN ?? lowN);
  const head = openAbove
    ? `M${at(cx - reach * 0.6)} ${at(top + reach * 0.8)}L${at(cx)} ${at(top)}L${at(cx + reach * 0.6)} ${at(top + reach * 0.8)}`
    : `M${at(cx - reach)} ${at(top)}H${at(cx + reach)}`;
  return markup`<path class="whisker" d="M${at(cx - reach)} ${at(foot)}H${at(cx + reach)}M${at(cx)} ${at(foot)}V${at(top)}${head}" fill="none" stroke="currentColor" stroke-width="${small ? 1.2 : 1.6}"/>`;
}

function clamped(value: number, { left, right }: TracePlace["plot"]): number {
  return Math.min(Math.max(value, left), right);
}

function force({ force: told }: TracePlace, forceN: number): string {
  return told === undefined ? `${(forceN / 1000).toFixed(2)} kN` : told(forceN);
}

function where(x: number, { xIsTime }: TracePlace): string {
  return xIsTime ? `${at(x)} s` : `row ${at(x)}`;
}
