import { type Markup, markup } from "../markup.ts";

/** A place on the line where a strand is tucked; filled once that stage is gone through. */
export type Tuck = {
  /** Distance from the start of the rope, in the drawing's units. */
  readonly at: number;
  readonly filled: boolean;
};

export type RopeDrawing = {
  readonly length: number;
  /** Thickness of the rope. */
  readonly width: number;
  readonly orientation: "upright" | "lying";
  readonly tucks?: readonly Tuck[];
};

/**
 * Draws a 12-strand braid along a straight line: six left-hand and six right-hand strands, each over two and under two,
 * so that the strands lie in herringbone. Answers `<g>` with paths, to be put into an SVG of the caller's.
 *
 * The rope lies from (0, 0): upright down to (width, length), lying along to (length, width). Colours: the strands are
 * `var(--rope, currentColor)` in two strengths, the tucks `var(--accent)`; nothing else is set. Purely an ornament:
 * whoever uses it marks it hidden to screen readers or names it.
 * Geometry: a cylinder seen from the side. A float spans two of the twelve crossings round the rope (60° of it); a
 * braid's floats of one hand follow each other at a third of its lay.
 *
 * @example
 * drawRope({ length: 400, width: 20, orientation: "upright" }) // "<g …><path …/>…</g>"
 */
export function drawRope({ length, width, orientation, tucks = [] }: RopeDrawing): string {
  if (!(length > 0) || !(width > 0)) return "";
  const place: Place =
    orientation === "upright"
      ? (x, y) => `${round(x)} ${round(y)}`
      : (x, y) => `${round(y)} ${round(width - x)}`;
  const braid = braidPaths(length, width, place);
  const tucked = tucks.map((tuck) => drawTuck(tuck, width, place));
  return markup`<g class="rope">${braid}${tucked}</g>`.text;
}

/** A rope that is led along a way instead of a straight line. */
export type LedRope = {
  /** Points that the rope's middle runs through, joined by a smooth curve. */
  readonly through: readonly (readonly [x: number, y: number])[];
  readonly width: number;
  /** Thickness as a share of `width`, from 0 at the rope's start to 1 at its end. */
  readonly thickness?: (share: number) => number;
};

/**
 * The same braid along a curve, for a rope that bends, passes over another, thins out, or is filled by a tail. A rim of
 * paper lies under it, so that what is drawn later lies on top.
 *
 * @example
 * leadRope({ through: [[0, 20], [60, 10], [120, 20]], width: 10 }) // "<g …><path …/>…</g>"
 */
export function leadRope({ through, width, thickness = () => 1 }: LedRope): string {
  const way = smooth(through);
  if (way.length === 0 || !(width > 0)) return "";
  const place: Place = (x, y) => {
    const { at, normal } = way.at(y);
    const off = (x - width / 2) * thickness(y / way.length);
    return `${round(at[0] + normal[0] * off)} ${round(at[1] + normal[1] * off)}`;
  };
  const sides = Array.from({ length: 25 }, (_, step) => (step / 24) * way.length);
  const edge = (x: number) => sides.map((y) => place(x, y));
  const rim = `M${edge(0).join("L")}L${edge(width).reverse().join("L")}Z`;
  return markup`<g class="rope"><path d="${rim}" fill="var(--paper, #fff)" stroke="var(--paper, #fff)" stroke-width="${round(width / 4)}" stroke-linejoin="round"/>${braidPaths(way.length, width, place)}</g>`
    .text;
}

function braidPaths(length: number, width: number, place: Place): Markup {
  const radius = width / 2;
  const rise = radius * 1.34;
  const left: string[] = [];
  const right: string[] = [];
  const yarns: string[] = [];
  for (const column of columns) {
    const paths = column.hand === "left" ? left : right;
    for (let y = -2 * rise; y < length + rise; y += rise) {
      const float = floatOutline(column, y, rise, radius, length);
      if (float.length < 3) continue;
      paths.push(rounded(float, place));
      yarns.push(yarn(column, y, rise, radius, length, place));
    }
  }
  return markup`<path d="${left.join("")}" fill="var(--rope, currentColor)" fill-opacity="0.62"/><path d="${right.join("")}" fill="var(--rope, currentColor)" fill-opacity="0.42"/><path d="${yarns.join("")}" fill="none" stroke="var(--paper, #fff)" stroke-opacity="0.5" stroke-width="${round(width / 44)}" stroke-linecap="round"/>`;
}

/** A curve through points (Catmull and Rom's, uniform), measured along. */
function smooth(points: readonly Point[]) {
  const fine: Point[] = [];
  for (let i = 0; i + 1 < points.length; i++) {
    const [a, b, c, d] = [-1, 0, 1, 2].map(
      (step) => points[Math.min(Math.max(i + step, 0), points.length - 1)],
    ) as [Point, Point, Point, Point];
    for (let step = 0; step < 16; step++) {
      const t = step / 16;
      const on = (axis: 0 | 1) =>
        b[axis] +
        0.5 *
          t *
          (c[axis] -
            a[axis] +
            t *
              (2 * a[axis] -
                5 * b[axis] +
                4 * c[axis] -
                d[axis] +
                t * (3 * (b[axis] - c[axis]) + d[axis] - a[axis])));
      fine.push([on(0), on(1)]);
    }
  }
  const last = points.at(-1);
  if (last !== undefined && points.length > 1) fine.push(last);
  const along = [0];
  for (let i = 1; i < fine.length; i++) {
    const [from, to] = [fine[i - 1], fine[i]] as [Point, Point];
    along.push((along[i - 1] as number) + Math.hypot(to[0] - from[0], to[1] - from[1]));
  }
  return {
    length: along.at(-1) as number,
    at(distance: number): { readonly at: Point; readonly normal: Point } {
      const next = along.findIndex((one) => one > distance);
      const i = Math.max(1, next < 0 ? fine.length - 1 : next);
      const [from, to] = [fine[i - 1], fine[i]] as [Point, Point];
      const [start, end] = [along[i - 1], along[i]] as [number, number];
      const tall = Math.max(end - start, 1e-9);
      const [dx, dy] = [(to[0] - from[0]) / tall, (to[1] - from[1]) / tall];
      return { at: towards(from, to, (distance - start) / tall), normal: [dy, -dx] };
    },
  };
}

