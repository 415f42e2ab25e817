import type { RigPart } from "../../rig/mod.ts";
import { at, label } from "../figures/figure-parts.ts";
import { type Markup, markup } from "../markup.ts";
import { type PathPlace, type PathPoint, placeOnPath, ropeAlong, ropeAt } from "./rig-path.ts";

/** Thickness of the rope in the drawing of a rig. */
export const ropeWide = 9;

/** A part of a rig as it is drawn: its number in the key, and whether it is the likeliest to give way first. */
export type DrawnPart = {
  readonly number: number;
  readonly kind: RigPart["kind"];
  readonly first: boolean;
};

/**
 * A line of the rig with its parts in order along it, from the path's start to its end; an anchor at either end of
 * the order stands at that end of the path. Numbers stand on the side where `up` is 1 above a line that runs to the right.
 */
export function lineOfParts(
  path: readonly PathPoint[],
  parts: readonly DrawnPart[],
  options: { readonly numbered?: boolean; readonly up?: 1 | -1 } = {},
): Markup {
  const { numbered = true, up = 1 } = options;
  const places = sharesOf(parts);
  const signs = parts.map((part, index) => {
    const share = places[index] as number;
    const place = placeOnPath(path, share);
    const end = share === 0 ? -1 : share === 1 ? 1 : 0;
    return markup`${signOf(part.kind, place, end)}${numbered ? numberAt(place, part, up) : ""}`;
  });
  return markup`${ropeAlong(path, ropeWide)}${signs}`;
}

/** A weight that hangs or is pulled: a block with its force beneath. */
export function block(x: number, y: number, words: string, dashed = false): Markup {
  const dash = dashed ? markup` stroke-dasharray="4 4"` : "";
  return markup`<g><rect x="${at(x - 22)}" y="${at(y)}" width="44" height="30" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.2"${dash}/>${dashed ? "" : markup`<path d="M${at(x - 14)} ${at(y + 22)}L${at(x - 2)} ${at(y + 8)}M${at(x - 4)} ${at(y + 22)}L${at(x + 8)} ${at(y + 8)}M${at(x + 6)} ${at(y + 22)}L${at(x + 16)} ${at(y + 11)}" stroke="currentColor" stroke-opacity="0.5"/>`}${label(x, y + 46, words, { anchor: "middle", weight: 700, rim: true })}</g>`;
}

/** An arrow of force with its words. */
export function arrow(from: PathPoint, to: PathPoint, words = "", above = -10): Markup {
  const turn = Math.atan2(to.y - from.y, to.x - from.x);
  const wing = (by: number) =>
    `${at(to.x - 11 * Math.cos(turn + by))} ${at(to.y - 11 * Math.sin(turn + by))}`;
  return markup`<path d="M${at(from.x)} ${at(from.y)}L${at(to.x)} ${at(to.y)}M${wing(0.42)}L${at(to.x)} ${at(to.y)}L${wing(-0.42)}" fill="none" stroke="currentColor" stroke-width="2.2" stroke-linejoin="round" stroke-linecap="round"/>${words === "" ? "" : label((from.x + to.x) / 2, (from.y + to.y) / 2 + above, words, { anchor: "middle", weight: 700, rim: true })}`;
}

/** A length between two places, told beside a fine line with a stroke at either end. */
export function measure(from: PathPoint, to: PathPoint, words: string): Markup {
  const upright = Math.abs(to.x - from.x) < Math.abs(to.y - from.y);
  const [dx, dy] = upright ? [5, 0] : [0, 5];
  const d = `M${at(from.x)} ${at(from.y)}L${at(to.x)} ${at(to.y)}M${at(from.x - dx)} ${at(from.y - dy)}l${2 * dx} ${2 * dy}M${at(to.x - dx)} ${at(to.y - dy)}l${2 * dx} ${2 * dy}`;
  const [x, y] = [(from.x + to.x) / 2, (from.y + to.y) / 2];
  return markup`<path d="${d}" fill="none" stroke="currentColor" stroke-opacity="0.6"/>${label(upright ? x + 8 : x, upright ? y + 4 : y + 4, words, { anchor: upright ? "start" : "middle", rim: true })}`;
}

