import { normalCdf, studentTQuantile } from "../../stats/mod.ts";
import type { Settling, WithInterval } from "../reading-parts.ts";

/** What is fitted: the force net of rest against the time, oldest first. */
export type SettlingInput = {
  /** Since the latest moment at which the drive may have stopped; every sample lies after it. */
  readonly sinceS: Float64Array;
  readonly netN: Float64Array;
  /** By how much earlier the drive may have stopped: the samples do not tell it finer. */
  readonly earlierS: number;
  /** Standard uncertainty of what was taken as no force. */
  readonly zeroN: number;
  /** Standard uncertainty of how far the cell itself drifted during the hold. */
  readonly driftN: number;
  /** Readings of the cell in each sample: neighbours share their noise. */
  readonly averaged: number;
  /** Where the force stands on the steps of the converter: across how many of them it went. Its error changes no oftener. */
  readonly stepsCrossed?: number;
};

const fewestSamples = 12;
const mostBins = 200;
/** t1 is looked for from a hundredth of a second to a fifth of the hold. */
const shortestReferenceS = 0.01;
const coarseSteps = 32;
const fineSteps = 41;
/** The moment at which the drive stopped is taken as any of so many, evenly over those that it may have been. */
const starts = 5;

/**
 * Rule R-SETTLING. How force settled at a hold, by F(t) = F1[1 − r log10(1 + t/t1)] and by F(t) = F1(1 + t/t1)^−n. For a
 * given t1 both are straight lines (the second one in the logarithm of force), fitted by least squares; t1 is weighed by
 * how well each fits, evenly over its logarithm, as is the moment at which the drive stopped, evenly over those that it
 * may have been. The interval is that of the mixture: what is not known of them widens it, and so do errors that
 * neighbouring samples share. Absent with fewer than 12 samples.
 */
export function fitSettling(
  input: SettlingInput,
): { readonly settling: Settling; readonly startN: number } | undefined {
  const { netN, sinceS } = input;
  if (netN.length < fewestSamples || !netN.every((value) => value > 0)) return undefined;
  const bins = binByTime(sinceS, netN);
  const byDecade = weigh(bins, input, (value) => value, Math.LOG10E);
  const byPower = weigh(bins, input, Math.log, 1);
  if (byDecade === undefined || byPower === undefined) return undefined;
  // Stamps that make no sense, as of a clock that ran backward, can leave a line without a slope.
  const bounds = [...byDecade.rate.interval, ...byPower.rate.interval, byDecade.aicc, byPower.aicc];
  if (!bounds.every(Number.isFinite)) return undefined;
  const better = byPower.aicc - byDecade.aicc;
  const settling: Settling = {
    perDecade: byDecade.rate,
    perDecadeAicc: byDecade.aicc,
    exponent: byPower.rate,
    exponentAicc: byPower.aicc,
    // Two models whose criteria lie within 2 of each other are not told apart (common practice, from memory).
    preferred: Math.abs(better) < 2 ? "neither" : better > 0 ? "log-time" : "power law",
  };
  return { settling, startN: byDecade.startN };
}

type Bins = {
  readonly atS: Float64Array;
  readonly meanN: Float64Array;
  readonly weight: Float64Array;
  /** Sum of squares of all samples about their bins' means. */
  readonly within: number;
  readonly samples: number;
};

/** Means over stretches that are even in the logarithm of time: some hundred of them hold all that a hold tells. */
function binByTime(sinceS: Float64Array, netN: Float64Array): Bins {
  const count = netN.length;
  const lastS = sinceS[count - 1] as number;
  const ratio = (Math.max(lastS, 1e-6) / 0.02) ** (1 / mostBins);
  const atS: number[] = [];
  const meanN: number[] = [];
  const weight: number[] = [];
  let within = 0;
  let from = 0;
  while (from < count) {
    const endS = Math.max(0.02, sinceS[from] as number) * Math.max(ratio, 1.001);
    let to = from;
    let time = 0;
    let force = 0;
    while (to < count && (to === from || (sinceS[to] as number) < endS)) {
      time += sinceS[to] as number;
      force += netN[to] as number;
      to++;
    }
    const mean = force / (to - from);
    for (let at = from; at < to; at++) within += ((netN[at] as number) - mean) ** 2;
    atS.push(time / (to - from));
    meanN.push(mean);
    weight.push(to - from);
    from = to;
  }
  return {
    atS: Float64Array.from(atS),
    meanN: Float64Array.from(meanN),
    weight: Float64Array.from(weight),
    within,
    samples: count,
  };
}

type Line = {
  /** Force, or its logarithm, at time 0, how fast it falls with the abscissa, and how far the cell drifted besides. */
  readonly start: number;
  readonly slope: number;
  readonly drift: number;
  readonly referenceS: number;
  /** The misfit, with what the drift that was taken costs. */
  readonly squares: number;
  /** Sum of weights, the mean of the abscissa, and the variance of the slope for samples of variance 1. */
  readonly sum: number;
  readonly meanX: number;
  readonly slopeVariance: number;
};

