import type { Signal } from "./signal.ts";

/** A top as best known from the samples about it: still as recorded, with the rest in it. */
export type TopEstimate = {
  readonly valueN: number;
  /** Standard uncertainty from the noise of the samples that it rests on. */
  readonly noiseN: number;
  /** Standard uncertainty because the top fell between two samples. */
  readonly betweenN: number;
  readonly basis: "rise to a sudden fall" | "corner" | "last sample";
};

/** A fall that starts within this time counts as sudden: slips and breaks do, a load let off does not. */
const suddenS = 0.1;
/** A slip takes this long to fall clear of the noise; until then a sample may stand on either side of the top. */
const unsureS = 0.012;
const longestWindowS = 0.5;

/**
 * Rule R-TOP. The top of a load before a sudden fall lies on the line through the samples before it, at a moment between
 * the last sample that is still on that line and the first one off it; without a sudden fall it is the corner of two
 * lines, one through the samples before it and one through those after. The lines are as long as the noise allows: until
 * they no longer fit.
 */
export function estimateTop(
  signal: Signal,
  peak: number,
  from: number,
  to: number,
  netN: number,
): TopEstimate {
  const { force, place, intervalS, sampling } = signal;
  const { noiseN, stepN, averaged } = sampling;
  const highest = force[peak] as number;
  const near = Math.max(6.5 * noiseN, 1.3 * stepN);
  let last = peak;
  for (let at = peak; at < to && (force[at] as number) >= highest - near; at++) last = at;
  const dt = intervalS ?? 1;
  if (last >= to - 1) return onTheRise(signal, from, last);
  let low = last + 1;
  const limit =
    place(last) +
    Math.max(intervalS === undefined ? 0 : suddenS, (averaged + (dt < coarseS * 1.5 ? 1.1 : 0.6)) * dt);
  for (let at = last + 1; at < to && place(at) <= limit; at++)
    if ((force[at] as number) < (force[low] as number)) low = at;
  // Steps or noise may hide where a slow let-off begins: it is then under way when it is seen.
  const sudden = near > 0.01 * netN ? near + 0.045 * netN : 0.035 * netN;
  if (highest - (force[low] as number) < sudden) return corner(signal, peak, { from, to, netN });

  const top = beforeSuddenFall(signal, { last, from, highest, low });
  // A quiet force stands on the step that is nearest to it.
  return noiseN < 0.4 * stepN ? { ...top, valueN: Math.max(top.valueN, highest - 0.3 * stepN) } : top;
}

/** How many of the last rises from sample to sample tell by how much one may have been missed. */
const risesLookedAt = 16;

function beforeSuddenFall(
  signal: Signal,
  { last, from, highest, low }: { last: number; from: number; highest: number; low: number },
): TopEstimate {
  const { force, place, intervalS, sampling } = signal;
  const { noiseN, stepN } = sampling;
  const dt = intervalS ?? 1;
  const sigma = Math.hypot(noiseN, stepN / Math.sqrt(12));
  const { averaged } = sampling;
  const end = Math.max(from, last - (intervalS === undefined ? 0 : Math.floor(unsureS / dt)));
  const line = bestLine(signal, end, from);
  // Back from the fall: the samples that lie below the line without one on it between. One that noise threw off is not.
  let off = last + 1;
  while (off - 1 > end && (force[off - 1] as number) < line.at(place(off - 1)) - 2 * sigma) off--;
  const began = beganToSlip(signal, { last, low, line, end });
  while (began !== undefined && off - 1 > end && place(off - 1) > began.at) off--;
  const sure = off - 1;
  const gap = place(off) - place(sure);
  const slope = Math.max(0, line.slope);
  const unsureN = slope * (began?.unsureS ?? 0);
  const lag = ((averaged - 1) / 2) * dt;
  if (line.count >= 6 || gap < 0.6 * dt)
    return {
      valueN: Math.max(line.at(place(sure)) + slope * (gap / 2 + lag), highest - 3 * sigma),
      noiseN: line.errorAt(place(sure) + gap / 2),
      betweenN: Math.hypot((slope * gap) / Math.sqrt(12), 0.2 * slope * lag, unsureN),
      basis: "rise to a sudden fall",
    };
  // Too few samples lie on one line: by how much the force rises between two is taken from the rises before. A fall comes
  // in a rise by the more likelihood the larger it is, and anywhere in it.
  let first = 0;
  let second = 0;
  let third = 0;
  for (let at = last; at > from && at > last - risesLookedAt; at--) {
    const rise = Math.max(0, (force[at] as number) - (force[at - 1] as number));
    first += rise;
    second += rise ** 2;
    third += rise ** 3;
  }
  const mean = first > 0 ? second / first : 0;
  const square = first > 0 ? third / first : 0;
  const steps = gap / dt;
  return {
    valueN: (force[last] as number) + (steps * mean) / 2 + (mean * lag) / dt,
    noiseN: sigma,
    betweenN: 1.3 * steps * Math.sqrt(Math.max(0, square / 3 - mean ** 2 / 4)) + (0.3 * mean * lag) / dt,
    basis: "rise to a sudden fall",
  };
}

/** Three tenths of a break are over sooner than this; those of a slip, some hundredths of a second long, are not. */
const breaksS = 0.003;

/**
 * When a slip began, where its samples show how it fell: it gathers way as a cosine does, so that a tenth and four tenths
 * of it lie 0.3218 and 0.6847 radians of a half-wave after its start. Absent where it fell within two samples, as a break does.
 */
