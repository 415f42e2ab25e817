import { pyramidOf } from "../samples/pyramid.ts";
import type { Signal } from "../samples/signal.ts";
import { firstOutside } from "../samples/walk.ts";

/** Fewer pauses than this are no rhythm. */
const fewestStrokes = 3;

/**
 * Rule R-STROKE: the strokes of a hand pump on the way to the peak. A stroke is a rise by at least 0.5 % of the net peak,
 * clear of the noise, that ends in a pause: for a fifth of the time since the stroke began, and 0.12 s at least, the
 * force does not rise. Fewer than three of them are a drive that stood still for a moment, and count as none.
 */
export function countStrokes(signal: Signal, from: number, to: number, netN: number): number {
  const { force, place, intervalS } = signal;
  if (intervalS === undefined) return 0;
  const { noiseN, stepN } = signal.sampling;
  const clear = Math.max(5 * noiseN, 1.6 * stepN, 0.005 * netN);
  let strokes = 0;
  const foot = { forceN: force[from] as number, atS: place(from) };
  const top = { ...foot };
  const pyramid = pyramidOf(force);
  // Most samples are neither on the way up nor a fall.
  const nextMove = (at: number) =>
    firstOutside(force, pyramid, top.forceN - 3 * clear, top.forceN + clear / 5, at, to + 1);
  for (let at = nextMove(from + 1); at <= to; at = nextMove(at + 1)) {
    const forceN = force[at] as number;
    const rose = forceN > top.forceN;
    const atS = place(at);
    const paused = atS - top.atS;
    const isStroke =
      rose &&
      top.forceN - foot.forceN >= clear &&
      paused >= Math.max(0.12, 2.5 * intervalS, 0.2 * (top.atS - foot.atS));
    if (isStroke) {
      strokes++;
      foot.forceN = top.forceN;
      foot.atS = atS;
    } else if (!rose) {
      // A slip or a jack that was reset: the next stroke begins lower.
      foot.forceN = forceN;
      foot.atS = atS;
    }
    top.forceN = forceN;
    top.atS = atS;
  }
  return strokes >= fewestStrokes ? strokes + 1 : 0;
}