/** A rate that the data allow, with its standard uncertainty and how likely it is beside others. */
type Candidate = { readonly rate: number; readonly error: number; readonly weight: number };

function weigh(
  bins: Bins,
  input: SettlingInput,
  shape: (force: number) => number,
  unit: number,
): { rate: WithInterval; aicc: number; startN: number } | undefined {
  const lastS = bins.atS.at(-1) as number;
  const least = Math.log(shortestReferenceS);
  const most = Math.log(Math.max(lastS / 5, 2 * shortestReferenceS));
  const shaped = bins.meanN.map(shape);
  const scratch = new Float64Array(shaped.length);
  const search = (freedom: number) => {
    const fitAt = (logReference: number) =>
      fitLine(bins, { referenceS: Math.exp(logReference), y: shaped, unit, freedom, x: scratch });
    let best = least;
    let bestSquares = Number.POSITIVE_INFINITY;
    for (let step = 0; step <= coarseSteps; step++) {
      const at = least + ((most - least) * step) / coarseSteps;
      const { squares } = fitAt(at);
      if (squares < bestSquares) {
        bestSquares = squares;
        best = at;
      }
    }
    best = lowest(
      fitAt,
      Math.max(least, best - (most - least) / coarseSteps),
      Math.min(most, best + (most - least) / coarseSteps),
    );
    return { fitAt, best, bestLine: fitAt(best) };
  };
  const degrees = bins.samples - 3;
  // First with any drift, for how much the samples scatter; then with as much of it as the cell is known for.
  const loosely = search(input.driftN > 0 ? Number.POSITIVE_INFINITY : 0);
  const loose = loosely.bestLine;
  const { stepsCrossed = bins.samples } = input;
  const shared = Math.max(sharedBy(bins, loose, unit), input.averaged, bins.samples / (stepsCrossed + 1));
  const scale = (loose.squares / degrees) * shared;
  if (!(scale > 0) || !Number.isFinite(loose.slope)) return undefined;
  const { fitAt, best, bestLine } = input.driftN > 0 ? search(input.driftN ** 2 / scale) : loosely;
  // How far from the best t1 the misfit grows by 16 noises' squares: beyond it nothing has weight.
  const reach = (sign: number) => {
    let width = 1e-4;
    while (width < most - least && fitAt(best + sign * width).squares - bestLine.squares < 32 * scale)
      width *= 1.6;
    return Math.min(most, Math.max(least, best + sign * width));
  };
  const from = reach(-1);
  const to = reach(1);
  const effective = bins.samples / shared;
  const wider = studentTQuantile(0.975, degrees) / 1.959964;
  const candidates: Candidate[] = [];
  for (let step = 0; step < fineSteps; step++) {
    const line = fitAt(from + ((to - from) * step) / (fineSteps - 1));
    const likelihood = Math.exp(-(line.squares - bestLine.squares) / (2 * scale));
    candidates.push(...candidatesOf(line, input, { unit, scale, wider, likelihood }));
  }
  const heaviest = Math.max(0, ...candidates.map(({ weight }) => weight));
  const weighty = candidates.filter(({ weight }) => weight > 1e-6 * heaviest);
  if (weighty.length === 0) return undefined;
  const interval = [quantile(weighty, 0.025), quantile(weighty, 0.975)] as const;
  const parameters = 4;
  const aicc =
    effective * Math.log(bestLine.squares / bins.samples) +
    2 * parameters +
    (2 * parameters * (parameters + 1)) / Math.max(1, effective - parameters - 1);
  const startN = unit === 1 ? Math.exp(bestLine.start) : bestLine.start;
  return { rate: { value: quantile(weighty, 0.5), interval }, aicc, startN };
}

/** A bin tells how samples share errors when it holds so many of them. */
const tellingBin = 6;

/**
 * How many samples share one error: the scatter of the bins' means about the line over what the scatter of the samples
 * would make of it. 1 for white noise; more where an amplifier averages, or where the force wanders.
 */
function sharedBy({ atS, meanN, weight, samples }: Bins, line: Line, unit: number): number {
  const lastS = atS.at(-1) as number;
  let squares = 0;
  let telling = 0;
  for (let at = 0; at < meanN.length; at++) {
    if ((weight[at] as number) < tellingBin) continue;
    const on =
      line.start +
      line.slope * unit * Math.log1p((atS[at] as number) / line.referenceS) +
      (line.drift * (atS[at] as number)) / lastS;
    squares += (weight[at] as number) * ((meanN[at] as number) - (unit === 1 ? Math.exp(on) : on)) ** 2;
    telling++;
  }
  return telling < 20 ? 1 : Math.max(1, squares / telling / (line.squares / samples));
}

