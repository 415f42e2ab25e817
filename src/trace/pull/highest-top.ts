import { normalCdf } from "../../stats/mod.ts";
import type { Signal } from "../samples/signal.ts";
import { coarseS, type TopEstimate } from "../samples/top.ts";
import { estimateTop } from "./peak-shape.ts";

/** A top this part of the net peak below the highest sample may still have been the highest between two samples. */
const nearlyHighest = 0.08;

/**
 * Rule R-TOP, last part. The highest top of a pull: that of its highest sample, or one from which the force fell
 * suddenly where no sample may have stood near it. Tops that noise and sampling do not tell apart are taken together: the
 * higher of two normal variables (Clark, The greatest of a finite set of random variables, Operations Research 9, 1961,
 * equations 2 and 3; from memory).
 */
export function highestTop(
  signal: Signal,
  peak: number,
  tops: readonly number[],
  { from, to, netN }: { from: number; to: number; netN: number },
): TopEstimate {
  const { force } = signal;
  let best = estimateTop(signal, peak, from, to, netN);
  let counted = peak;
  for (const found of tops) {
    const top = lastBeforeFall(signal, found, netN);
    if (top <= counted || (force[top] as number) < (force[peak] as number) - nearlyHighest * netN) continue;
    const other = estimateTop(signal, top, from, to, netN);
    // One that fell from the plateau of the highest sample is that top.
    if (other.basis !== "rise to a sudden fall" || isOnePlateau(signal, peak, top)) continue;
    best = higherOf(best, other);
    counted = top;
  }
  return best;
}

/** With samples far apart the last one before the fall, though it lie lower than others: a stroke may have begun with it. */
function lastBeforeFall({ force, intervalS }: Signal, found: number, netN: number): number {
  if (intervalS === undefined || intervalS < coarseS) return found;
  const lowest = (force[found] as number) - nearlyHighest * netN;
  let top = found;
  while (top + 1 < force.length && (force[top + 1] as number) >= lowest) top++;
  return top;
}

/** Whether the force stayed within its noise between two samples. */
function isOnePlateau({ force, sampling }: Signal, peak: number, top: number): boolean {
  const near = Math.max(6.5 * sampling.noiseN, 1.3 * sampling.stepN);
  for (let at = Math.min(peak, top); at <= Math.max(peak, top); at++)
    if ((force[at] as number) < (force[peak] as number) - near) return false;
  return true;
}

function higherOf(a: TopEstimate, b: TopEstimate): TopEstimate {
  const spreadA = Math.hypot(a.noiseN, a.betweenN);
  const spreadB = Math.hypot(b.noiseN, b.betweenN);
  const apart = Math.hypot(spreadA, spreadB);
  const leading = a.valueN >= b.valueN ? a : b;
  if (!(apart > 0) || Math.abs(a.valueN - b.valueN) > 5 * apart) return leading;
  const by = (a.valueN - b.valueN) / apart;
  const chanceA = normalCdf(by);
  const density = Math.exp((-by * by) / 2) / Math.sqrt(2 * Math.PI);
  // Counted from the higher one: squares of whole forces would leave nothing of their small spread.
  const [awayA, awayB] = [a.valueN - leading.valueN, b.valueN - leading.valueN];
  const mean = awayA * chanceA + awayB * (1 - chanceA) + apart * density;
  const square =
    (awayA ** 2 + spreadA ** 2) * chanceA +
    (awayB ** 2 + spreadB ** 2) * (1 - chanceA) +
    (awayA + awayB) * apart * density;
  const noiseN = chanceA * a.noiseN + (1 - chanceA) * b.noiseN;
  return {
    valueN: leading.valueN + mean,
    noiseN,
    betweenN: Math.sqrt(Math.max(0, square - mean ** 2 - noiseN ** 2)),
    basis: leading.basis,
  };
}
