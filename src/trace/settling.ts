import { normalCdf, studentTQuantile } from "../stats/mod.ts";
import type { Settling, WithInterval } from "./reading-parts.ts";

/** What is fitted: the force net of rest against the time since the hold began, oldest first. */
export type SettlingInput = {
  readonly sinceS: Float64Array;
  readonly netN: Float64Array;
  /** Readings of the cell in each sample: their noise is then shared between neighbours. */
  readonly averaged: number;
  /** Standard uncertainty of the force at the start, from the rest and from when the hold began. */
  readonly startN: number;
  /** Standard uncertainty of how far the cell itself drifted during the hold. */
  readonly driftN: number;
  /** Standard uncertainty of a force that stands on one step of the converter; 0 where noise moves it across steps. */
  readonly stuckN: number;
};

const fewestSamples = 12;
const mostBins = 300;
/** t1 is looked for from a hundredth of a second to a fifth of the hold. */
const shortestReferenceS = 0.01;
const coarseSteps = 48;
const fineSteps = 61;

/**
 * Rule R-SETTLING. How force settled at a hold, by F(t) = F1[1 − r log10(1 + t/t1)] and by F(t) = F1(1 + t/t1)^−n. For a
 * given t1 both are straight lines (the second one in the logarithm of force), fitted by least squares; t1 is weighed by
 * how well each fits, evenly over its logarithm, and the interval is that of the mixture: what is not known of t1 widens
 * it. Absent with fewer than 12 samples.
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
  /** How often the force changed from sample to sample: steps coarser than noise share one error while it stands. */
  readonly changes: number;
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
  let changes = 0;
  let from = 0;
  while (from < count) {
    const endS = Math.max(0.02, sinceS[from] as number) * Math.max(ratio, 1.001);
    let to = from;
    let time = 0;
    let force = 0;
    while (to < count && (to === from || (sinceS[to] as number) < endS)) {
      time += sinceS[to] as number;
      force += netN[to] as number;
      if (to > 0 && netN[to] !== netN[to - 1]) changes++;
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
    changes,
  };
}

type Line = {
  readonly rate: number;
  readonly error: number;
  readonly squares: number;
  readonly decades: number;
  readonly startN: number;
};

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
  const fitAt = (logReference: number) => fitLine(bins, Math.exp(logReference), shaped, unit, scratch);
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
  const bestLine = fitAt(best);
  const degrees = bins.samples - 3;
  const variance = bestLine.squares / degrees;
  if (!(variance > 0) || !Number.isFinite(bestLine.rate)) return undefined;
  const shared = Math.max(1, input.averaged, bins.samples / (4 * (bins.changes + 1)));
  const scale = variance * shared;
  // How far from the best t1 the misfit grows by 16 noises' squares: beyond it nothing has weight.
  const reach = (sign: number) => {
    let width = 1e-4;
    while (width < most - least && fitAt(best + sign * width).squares - bestLine.squares < 32 * scale)
      width *= 1.6;
    return Math.min(most, Math.max(least, best + sign * width));
  };
  const from = reach(-1);
  const to = reach(1);
  const lines: Line[] = [];
  const weights: number[] = [];
  for (let step = 0; step < fineSteps; step++) {
    const line = fitAt(from + ((to - from) * step) / (fineSteps - 1));
    lines.push(line);
    weights.push(Math.exp(-(line.squares - bestLine.squares) / (2 * scale)));
  }
  const wider = studentTQuantile(0.975, degrees) / 1.959964;
  const errors = lines.map(
    (line) =>
      wider *
      Math.hypot(
        line.error * Math.sqrt(scale),
        (line.rate * input.startN) / line.startN,
        input.driftN / (line.startN * Math.max(0.3, line.decades)),
        (Math.SQRT2 * input.stuckN) / (line.startN * Math.max(0.3, line.decades)),
      ),
  );
  const interval = [
    quantile(lines, errors, weights, 0.025),
    quantile(lines, errors, weights, 0.975),
  ] as const;
  const parameters = 4;
  const n = bins.samples / shared;
  const aicc =
    n * Math.log(bestLine.squares / bins.samples) +
    2 * parameters +
    (2 * parameters * (parameters + 1)) / Math.max(1, n - parameters - 1);
  return { rate: { value: bestLine.rate, interval }, aicc, startN: bestLine.startN };
}

/**
 * The line for one t1, its misfit in newtons squared, and its rate as a part of the force at the start. It is called some
 * hundred times for each hold, so it writes its abscissae over the same array each time.
 */
function fitLine(bins: Bins, referenceS: number, y: Float64Array, unit: number, x: Float64Array): Line {
  const isLog = unit === 1;
  const { atS, meanN, weight, within } = bins;
  let sum = 0;
  let meanX = 0;
  let meanY = 0;
  for (let at = 0; at < x.length; at++) {
    x[at] = unit * Math.log1p((atS[at] as number) / referenceS);
    sum += weight[at] as number;
    meanX += (weight[at] as number) * (x[at] as number);
    meanY += (weight[at] as number) * (y[at] as number);
  }
  meanX /= sum;
  meanY /= sum;
  let across = 0;
  let along = 0;
  for (let at = 0; at < x.length; at++) {
    const away = (x[at] as number) - meanX;
    across += (weight[at] as number) * away * away;
    along += (weight[at] as number) * away * ((y[at] as number) - meanY);
  }
  const slope = along / across;
  const start = meanY - slope * meanX;
  let squares = within;
  for (let at = 0; at < x.length; at++) {
    const line = start + slope * (x[at] as number);
    squares += (weight[at] as number) * ((meanN[at] as number) - (isLog ? Math.exp(line) : line)) ** 2;
  }
  const startN = isLog ? Math.exp(start) : start;
  // The rate is −slope over the start; both lean on the same mean, so their errors are taken together.
  const perNewton = isLog ? 1 / (meanN[0] as number) : 1 / startN;
  const rate = isLog ? -slope : -slope / start;
  const lever = isLog ? 0 : rate * meanX;
  const error = perNewton * Math.sqrt((1 + lever) ** 2 / across + (isLog ? 0 : rate * rate) / sum);
  return { rate, error, squares, decades: x.at(-1) as number, startN };
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
function quantile(
  lines: readonly Line[],
  errors: readonly number[],
  weights: readonly number[],
  share: number,
): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  let low = Math.min(...lines.map(({ rate }, at) => rate - 9 * (errors[at] as number)));
  let high = Math.max(...lines.map(({ rate }, at) => rate + 9 * (errors[at] as number)));
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    let below = 0;
    lines.forEach(({ rate }, at) => {
      below += (weights[at] as number) * normalCdf((middle - rate) / (errors[at] as number));
    });
    if (below < share * total) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