/** What a rig is fastened to: a plate with hatching behind it, seen along the pull. */
export function plate({ x, y, turnDeg }: PathPlace, end: -1 | 1): Markup {
  const hatches = [-15, -7, 1, 9].map((h) => `M0 ${h + 6}L${7 * end} ${h}`).join("");
  return markup`<g transform="translate(${at(x)} ${at(y)}) rotate(${at(turnDeg)})"><path d="M0 -17L0 17" stroke="currentColor" stroke-width="4" stroke-linecap="round"/><path d="${hatches}" stroke="currentColor" stroke-opacity="0.7" stroke-width="1.3"/></g>`;
}

/** Where along their path the parts sit. */
function sharesOf(parts: readonly DrawnPart[]): number[] {
  const first = parts[0]?.kind === "anchor";
  const last = parts.length > 1 && parts.at(-1)?.kind === "anchor";
  const between = parts.length - (first ? 1 : 0) - (last ? 1 : 0);
  return parts.map((_, index) => {
    if (first && index === 0) return 0;
    if (last && index === parts.length - 1) return 1;
    return (index - (first ? 1 : 0) + 0.5) / between;
  });
}

function signOf(kind: RigPart["kind"], place: PathPlace, end: -1 | 0 | 1): Markup {
  const { x, y, turnDeg } = place;
  const inPlace = (drawing: Markup) =>
    markup`<g transform="translate(${at(x)} ${at(y)}) rotate(${at(turnDeg)})">${drawing}</g>`;
  const ring = (cx: number, r: number) =>
    markup`<circle cx="${cx}" cy="0" r="${r}" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2.2"/>`;
  switch (kind) {
    case "connector": {
      // Its buried parts make it thicker; a pin at either end holds it.
      const half = 24;
      const turn = (turnDeg * Math.PI) / 180;
      const start = { x: x - half * Math.cos(turn), y: y - half * Math.sin(turn), turnDeg };
      return markup`<g aria-hidden="true">${ropeAt(start, 2 * half, ropeWide * 1.6)}${inPlace(markup`${ring(-half, 5)}${ring(half, 5)}`)}</g>`;
    }
    case "hardware":
      return inPlace(
        markup`${ring(0, 10)}<path d="M-4 -4L4 4M-4 4L4 -4" stroke="currentColor" stroke-width="1.6"/>`,
      );
    case "webbing":
      return inPlace(
        markup`<rect x="-23" y="-7" width="46" height="14" fill="var(--paper, #fff)" stroke="currentColor" stroke-width="2"/><path d="M-19 -2.5L19 -2.5M-19 2.5L19 2.5" stroke="currentColor" stroke-dasharray="4 3"/>`,
      );
    case "rope":
      return inPlace(
        markup`<path d="M-18 -7L-18 7M-14 -7L-14 7M14 -7L14 7M18 -7L18 7" stroke="currentColor" stroke-width="1.8"/>`,
      );
    case "anchor":
      return end === 0 ? inPlace(ring(0, 12)) : plate(place, end);
  }
}

/** A part's number in a disc beside it; the likeliest to give way first has a ring round it in the colour of care. */
function numberAt({ x, y, turnDeg }: PathPlace, { number, first }: DrawnPart, up: 1 | -1): Markup {
  const turn = ((turnDeg - 90 * up) * Math.PI) / 180;
  const [nx, ny] = [x + 29 * Math.cos(turn), y + 29 * Math.sin(turn)];
  const colour = first ? "var(--accent, #a8480c)" : "currentColor";
  const mark = first
    ? markup`<circle cx="${at(x)}" cy="${at(y)}" r="18" fill="none" stroke="${colour}" stroke-width="3"/>`
    : "";
  return markup`${mark}<g><circle cx="${at(nx)}" cy="${at(ny)}" r="10" fill="var(--paper, #fff)" stroke="${colour}" stroke-width="${first ? 2.4 : 1.2}"/>${label(nx, ny + 4, String(number), { anchor: "middle", weight: 700, colour })}</g>`;
}
