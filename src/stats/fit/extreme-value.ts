import { sum } from "../numeric/moments.ts";
import { largest } from "../values.ts";
import {
  type Ends,
  firstCrossing,
  type LocationScaleFit,
  type Observations,
  uphill,
} from "./location-scale.ts";

/**
 * Maximum likelihood for the law of smallest extreme values, that of log x where x is Weibull, with right-censored values;
 * two measured values that differ.
 * Formula: at 1/spread = τ the best location is log(S/r)/τ, S = Σ exp(τ y) over all values, r of them measured; what is left
 * is one equation, 1/τ + mean of the measured = S′/S, whose left less right falls in τ. Newton's method over log τ; nothing
 * is returned where it does not settle.
 * Source: J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed. (2003), 5.2.
 */
export function fitExtremeValue({ measured, atLeast }: Observations): LocationScaleFit | undefined {
  const r = measured.length;
  const top = Math.max(largest(measured), atLeast.length > 0 ? largest(atLeast) : Number.NEGATIVE_INFINITY);
  // Below the highest value, so that no power overflows.
  const all = new Float64Array(r + atLeast.length);
  for (let i = 0; i < r; i++) all[i] = (measured[i] as number) - top;
  for (let i = 0; i < atLeast.length; i++) all[r + i] = (atLeast[i] as number) - top;
  const measuredSum = sum(all.subarray(0, r));
  const gaps = counted(all);
  const logTau = bestLogTau(gaps, measuredSum, r);
  if (logTau === undefined) return undefined;
  const tau = Math.exp(logTau);
  const u = Math.log(powers(gaps, tau, 0).total / r) / tau;
  const best = r * logTau + tau * (measuredSum - r * u) - r;
  const profile = (limit: number): Ends => {
    const ofTau = (log: number) => {
      const at = Math.exp(log);
      const { total } = powers(gaps, at, 0);
      return 2 * (best - (r * log + at * measuredSum - r * Math.log(total / r) - r)) - limit;
    };
    const ofLocation = (location: number) =>
      2 * (best - highestAt(gaps, measuredSum, r, location, logTau)) - limit;
    // Where a parabola would come to its end, and a little beyond.
    const wide = 1.1 * Math.sqrt(limit / r);
    const step = wide / tau;
    const low = firstCrossing((d) => ofLocation(u - d), limit, step);
    const high = firstCrossing((d) => ofLocation(u + d), limit, step);
    const narrow = firstCrossing((d) => ofTau(logTau + d), limit, wide);
    const open = firstCrossing((d) => ofTau(logTau - d), limit, wide);
    return {
      locationInterval: [top + u - low, top + u + high],
      spreadInterval: [Math.exp(-narrow) / tau, Math.exp(open) / tau],
    };
  };
  return { location: top + u, spread: 1 / tau, logLikelihood: best, profile };
}

/** Different values, and how often each occurs: a cell writes a million values on some thousand steps. */
type Counted = { readonly y: Float64Array; readonly times: Float64Array };

function counted(values: Float64Array): Counted {
  const ordered = values.slice().sort();
  const times = new Float64Array(ordered.length);
  let last = -1;
  for (let i = 0; i < ordered.length; i++) {
    if (last < 0 || ordered[i] !== ordered[last]) ordered[++last] = ordered[i] as number;
    times[last] = (times[last] as number) + 1;
  }
  return { y: ordered.subarray(0, last + 1), times: times.subarray(0, last + 1) };
}

function bestLogTau(gaps: Counted, measuredSum: number, r: number): number | undefined {
  const mean = measuredSum / r;
  // The extreme-value law scatters by π/√6 of its spread.
  let logTau = Math.log(Math.PI / Math.sqrt(6) / scatterOf(gaps));
  for (let round = 0; round < 200; round++) {
    const tau = Math.exp(logTau);
    const { total, first, second } = powers(gaps, tau, 0);
    const centre = first / total;
    const slope = 1 + tau * (mean - centre);
    const bend = tau * (mean - centre) - tau * tau * (second / total - centre * centre);
    const step = uphill(slope, bend);
    if (!Number.isFinite(step)) return undefined;
    logTau += step;
    // A step of Newton's method squares the error: the next would be below the last bit.
    if (Math.abs(step) < 1e-9) return logTau;
  }
  return undefined;
}

/** The highest log-likelihood where the location is held. */
function highestAt(gaps: Counted, measuredSum: number, r: number, location: number, from: number): number {
  const along = measuredSum - r * location;
  let logTau = from;
  let value = 0;
  for (let round = 0; round < 200; round++) {
    const tau = Math.exp(logTau);
    const { total, first, second } = powers(gaps, tau, location);
    value = r * logTau + tau * along - total;
    const slope = r + tau * (along - first);
    const step = uphill(slope, slope - r - tau * tau * second);
    // At the top the height is flat: a step this small no longer shows in it.
    if (!(Math.abs(step) > 1e-8)) return value;
    logTau += step;
  }
  return value;
}

/** Σ exp(τ (y − location)), and the same with each term times y − location, and times its square. */
function powers({ y: gaps, times }: Counted, tau: number, location: number) {
  let [total, first, second] = [0, 0, 0];
  for (let i = 0; i < gaps.length; i++) {
    const y = (gaps[i] as number) - location;
    const power = (times[i] as number) * Math.exp(tau * y);
    total += power;
    first += y * power;
    second += y * y * power;
  }
  return { total, first, second };
}

function scatterOf({ y, times }: Counted): number {
  const n = sum(times);
  const mean = sum(y.map((value, i) => value * (times[i] as number))) / n;
  const squares = sum(y.map((value, i) => (value - mean) ** 2 * (times[i] as number)));
  return Math.sqrt(squares / n);
}
