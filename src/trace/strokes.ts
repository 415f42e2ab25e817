import type { Signal } from "./signal.ts";
import { walk } from "./walk.ts";

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
  let footN = force[from] as number;
  let footS = place(from);
  let topN = footN;
  let topS = footS;
  // Most samples are neither on the way up nor a fall: their moments are not asked for.
  const isStill = (low: number, high: number) => high <= topN + clear / 5 && low >= topN - 3 * clear;
  walk(force, { from: from + 1, to: to + 1 }, isStill, (value, at) => {
    if (value > topN + clear / 5) {
      const atS = place(at);
      const paused = atS - topS;
      const isStroke =
        topN - footN >= clear && paused >= Math.max(0.12, 2.5 * intervalS, 0.2 * (topS - footS));
      if (isStroke) {
        strokes++;
        footN = topN;
        footS = atS;
      }
      topN = value;
      topS = atS;
    } else if (value < topN - 3 * clear) {
      // A slip or a jack that was reset: the next stroke begins lower.
      footN = value;
      footS = place(at);
      topN = value;
      topS = footS;
    }
  });
  return strokes >= fewestStrokes ? strokes + 1 : 0;
}
