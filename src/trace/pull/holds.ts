import { type Signal, sampleAt } from "../samples/signal.ts";

/** A hold in samples from 0: its first and last sample. */
export type HoldSpan = { readonly from: number; readonly to: number };

/** A hold lasts at least this long: longer than a hand pump rests between two strokes, or while its jack is reset. */
const shortestS = 6.5;
/** Between bins a hold rises by less than this part of what the ramp does. */
const flatPart = 0.2;
/** A hand pump's last pause before the load that is held lasts no longer than this. */
const pauseS = 4;
/** Below this part of the net peak slack is taken up and nothing is held. */
const lowestPart = 0.02;

type Bin = { readonly from: number; readonly to: number; readonly at: number; readonly mean: number };

/**
 * Rule R-HOLD: the stretches of 6.5 s or more in which the force does not rise: by less than a fifth of the ramp's usual
 * rate (that at which half of the peak was gained), without falling by 4 % at once, and not higher at the end than at the
 * start. Found in bins that are wide enough for the noise; the ends are then looked for among the samples.
 */
export function findHolds(signal: Signal, from: number, to: number, netN: number): HoldSpan[] {
  const { intervalS, sampling } = signal;
  if (intervalS === undefined) return [];
  for (let widthS = Math.max(0.25, 3 * intervalS); ; widthS *= 2) {
    const bins = binsOf(signal, from, to, widthS);
    if (bins.length < 4) return [];
    const rate = usualRate(bins);
    const perBin = Math.max(1, widthS / intervalS / sampling.averaged);
    const noiseRate =
      (Math.SQRT2 * Math.hypot(sampling.noiseN, sampling.stepN / 4)) / Math.sqrt(perBin) / widthS;
    if (widthS < 1.2 && 3 * noiseRate > 0.8 * flatPart * rate) continue;
    return flatRuns(signal, bins, { rate, noiseRate, netN }).map((run) =>
      refine(signal, run, { from, to, netN, widthS }),
    );
  }
}

function binsOf(signal: Signal, from: number, to: number, widthS: number): Bin[] {
  const { force, place } = signal;
  const bins: Bin[] = [];
  let start = from;
  let usual = 1;
  while (start < to) {
    const endS = place(start) + widthS;
    // Bins of an even clock are as long as the one before, give or take a sample.
    const isEven =
      start + usual + 1 < to && place(start + usual - 1) < endS && place(start + usual + 1) >= endS;
    const [low, high] = isEven ? [start + usual, start + usual + 1] : [start + 1, to];
    const end = sampleAt(signal, endS, low, high);
    usual = end - start;
    const mean = sumOf(force, start, end) / (end - start);
    bins.push({ from: start, to: end, at: (place(start) + place(end - 1)) / 2, mean });
    start = end;
  }
  return bins;
}

/** Four sums side by side: each addition waits for the one before it, four do not wait for one another. */
function sumOf(values: Float64Array, from: number, to: number): number {
  let a = 0;
  let b = 0;
  let c = 0;
  let d = 0;
  let at = from;
  for (; at + 4 <= to; at += 4) {
    a += values[at] as number;
    b += values[at + 1] as number;
    c += values[at + 2] as number;
    d += values[at + 3] as number;
  }
  for (; at < to; at++) a += values[at] as number;
  return a + b + c + d;
}

/** The rate of rise at or above which half of all that was gained was gained. */
function usualRate(bins: readonly Bin[]): number {
  const rises: { rate: number; gain: number }[] = [];
  for (let at = 1; at < bins.length; at++) {
    const [before, now] = [bins[at - 1] as Bin, bins[at] as Bin];
    const gain = now.mean - before.mean;
    if (gain > 0 && now.at > before.at) rises.push({ rate: gain / (now.at - before.at), gain });
  }
  rises.sort((a, b) => b.rate - a.rate);
  const half = rises.reduce((sum, { gain }) => sum + gain, 0) / 2;
  let seen = 0;
  for (const { rate, gain } of rises) {
    seen += gain;
    if (seen >= half) return rate;
  }
  return 0;
}

