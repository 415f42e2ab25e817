import type { CutBatch, Mark } from "../../splice/mod.ts";
import { at, label } from "../figures/figure-parts.ts";
import { drawRope } from "../figures/rope-drawing.ts";
import { Markup, markup } from "../markup.ts";
import { shortName } from "./rule-strip.ts";

const width = 700;
const half = 330;
const thick = 12;
/** Height of a label's row below the rope and, of the taper's steps, above it. */
const row = 15;
const stepRow = 12;

/**
 * The whole piece as one rope, its two ends at the left and right with their marks, not to scale along the clear middle,
 * which is drawn broken.
 */
export function schematic({ marked, rope }: CutBatch): Markup {
  const [near, far] = marked.ends;
  const reach = Math.max(1, ...[...near.marks, ...far.marks].map(({ fromEndMm }) => fromEndMm)) * 1.04;
  const left = near.marks.map((mark) => ({ mark, x: (mark.fromEndMm / reach) * half }));
  const right = far.marks.map((mark) => ({ mark, x: width - (mark.fromEndMm / reach) * half }));
  const piece = new Markup(drawRope({ length: half, width: thick, orientation: "lying" }));
  const most = (steps: boolean) =>
    Math.max(...[left, right].map((marks) => marks.filter((one) => isStep(one) === steps).length));
  const ropeTop = 64 + most(true) * stepRow;
  const height = ropeTop + thick + 24 + most(false) * row;
  return markup`<svg class="schematic" viewBox="0 0 ${width} ${height}" role="img" aria-label="The rope with its marks, not to scale" font-family="var(--figures, sans-serif)">
${label(0, 12, `${near.says}: from this end`, { size: 11, weight: 700 })}${label(width, 12, `${far.says}: from this end`, { size: 11, weight: 700, anchor: "end" })}
<g transform="translate(0 ${ropeTop})">${piece}</g><g transform="translate(${width - half} ${ropeTop})">${piece}</g>
<path d="M${half + 5} ${ropeTop - 5}l6 11l-6 11M${width - half - 5} ${ropeTop - 5}l-6 11l6 11" fill="none" stroke="currentColor"/>
${label(width / 2, ropeTop + 9, "⋯", { anchor: "middle", size: 16 })}
${profile(near.taper, reach, ropeTop, false)}${profile(far.taper, reach, ropeTop, true)}
${taperSteps(left, "start", ropeTop)}${taperSteps(right, "end", ropeTop)}
${column(left, "start", ropeTop)}${column(right, "end", ropeTop)}
${label(width / 2, ropeTop - 14, `${marked.cut.pieceMm.toFixed(0)} mm ${marked.cut.pieces === 2 ? "each of two pieces" : "in all"}, ${rope.nominalDiameterMm} mm rope`, { anchor: "middle", size: 12 })}
</svg>`;
}

type Placed = { readonly mark: Mark; readonly x: number };

const isStep = ({ mark }: Placed) => mark.kind === "taper step";

/** The tail's cross-section that is left, above the rope. */
function profile(
  taper: CutBatch["marked"]["ends"][0]["taper"],
  reach: number,
  ropeTop: number,
  mirrored: boolean,
): Markup {
  return markup`${(taper?.stretches ?? []).map(({ fromTipMm, toTipMm, share }) => {
    const x = (fromTipMm / reach) * half;
    const wide = ((toTipMm - fromTipMm) / reach) * half;
    return markup`<rect x="${at(mirrored ? width - x - wide : x)}" y="${at(ropeTop - 6 - 22 * share)}" width="${at(wide)}" height="${at(22 * share)}" fill="currentColor" fill-opacity="0.3"/>`;
  })}`;
}

/** Which pair of strands is cut out at each step of the taper, above the rope; the farthest from the end stands lowest. */
function taperSteps(marks: readonly Placed[], anchor: "start" | "end", ropeTop: number): Markup {
  const steps = marks.filter(isStep);
  return markup`${steps.map(({ mark, x }, index) => {
    const y = ropeTop - 36 - (steps.length - 1 - index) * stepRow;
    return markup`<path d="M${at(x)} ${ropeTop}V${y - 8}" fill="none" stroke="currentColor" stroke-opacity="0.7"/>${beside(x, y, `${shortName(mark)} mm`, anchor, 10)}`;
  })}`;
}

function column(marks: readonly Placed[], anchor: "start" | "end", ropeTop: number): Markup {
  // The farthest from the end stands highest, so that no leader crosses a label.
  const named = marks.filter((one) => !isStep(one)).reverse();
  return markup`${named.map(({ mark, x }, index) => {
    const y = ropeTop + thick + 22 + index * row;
    return markup`<path d="M${at(x)} ${ropeTop - 3}V${y}" fill="none" stroke="var(--accent, #9c4206)"/>${beside(x, y, `${shortName(mark)} mm`, anchor)}`;
  })}`;
}

/** A label beside its leader, towards the middle of the drawing unless it would reach over it. */
function beside(x: number, y: number, text: string, anchor: "start" | "end", size = 11): Markup {
  const outward = Math.abs(x - width / 2) < 110;
  const side = outward ? (anchor === "start" ? "end" : "start") : anchor;
  return label(side === "start" ? x + 4 : x - 4, y, text, { size, anchor: side, rim: true });
}
