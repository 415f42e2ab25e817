import type { Mark, MarkedEnd } from "../../splice/mod.ts";
import { type Markup, markup } from "../markup.ts";

/** Millimetres of rope on one strip: as wide as A4 and Letter both print. */
export const stripMm = 170;
/** A strip runs this far from the rope's end; marks beyond it are measured from the table. */
export const mostStripMm = 2380;

const lane = 4.2;
const textSize = 2.7;

/**
 * The rule strips of one end, true to scale: one unit of the drawing is one millimetre of paper. Laid end to end they are
 * a rule with the marks on it.
 */
export function ruleStrips({ marks, taper }: MarkedEnd): readonly Markup[] {
  const last = Math.min(mostStripMm, Math.max(0, ...marks.map(({ fromEndMm }) => fromEndMm)) + 5);
  const count = Math.max(1, Math.ceil(last / stripMm));
  return Array.from({ length: count }, (_, index) => strip(index * stripMm, marks, taper));
}

function strip(from: number, marks: readonly Mark[], taper: MarkedEnd["taper"]): Markup {
  const to = from + stripMm;
  const here = marks.filter(({ fromEndMm }) => fromEndMm >= from - 1e-9 && fromEndMm < to - 1e-9);
  const placed = inLanes(here.map((mark) => ({ mark, x: mark.fromEndMm - from })));
  const lanes = Math.max(1, ...placed.map((one) => one.lane + 1));
  const height = 19 + lanes * lane;
  const ticks = Array.from({ length: stripMm + 1 }, (_, mm) => {
    const tall = (from + mm) % 10 === 0 ? 5 : (from + mm) % 5 === 0 ? 3.6 : 2.2;
    return `M${mm} 4v${tall}`;
  }).join("");
  const numbers = Array.from({ length: Math.floor(stripMm / 10) + 1 }, (_, cm) => cm * 10)
    .filter((mm) => mm < stripMm - 3)
    .map((mm) => markup`<text x="${mm + 0.5}" y="3.2" font-size="2.6">${from + mm}</text>`);
  return markup`<svg class="strip" width="${stripMm}mm" height="${round(height)}mm" viewBox="0 0 ${stripMm} ${round(height)}" role="img" aria-label="Rule from ${from} to ${to} mm">
<rect x="0" y="0" width="${stripMm}" height="${round(height)}" fill="none" stroke="currentColor" stroke-width="0.15" stroke-dasharray="2 1.4"/>
<path d="${ticks}" stroke="currentColor" stroke-width="0.18"/>${numbers}
${crossSection(from, to, taper)}
${placed.map(({ mark, x, lane: row }) => drawLine(mark, x, row))}
${placed.map(({ mark, x, lane: row, anchor }) => drawName(mark, x, row, anchor))}
</svg>`;
}

/** What stands of the tail's cross-section, as a band that grows thinner towards the tip. */
function crossSection(from: number, to: number, taper: MarkedEnd["taper"]): Markup {
  const stretches = (taper?.stretches ?? []).filter(
    ({ fromTipMm, toTipMm }) => toTipMm > from && fromTipMm < to,
  );
  return markup`${stretches.map(({ fromTipMm, toTipMm, share }) => {
    const x = Math.max(fromTipMm, from);
    const wide = Math.min(toTipMm, to) - x;
    return markup`<rect x="${round(x - from)}" y="${round(12.5 - 2.5 * share)}" width="${round(wide)}" height="${round(5 * share)}" fill="currentColor" fill-opacity="0.28"/>`;
  })}`;
}

const foot = (row: number) => 18 + row * lane;

function drawLine({ kind }: Mark, x: number, row: number): Markup {
  const strong = kind !== "taper step";
  return markup`<path d="M${round(x)} 4V${round(foot(row))}" stroke="${strong ? "var(--accent, #9c4206)" : "currentColor"}" stroke-width="${strong ? 0.5 : 0.3}"/>`;
}

/** Names are drawn over all lines, with a rim of paper, so that a line of another mark does not strike one out. */
function drawName(mark: Mark, x: number, row: number, anchor: "start" | "end"): Markup {
  const strong = mark.kind !== "taper step";
  return markup`<text x="${round(anchor === "start" ? x + 0.8 : x - 0.8)}" y="${round(foot(row))}" font-size="${textSize}" text-anchor="${anchor}"${strong ? markup` font-weight="700"` : ""} stroke="#fff" stroke-width="0.8" paint-order="stroke">${shortName(mark)}</text>`;
}

/** A mark in few letters: its kind or its pair of strands, and its distance. */
export function shortName({ kind, step, fromEndMm }: Mark): string {
  const name = step === undefined ? kind : `${step.left} ${step.right}`;
  return `${name} ${fromEndMm.toFixed(1)}`;
}

type Placed = {
  readonly mark: Mark;
  readonly x: number;
  readonly lane: number;
  readonly anchor: "start" | "end";
};

/** Sorts labels into rows so that none lies on another. */
function inLanes(marks: readonly { readonly mark: Mark; readonly x: number }[]): readonly Placed[] {
  const ends: number[] = [];
  return marks.map(({ mark, x }) => {
    const wide = shortName(mark).length * textSize * 0.56 + 2;
    const anchor = x + wide > stripMm ? "end" : "start";
    const left = anchor === "start" ? x : x - wide;
    let row = ends.findIndex((end) => end <= left);
    if (row < 0) row = ends.length;
    ends[row] = left + wide;
    return { mark, x, lane: row, anchor };
  });
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000 + 0;
}