type Run = { readonly first: Bin; readonly last: Bin };

function flatRuns(
  { zeroN, place }: Signal,
  bins: readonly Bin[],
  { rate, noiseRate, netN }: { rate: number; noiseRate: number; netN: number },
): Run[] {
  const runs: Run[] = [];
  let first = 0;
  const close = (last: number) => {
    if (last - first < 3) return;
    const [start, end] = [bins[first] as Bin, bins[last] as Bin];
    const lasts = place(end.to - 1) - place(start.from);
    const width = end.at - (bins[last - 1]?.at ?? end.at);
    // The outermost bins hold some of the rises on either side.
    const rose = (bins[last - 1] as Bin).mean - (bins[first + 1] as Bin).mean;
    if (lasts >= shortestS && rose <= 3 * noiseRate * width && start.mean - zeroN >= lowestPart * netN)
      runs.push({ first: start, last: end });
  };
  for (let at = 1; at < bins.length; at++) {
    const [before, now] = [bins[at - 1] as Bin, bins[at] as Bin];
    const slope = (now.mean - before.mean) / Math.max(now.at - before.at, Number.MIN_VALUE);
    const flat =
      slope <= flatPart * rate + 2.5 * noiseRate &&
      now.mean >= before.mean - 0.04 * Math.max(0, before.mean - zeroN);
    if (flat) continue;
    close(at - 1);
    first = at;
  }
  close(bins.length - 1);
  return runs;
}

/**
 * The highest sample of those after which the force is highest on the mean: a settling force falls from its corner on,
 * and what follows a pause before it holds the pause as well.
 */
function highestNear({ force, place }: Signal, from: number, to: number, widthS: number): number {
  let sum = 0;
  let until = from;
  let best = from;
  let bestMean = Number.NEGATIVE_INFINITY;
  for (let at = from; at <= to; at++) {
    while (until < force.length && (until < at + 3 || place(until) - place(at) < widthS))
      sum += force[until++] as number;
    const mean = sum / (until - at);
    if (mean > bestMean) {
      bestMean = mean;
      best = at;
    }
    sum -= force[at] as number;
  }
  let highest = best;
  for (let at = from; at <= to; at++)
    if (Math.abs(place(at) - place(best)) <= widthS && (force[at] as number) > (force[highest] as number))
      highest = at;
  return highest;
}

/** From the corner at which the force stopped rising to the last sample before it rises again. */
function refine(
  signal: Signal,
  { first, last }: Run,
  { from, to, netN, widthS }: { from: number; to: number; netN: number; widthS: number },
): HoldSpan {
  const { force, place } = signal;
  const { noiseN, stepN } = signal.sampling;
  let start = first.from;
  while (start > from && place(first.from) - place(start - 1) <= 2.2 * widthS) start--;
  const latestS = place(first.from) + Math.max(3.5 * widthS, pauseS);
  let latest = start;
  while (latest < Math.min(to, last.from) - 1 && place(latest + 1) <= latestS) latest++;
  const highest = highestNear(signal, start, latest, widthS);
  // A pump may have paused before its last stroke: the hold begins after the last sample that is clearly lower.
  const clearly = 6 * noiseN + 0.5 * stepN;
  for (let at = highest; at >= start; at--)
    if ((force[at] as number) < (force[highest] as number) - clearly) {
      start = at + 1;
      break;
    }
  while (
    start < highest &&
    (force[start] as number) < (force[highest] as number) - 3.5 * noiseN - 0.5 * stepN
  )
    start++;

  const level = last.mean;
  const clear = Math.max(4 * noiseN, 1.2 * stepN, 0.004 * netN);
  let end = last.from;
  while (end < to - 1 && (force[end] as number) <= level + clear) end++;
  while (end > last.from && (force[end] as number) > level + Math.max(noiseN, 0.5 * stepN, 0.001 * netN))
    end--;
  return { from: start, to: Math.max(end, start) };
}
