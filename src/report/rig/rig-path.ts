import { at } from "../figures/figure-parts.ts";
import { drawRope } from "../figures/rope-drawing.ts";
import { Markup, markup } from "../markup.ts";

export type PathPoint = { readonly x: number; readonly y: number };

/** A place on a path, with the direction in which the path goes on there, in degrees. */
export type PathPlace = PathPoint & { readonly turnDeg: number };

/** Length of a path of straight pieces. */
export function pathLength(path: readonly PathPoint[]): number {
  return pieces(path).reduce((sum, { length }) => sum + length, 0);
}

/** The place a share of its length along a path, from 0 to 1. */
export function placeOnPath(path: readonly PathPoint[], share: number): PathPlace {
  let rest = share * pathLength(path);
  const all = pieces(path);
  for (const [index, { from, to, length }] of all.entries()) {
    if (rest > length && index < all.length - 1) {
      rest -= length;
      continue;
    }
    const part = length === 0 ? 0 : Math.min(1, rest / length);
    return {
      x: from.x + (to.x - from.x) * part,
      y: from.y + (to.y - from.y) * part,
      turnDeg: (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI,
    };
  }
  return { x: path[0]?.x ?? 0, y: path[0]?.y ?? 0, turnDeg: 0 };
}

/** The house rope laid along a path. */
export function ropeAlong(path: readonly PathPoint[], width: number): Markup {
  const length = pathLength(path);
  // Whole floats of the braid in each straight piece, so that the strands run on from one to the next.
  const rise = (width / 2) * 1.34;
  const step = 6 * rise;
  const laid: Markup[] = [];
  for (let from = 0; from < length - 0.5; from += step) {
    const [start, end] = [
      placeOnPath(path, from / length),
      placeOnPath(path, Math.min(1, (from + step) / length)),
    ];
    const chord = Math.hypot(end.x - start.x, end.y - start.y);
    const turnDeg = (Math.atan2(end.y - start.y, end.x - start.x) * 180) / Math.PI;
    laid.push(ropeAt({ ...start, turnDeg }, chord, width));
  }
  return markup`<g aria-hidden="true">${laid}</g>`;
}

/** A straight piece of the house rope that begins at a place. */
export function ropeAt({ x, y, turnDeg }: PathPlace, length: number, width: number): Markup {
  return markup`<g transform="translate(${at(x)} ${at(y)}) rotate(${at(turnDeg)}) translate(0 ${at(-width / 2)})">${new Markup(drawRope({ length, width, orientation: "lying" }))}</g>`;
}

function pieces(path: readonly PathPoint[]) {
  return path.slice(1).map((to, index) => {
    const from = path[index] as PathPoint;
    return { from, to, length: Math.hypot(to.x - from.x, to.y - from.y) };
  });
}