function beganToSlip(
  { force, place, intervalS, sampling }: Signal,
  { last, low, line, end }: { last: number; low: number; line: RisingLine; end: number },
): { at: number; unsureS: number } | undefined {
  if (intervalS === undefined || sampling.averaged > 1) return undefined;
  const topN = line.at(place(last));
  const size = topN - (force[low] as number);
  const crossing = (part: number) => {
    const wanted = topN - part * size;
    let at = end + 1;
    while (at < low && (force[at] as number) > wanted) at++;
    const [before, after] = [force[at - 1] as number, force[at] as number];
    const within = before > after ? Math.min(1, Math.max(0, (before - wanted) / (before - after))) : 1;
    return place(at - 1) + within * (place(at) - place(at - 1));
  };
  const [tenth, fourTenths] = [crossing(0.1), crossing(0.4)];
  const took = fourTenths - tenth;
  if (took < Math.max(breaksS, 2 * intervalS)) return undefined;
  return { at: tenth - (0.3218 / (0.6847 - 0.3218)) * took, unsureS: 0.2 * took };
}

/** Steps of a fall are even within this part of one. */
const evenPart = 0.08;

/**
 * An amplifier that averages n readings turns a break into n even steps, the first and the last of which share one where
 * the break came between two readings; 1 where the fall is none of these.
 */
export function stairsAfter(
  { force }: Pick<Signal, "force">,
  last: number,
  to: number,
  netN: number,
): number {
  const steps: number[] = [];
  for (let at = last + 1; at < Math.min(to, last + 10); at++) {
    const step = (force[at - 1] as number) - (force[at] as number);
    if (step < 0.02 * netN) break;
    steps.push(step);
  }
  const whole = steps.reduce((sum, step) => sum + step, 0);
  if (steps.length < 2 || whole < 0.6 * netN) return 1;
  const isEven = (values: readonly number[], even: number) =>
    values.every((step) => Math.abs(step - even) < evenPart * even);
  if (isEven(steps, whole / steps.length)) return steps.length;
  const inner = steps.slice(1, -1);
  const even = inner.reduce((sum, step) => sum + step, 0) / inner.length;
  const outer = [steps[0] as number, steps.at(-1) as number] as const;
  // One whole step between two parts of one may be the quick fall of a break that nothing averaged.
  const tells = inner.length >= 2 || Math.min(...outer) > 0.12 * even;
  const isOne = inner.length > 0 && isEven([outer[0] + outer[1]], even);
  return tells && isOne && isEven(inner, even) ? inner.length + 1 : 1;
}

function onTheRise(signal: Signal, from: number, last: number): TopEstimate {
  const line = bestLine(signal, last, from);
  return {
    valueN: line.at(signal.place(last)),
    noiseN: line.errorAt(signal.place(last)),
    betweenN: 0,
    basis: "last sample",
  };
}

/** Where a line through the samples before the top and one through those after it meet, weighed over where that may be. */
function corner(
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

/** With samples further apart than this, what comes between the drive's stop and the let-off is hardly seen. */
const coarseS = 0.09;
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

type RisingLine = {
  readonly slope: number;
  at(place: number): number;
  /** Standard error of the line at a place, from the noise of its samples. */
  errorAt(place: number): number;
  readonly count: number;
};

/** A line through the samples before an end: six tenths as long as would still fit within the noise. */
function bestLine(signal: Signal, end: number, from: number): RisingLine {
  const { force, place, sampling } = signal;
  const sigma = Math.hypot(sampling.noiseN, sampling.stepN / Math.sqrt(12));
  let longest = 2;
  let best = fitLine(signal, Math.max(from, end - 1), end);
  for (let count = 3; count <= 128; count = Math.ceil(count * 1.35)) {
    const start = end - count + 1;
    if (start < from || place(end) - place(start) > longestWindowS) break;
    const next = fitLine(signal, start, end);
    const allowed = 1 + 1.2 / Math.sqrt(count);
    if (next.misfit > allowed * sigma || Math.abs(next.atEnd - (force[end] as number)) > 4 * sigma) break;
    longest = count;
  }
  if (longest > 2) best = fitLine(signal, end - Math.max(3, Math.round(0.6 * longest)) + 1, end);
  const wide = sigma * Math.sqrt(sampling.averaged);
  const { meanPlace, meanForce, slope, across, count } = best;
  return {
    slope,
    at: (where) => meanForce + slope * (where - meanPlace),
    errorAt: (where) => wide * Math.sqrt(1 / count + (across > 0 ? (where - meanPlace) ** 2 / across : 0)),
    count,
  };
}

function fitLine({ force, place }: Signal, from: number, to: number) {
  const count = to - from + 1;
  let meanPlace = 0;
  let meanForce = 0;
  for (let at = from; at <= to; at++) {
    meanPlace += place(at) / count;
    meanForce += (force[at] as number) / count;
  }
  let across = 0;
  let along = 0;
  for (let at = from; at <= to; at++) {
    across += (place(at) - meanPlace) ** 2;
    along += (place(at) - meanPlace) * ((force[at] as number) - meanForce);
  }
  const slope = across > 0 ? along / across : 0;
  let squares = 0;
  for (let at = from; at <= to; at++)
    squares += ((force[at] as number) - meanForce - slope * (place(at) - meanPlace)) ** 2;
  return {
    count,
    meanPlace,
    meanForce,
    slope,
    across,
    misfit: Math.sqrt(squares / Math.max(1, count - 2)),
    atEnd: meanForce + slope * (place(to) - meanPlace),
  };
}

function bendAt(force: Float64Array, at: number): number {
  const [before, now, after] = [force[at - 1], force[at], force[at + 1]];
  return before === undefined || now === undefined || after === undefined
    ? 0
    : Math.abs(after - 2 * now + before);
}
