import type { Signal } from "../samples/signal.ts";
import { coarseS, longestWindowS, risesLookedAt, type TopEstimate } from "../samples/top.ts";

/** Where a line through the samples before the top and one through those after it meet, weighed over where that may be. */
export function corner(
  signal: Signal,
  peak: number,
  { from, to, netN }: { from: number; to: number; netN: number },
): TopEstimate {
  const { force, place, sampling, intervalS } = signal;
  const sigma =
    Math.hypot(sampling.noiseN, sampling.stepN / Math.sqrt(12)) || 1e-9 * Math.abs(force[peak] as number);
  if (intervalS === undefined || intervalS > coarseS)
    return coarseCorner(signal, peak, { from, to, netN, sigma });
  const tent = (half: number) =>
    fitTents(signal, Math.max(from, peak - half), Math.min(to - 1, peak + half), sigma);
  // An amplifier that averages rounds the corner over so many samples on either side of it.
  const rounded = Math.ceil((sampling.averaged - 1) / 2);
  let best = tent(2 + rounded);
  for (let half = 3 + rounded; half <= 96; half = Math.ceil(half * 1.4)) {
    if (peak - half < from || peak + half >= to) break;
    if (place(peak + half) - place(peak - half) > longestWindowS) break;
    const next = tent(half);
    if (next === undefined) continue;
    if (next.misfit > 1.25 * sigma && best !== undefined) break;
    best = next;
  }
  if (best === undefined)
    return { valueN: force[peak] as number, noiseN: sigma, betweenN: sigma, basis: "corner" };
  const before = bendAt(force, peak - 2);
  const after = bendAt(force, peak + 2);
  const bend = Math.max(0, Math.max(before, after) - 5 * sigma);
  return {
    valueN: best.valueN,
    noiseN: best.errorN * Math.sqrt(sampling.averaged),
    // Two lines are a model of a corner: it is trusted to a hundredth of a per cent.
    betweenN: Math.hypot(best.spreadN, 0.3 * bend, 1e-4 * netN),
    basis: "corner",
  };
}

type Tent = {
  readonly valueN: number;
  readonly errorN: number;
  readonly spreadN: number;
  readonly misfit: number;
};

/** While the drive stands still for one sample the force settles by about this part at most (common practice, no published source). */
const settlesPart = 0.012;

/** The top lies between the highest sample and what the rise before it would have reached by the next one. */
function coarseCorner(
  { force, place }: Signal,
  peak: number,
  { from, to, netN, sigma }: { from: number; to: number; netN: number; sigma: number },
): TopEstimate {
  const highest = force[peak] as number;
  let rise = 0;
  for (let at = peak; at > from && at > peak - risesLookedAt; at--)
    rise = Math.max(rise, (force[at] as number) - (force[at - 1] as number));
  const next = peak + 1 < to ? (force[peak + 1] as number) : highest;
  const steps =
    peak + 1 < to
      ? (place(peak + 1) - place(peak)) / Math.max(place(peak) - place(Math.max(from, peak - 1)), 1e-9)
      : 1;
  const most = Math.min(
    highest + rise * Math.max(1, Math.min(3, steps)),
    Math.max(highest, next) + settlesPart * netN,
  );
  return {
    valueN: (highest + most) / 2,
    noiseN: sigma,
    betweenN: (most - highest) / Math.sqrt(12),
    basis: "corner",
  };
}

/** Lines that meet at each of several moments near the middle, weighed by how well they fit. */
function fitTents(signal: Signal, first: number, last: number, sigma: number): Tent | undefined {
  const { force, place, intervalS, sampling } = signal;
  const roundedS = 0.499 * (sampling.averaged - 1) * (intervalS ?? 0);
  const count = last - first + 1;
  if (count < 5) return undefined;
  const origin = place(first);
  const fromS = place(first + 1);
  const toS = place(last - 1);
  const moments = 4 * Math.min(24, count);
  let total = 0;
  let mean = 0;
  let square = 0;
  let error = 0;
  let bestMisfit = Number.POSITIVE_INFINITY;
  const fits: { value: number; error: number; squares: number }[] = [];
  for (let step = 0; step <= moments; step++) {
    const at = fromS + ((toS - fromS) * step) / moments;
    const fit = fitTent(force, place, { first, last, at: at - origin, origin, roundedS });
    if (fit !== undefined) fits.push(fit);
  }
  const least = Math.min(...fits.map(({ squares }) => squares));
  for (const fit of fits) {
    const weight = Math.exp(-(fit.squares - least) / (2 * sigma * sigma));
    total += weight;
    mean += weight * fit.value;
    square += weight * fit.value * fit.value;
    error += weight * fit.error;
    bestMisfit = Math.min(bestMisfit, Math.sqrt(fit.squares / Math.max(1, count - 3)));
  }
  if (!(total > 0)) return undefined;
  mean /= total;
  return {
    valueN: mean,
    errorN: (sigma * error) / total,
    spreadN: Math.sqrt(Math.max(0, square / total - mean * mean)),
    misfit: bestMisfit,
  };
}

/** While the drive stands still force goes with the logarithm of time past this, as settling does (R-SETTLING). */
const settlingS = 0.1;

/** Least squares of value + left · min(0, t − c) + right · ln(1 + max(0, t − c) / 0.1 s). */
function fitTent(
  force: Float64Array,
  place: (index: number) => number,
  given: { first: number; last: number; at: number; origin: number; roundedS: number },
): { value: number; error: number; squares: number } | undefined {
  const { first, last, at, origin, roundedS } = given;
  const top = force[first] as number;
  let n = 0;
  let l = 0;
  let r = 0;
  let ll = 0;
  let rr = 0;
  let y = 0;
  let ly = 0;
  let ry = 0;
  let yy = 0;
  for (let index = first; index <= last; index++) {
    const away = place(index) - origin - at;
    if (Math.abs(away) < roundedS) continue;
    const left = Math.min(0, away);
    const right = Math.log1p(Math.max(0, away) / settlingS);
    const value = (force[index] as number) - top;
    n++;
    l += left;
    r += right;
    ll += left * left;
    rr += right * right;
    y += value;
    ly += left * value;
    ry += right * value;
    yy += value * value;
  }
  if (n < 4 || !(ll > 0) || !(rr > 0)) return undefined;
  // Left and right never act on one sample: their sums of products vanish, and the value is found by elimination.
  const left = n - (l * l) / ll - (r * r) / rr;
  if (!(left > 1e-9)) return undefined;
  const value = (y - (l * ly) / ll - (r * ry) / rr) / left;
  const slopeLeft = (ly - l * value) / ll;
  const slopeRight = (ry - r * value) / rr;
  if (slopeLeft < 0 || slopeRight > 0) return undefined;
  const misfit = Math.max(0, yy - value * y - slopeLeft * ly - slopeRight * ry);
  const squares = (misfit * (last - first + 1)) / n;
  return { value: value + top, error: Math.sqrt(1 / left), squares };
}

function bendAt(force: Float64Array, at: number): number {
  const [before, now, after] = [force[at - 1], force[at], force[at + 1]];
  return before === undefined || now === undefined || after === undefined
    ? 0
    : Math.abs(after - 2 * now + before);
}
