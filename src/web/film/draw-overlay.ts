import type { PullOnFilm } from "../../app/mod.ts";
import { forceOnFilm, momentOf } from "./on-film.ts";

export type Overlay = {
  readonly pull: PullOnFilm;
  readonly name: string;
  readonly unit: "kN" | "lbf";
  readonly simulated: boolean;
};

type Ground = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

// The inks of the house by night: over a film a plate must be dark enough to be read on anything.
const plate = "rgb(20 25 28 / 78%)";
const ink = "#ece8dc";
const soft = "#b2b9ba";
const twine = "#f5a35a";
const face = 'Charter, "Bitstream Charter", "Iowan Old Style", Cambria, "Liberation Serif", serif';

/** How high an overlay is over a film of this width. */
export function overlayHeight(width: number): number {
  return Math.round(width * 0.19);
}

/**
 * Draws the overlay of one moment: number, highest so far, phase and the curve so far, on a plate in the foot of an else
 * transparent picture.
 */
export function drawOverlay(ground: Ground, overlay: Overlay, atS: number): void {
  const { width, height } = ground.canvas;
  const { pull, unit, name, simulated } = overlay;
  const now = momentOf(pull, atS);
  const most = highestOf(pull);
  const em = height / 7;
  ground.clearRect(0, 0, width, height);
  const [left, top, right, bottom] = [em * 0.6, em * 0.4, width - em * 0.6, height - em * 0.5];
  ground.fillStyle = plate;
  ground.fillRect(left, top, right - left, bottom - top);
  const care = now.phase === "slipping" || now.phase === "gives way";
  ground.fillStyle = care ? twine : ink;
  ground.fillRect(left, top, em * 0.14, bottom - top);

  const write = (text: string, x: number, y: number, size: number, colour: string): void => {
    ground.font = `${Math.round(size)}px ${face}`;
    ground.fillStyle = colour;
    ground.fillText(text, x, y);
  };
  const words = left + em * 0.6;
  const wordsWidth = width * 0.3;
  write(
    now.forceN === undefined ? "–" : forceOnFilm(now.forceN, most, unit),
    words,
    top + em * 2.5,
    em * 2.3,
    care ? twine : ink,
  );
  const other = unit === "kN" ? "lbf" : "kN";
  if (now.forceN !== undefined)
    write(forceOnFilm(now.forceN, most, other), words, top + em * 3.7, em * 0.95, soft);
  const highest = now.highestN === undefined ? "" : `highest ${forceOnFilm(now.highestN, most, unit)}`;
  write(
    [now.phase, highest].filter(Boolean).join(", "),
    words,
    top + em * 4.85,
    em * 0.9,
    care ? twine : ink,
  );
  write(simulated ? `${name}, simulated` : name, words, bottom - em * 0.35, em * 0.7, soft);
  drawCurve(ground, overlay, now.passed, {
    left: left + wordsWidth + em,
    right: right - em * 0.8,
    top: top + em * 0.7,
    bottom: bottom - em * 0.7,
    line: Math.max(1, em * 0.11),
  });
}

/** The curve so far, over the axis of the whole pull, with its highest point ringed. */
function drawCurve(
  ground: Ground,
  { pull }: Overlay,
  passed: number,
  place: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
    readonly line: number;
  },
): void {
  const { timesS, forcesN } = pull;
  const [first = 0, last = 1] = [timesS[0], timesS.at(-1)];
  const most = highestOf(pull);
  const x = (timeS: number) =>
    place.left + ((timeS - first) / Math.max(last - first, 1e-9)) * (place.right - place.left);
  const y = (forceN: number) => place.bottom - (Math.max(forceN, 0) / most) * (place.bottom - place.top);
  ground.lineWidth = place.line / 2;
  ground.strokeStyle = soft;
  ground.beginPath();
  ground.moveTo(place.left, place.bottom);
  ground.lineTo(place.right, place.bottom);
  ground.stroke();
  ground.lineWidth = place.line;
  ground.strokeStyle = ink;
  ground.lineJoin = "round";
  ground.beginPath();
  let broken = true;
  let top: { readonly x: number; readonly y: number; readonly forceN: number } | undefined;
  for (let at = 0; at < passed; at++) {
    const forceN = forcesN[at] ?? undefined;
    if (forceN === undefined) {
      broken = true; // a gap in the recording stays a gap
      continue;
    }
    const [px, py] = [x(timesS[at] ?? 0), y(forceN)];
    if (broken) ground.moveTo(px, py);
    else ground.lineTo(px, py);
    broken = false;
    if (top === undefined || forceN > top.forceN) top = { x: px, y: py, forceN };
  }
  ground.stroke();
  if (top === undefined) return;
  ground.strokeStyle = twine;
  ground.beginPath();
  ground.arc(top.x, top.y, place.line * 2.2, 0, 2 * Math.PI);
  ground.stroke();
}

function highestOf({ forcesN }: PullOnFilm): number {
  return forcesN.reduce<number>((most, forceN) => Math.max(most, forceN ?? 0), 1);
}