type Place = (x: number, y: number) => string;
type Point = readonly [number, number];
/** A column of floats of one hand, by its angles round the rope; 0° faces the reader. */
type Column = { readonly from: number; readonly to: number; readonly hand: "left" | "right" };

const columns: readonly Column[] = [
  { from: -90, to: -60, hand: "right" },
  { from: -60, to: 0, hand: "left" },
  { from: 0, to: 60, hand: "right" },
  { from: 60, to: 90, hand: "left" },
];

/** A float's outline as seen from the side, cut off where the rope ends. */
function floatOutline(column: Column, y: number, rise: number, radius: number, length: number): Point[] {
  const gap = 0.06 * rise;
  const low: Point[] = [];
  const high: Point[] = [];
  const steps = 4;
  for (let step = 0; step <= steps; step++) {
    const angle = column.from + ((column.to - column.from) * step) / steps;
    const inset = step === 0 ? 0.02 : step === steps ? -0.02 : 0;
    const x = radius + radius * Math.sin(((angle + inset * 60) * Math.PI) / 180);
    const along = lean(column, angle) * rise;
    low.push([x, clamp(y + along + gap, length)]);
    high.push([x, clamp(y + along + rise - gap, length)]);
  }
  const outline = [...low, ...high.reverse()];
  const tall = Math.max(...outline.map(([, at]) => at)) - Math.min(...outline.map(([, at]) => at));
  return tall < rise * 0.05 ? [] : outline;
}

/** How far along its rise a float is at an angle: each runs 60° and rises by one spacing meanwhile. */
function lean({ from, to, hand }: Column, angle: number): number {
  // The columns at the edges are halves: one shows its first 30°, the other its last.
  const start = to === -60 ? -120 : from;
  const share = (angle - start) / 60;
  return hand === "left" ? share : 1 - share;
}

function yarn(column: Column, y: number, rise: number, radius: number, length: number, place: Place): string {
  const width = column.to - column.from;
  const points = [0.2, 0.5, 0.8].map((share): Point => {
    const angle = column.from + width * share;
    return [
      radius + radius * Math.sin((angle * Math.PI) / 180),
      clamp(y + lean(column, angle) * rise + rise * 0.5, length),
    ];
  });
  const [a, b, c] = points as [Point, Point, Point];
  return `M${place(...a)}Q${place(2 * b[0] - (a[0] + c[0]) / 2, 2 * b[1] - (a[1] + c[1]) / 2)} ${place(...c)}`;
}

/** A closed path through the outline with its four corners rounded off. */
function rounded(outline: readonly Point[], place: Place): string {
  const half = outline.length / 2;
  const corners = new Set([0, half - 1, half, outline.length - 1]);
  const pieces = outline.map((point, index) => {
    if (!corners.has(index)) return `L${place(...point)}`;
    const before = outline.at(index - 1) as Point;
    const after = outline[(index + 1) % outline.length] as Point;
    const into = towards(point, before, 0.3);
    const out = towards(point, after, 0.3);
    return `L${place(...into)}Q${place(...point)} ${place(...out)}`;
  });
  return `M${pieces.join("").slice(1)}Z`;
}

/** A strand drawn out of the braid and tucked back under it, its short end showing. */
function drawTuck({ at, filled }: Tuck, width: number, place: Place): Markup {
  const w = width;
  const d = [
    `M${place(-0.34 * w, at - 0.62 * w)}`,
    `C${place(-0.1 * w, at - 0.7 * w)} ${place(0.3 * w, at - 0.42 * w)} ${place(1.02 * w, at + 0.3 * w)}`,
    `C${place(1.16 * w, at + 0.46 * w)} ${place(1.04 * w, at + 0.64 * w)} ${place(0.86 * w, at + 0.56 * w)}`,
    `C${place(0.44 * w, at + 0.36 * w)} ${place(0.06 * w, at - 0.06 * w)} ${place(-0.3 * w, at - 0.26 * w)}`,
    `C${place(-0.46 * w, at - 0.36 * w)} ${place(-0.48 * w, at - 0.58 * w)} ${place(-0.34 * w, at - 0.62 * w)}Z`,
  ].join("");
  const fill = filled ? "var(--accent, #a8480c)" : "var(--paper, #fff)";
  return markup`<path class="tuck${filled ? " filled" : ""}" d="${d}" fill="${fill}" stroke="${filled ? "var(--paper, #fff)" : "var(--rope, currentColor)"}" stroke-width="${round(w / 14)}"/>`;
}

function towards([x, y]: Point, [toX, toY]: Point, share: number): Point {
  return [x + (toX - x) * share, y + (toY - y) * share];
}

function clamp(value: number, length: number): number {
  return Math.min(Math.max(value, 0), length);
}

function round(value: number): number {
  return Math.round(value * 100) / 100 + 0; // + 0 turns −0 into 0
}