/** One line read from each moment at which the drive may have stopped, with what is not known besides. */
function candidatesOf(
  { start, slope, referenceS, sum, meanX, slopeVariance }: Line,
  { earlierS, zeroN }: SettlingInput,
  known: { unit: number; scale: number; wider: number; likelihood: number },
): Candidate[] {
  const { unit, scale, wider, likelihood } = known;
  const candidates: Candidate[] = [];
  const count = earlierS > 0 ? starts : 1;
  for (let at = 0; at < count; at++) {
    const earlier = (earlierS * (at + 0.5)) / count;
    // Seen from an earlier start the same curve has a shorter t1: even weights over its logarithm say how likely that is.
    const ownS = referenceS - earlier;
    if (ownS < shortestReferenceS) continue;
    const x = unit * Math.log(ownS / referenceS);
    const begin = start + slope * x;
    const firstN = unit === 1 ? Math.exp(begin) : begin;
    const rate = unit === 1 ? -slope : -slope / begin;
    // The rate is −slope over the start; both lean on the same mean, so their errors are taken together.
    const lever = unit === 1 ? 1 : 1 + rate * (meanX - x);
    const noise = Math.sqrt(scale * (lever ** 2 * slopeVariance + (unit === 1 ? 0 : rate ** 2 / sum)));
    const error = (wider * Math.hypot(noise, rate * zeroN)) / firstN;
    candidates.push({ rate, error, weight: (likelihood * referenceS) / ownS });
  }
  return candidates;
}

/**
 * The line for one t1 with its misfit in newtons squared. A drift along the hold is fitted with it, as free as its
 * variance over that of a sample says: 0 for none, without bound for any. It is called some hundred times for each
 * hold, so it writes its abscissae over the same array each time.
 */
function fitLine(
  { atS, meanN, weight, within }: Bins,
  given: { referenceS: number; y: Float64Array; unit: number; freedom: number; x: Float64Array },
): Line {
  const { referenceS, y, unit, freedom, x } = given;
  const isLog = unit === 1;
  const count = x.length;
  const lastS = atS[count - 1] as number;
  // In the logarithm of force a newton counts for less.
  const perNewton = isLog ? 1 / (meanN[count >> 1] as number) : 1;
  let sum = 0;
  let meanX = 0;
  let meanY = 0;
  let meanT = 0;
  for (let at = 0; at < count; at++) {
    const w = weight[at] as number;
    x[at] = unit * Math.log1p((atS[at] as number) / referenceS);
    sum += w;
    meanX += w * (x[at] as number);
    meanY += w * (y[at] as number);
    meanT += w * (atS[at] as number);
  }
  meanX /= sum;
  meanY /= sum;
  meanT /= sum;
  let xx = 0;
  let xy = 0;
  let xt = 0;
  let tt = 0;
  let ty = 0;
  for (let at = 0; at < count; at++) {
    const w = weight[at] as number;
    const awayX = (x[at] as number) - meanX;
    const awayY = (y[at] as number) - meanY;
    const awayT = ((atS[at] as number) - meanT) / lastS;
    xx += w * awayX * awayX;
    xy += w * awayX * awayY;
    xt += w * awayX * awayT;
    tt += w * awayT * awayT;
    ty += w * awayT * awayY;
  }
  const ends = freedom > 0 ? tt + 1 / freedom : 1;
  const lean = freedom > 0 ? xt : 0;
  const determinant = xx * ends - lean * lean;
  const slope = (xy * ends - ty * lean) / determinant;
  const drift = freedom > 0 ? (xx * ty - xt * xy) / determinant : 0;
  const start = meanY - slope * meanX - (drift * meanT) / lastS;
  let squares = within + (freedom > 0 ? (drift / perNewton) ** 2 / freedom : 0);
  for (let at = 0; at < count; at++) {
    const on = start + slope * (x[at] as number) + (drift * (atS[at] as number)) / lastS;
    squares += (weight[at] as number) * ((meanN[at] as number) - (isLog ? Math.exp(on) : on)) ** 2;
  }
  return { start, slope, drift, referenceS, squares, sum, meanX, slopeVariance: ends / determinant };
}

/** The place of the smallest misfit between two others, by golden sections. */
function lowest(fitAt: (at: number) => Line, from: number, to: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let low = from;
  let high = to;
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let atLeft = fitAt(left).squares;
  let atRight = fitAt(right).squares;
  // 24 sections leave a hundred-thousandth of the stretch, far less than the data can tell.
  for (let round = 0; round < 24; round++) {
    if (atLeft <= atRight) {
      high = right;
      [right, atRight] = [left, atLeft];
      left = high - golden * (high - low);
      atLeft = fitAt(left).squares;
    } else {
      low = left;
      [left, atLeft] = [right, atRight];
      right = low + golden * (high - low);
      atRight = fitAt(right).squares;
    }
  }
  return (low + high) / 2;
}

/** The value below which a share of a mixture of normals lies, by bisection. */
function quantile(candidates: readonly Candidate[], share: number): number {
  const total = candidates.reduce((sum, { weight }) => sum + weight, 0);
  let low = Math.min(...candidates.map(({ rate, error }) => rate - 9 * error));
  let high = Math.max(...candidates.map(({ rate, error }) => rate + 9 * error));
  // 40 halvings leave a million-millionth of the stretch.
  for (let round = 0; round < 40; round++) {
    const middle = (low + high) / 2;
    let below = 0;
    for (const { rate, error, weight } of candidates) below += weight * normalCdf((middle - rate) / error);
    if (below < share * total) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
