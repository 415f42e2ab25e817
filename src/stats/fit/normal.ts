import { logNormalUpper, normalHazard } from "../distributions/normal.ts";
import { sum } from "../numeric/moments.ts";
import {
  type Ends,
  firstCrossing,
  type LocationScaleFit,
  type Observations,
  uphill,
} from "./location-scale.ts";

/**
 * Maximum likelihood for the normal law, with right-censored values; two measured values that differ.
 * In closed form for complete values. Else in 1/spread and location/spread, where the log-likelihood is concave, so that
 * damped Newton steps cannot lead astray; nothing is returned where they do not settle.
 * Source: J. Burridge, Scand. J. Statist. 8 (1981), 41-45, for the concavity.
 */
export function fitNormal({ measured, atLeast }: Observations): LocationScaleFit | undefined {
  const r = measured.length;
  // Centred and scaled, so that forces in newtons and lengths in metres look alike to Newton's method; the measured values
  // then have mean 0 and mean square 1, and that is all they say.
  const centre = sum(measured) / r;
  const size = Math.sqrt(sum(measured.map((y) => (y - centre) ** 2)) / r);
  const data: Scaled = { r, limits: Float64Array.from(atLeast, (y) => (y - centre) / size) };
  const best: Best | undefined =
    atLeast.length === 0 ? { alpha: 0, tau: 1, value: slopes(data, 0, 1).value } : climb(data);
  if (best === undefined) return undefined;
  const profile = (limit: number): Ends => {
    const ends =
      atLeast.length === 0
        ? completeEnds(r, limit)
        : r + atLeast.length > profiledUpTo
          ? curvatureEnds(data, best, limit)
          : profileEnds(data, best, limit);
    const place = best.alpha / best.tau;
    return {
      locationInterval: [centre + size * (place - ends.low), centre + size * (place + ends.high)],
      spreadInterval: [(size / best.tau) * Math.exp(-ends.narrow), (size / best.tau) * Math.exp(ends.wide)],
    };
  };
  return {
    location: centre + (size * best.alpha) / best.tau,
    spread: size / best.tau,
    logLikelihood: best.value - r * Math.log(size),
    profile,
  };
}

/** Beyond so many values, some of them lower bounds, the profile costs seconds, and is a parabola to three digits. */
export const profiledUpTo = 20_000;

type Scaled = { readonly r: number; readonly limits: Float64Array };
type Best = { readonly alpha: number; readonly tau: number; readonly value: number };

/** How far the ends lie from the best location, and from the best spread by its logarithm. */
type Away = { readonly low: number; readonly high: number; readonly narrow: number; readonly wide: number };

/** n log(1 + d²) and n (log(s²) + 1/s² − 1) reach the limit, s being the spread in units of the best. */
function completeEnds(n: number, limit: number): Away {
  const half = Math.sqrt(Math.expm1(limit / n));
  // With q = 2 d the fall is n (expm1(±q) ∓ q), without cancellation near 0.
  const fall = (q: number) => (Math.abs(q) < 1e-5 ? (q * q) / 2 + (q * q * q) / 6 : Math.expm1(q) - q);
  const guess = Math.sqrt((2 * limit) / n);
  const end = (sign: number) => firstCrossing((q) => n * fall(sign * q) - limit, limit, guess) / 2;
  return { low: half, high: half, narrow: end(1), wide: end(-1) };
}

function profileEnds(data: Scaled, best: Best, limit: number): Away {
  const u = best.alpha / best.tau;
  const ofLocation = (location: number) =>
    2 * (best.value - highestAtLocation(data, location, best.tau)) - limit;
  const ofTau = (tau: number) => 2 * (best.value - highestAtTau(data, tau, best.alpha)) - limit;
  const wide = 1.1 * Math.sqrt(limit / data.r);
  const step = wide / best.tau;
  return {
    low: firstCrossing((d) => ofLocation(u - d), limit, step),
    high: firstCrossing((d) => ofLocation(u + d), limit, step),
    narrow: firstCrossing((d) => ofTau(best.tau * Math.exp(d)), limit, wide),
    wide: firstCrossing((d) => ofTau(best.tau * Math.exp(-d)), limit, wide),
  };
}

function curvatureEnds(data: Scaled, { alpha, tau }: Best, limit: number): Away {
  const { alphaAlpha, alphaTau, tauTau } = slopes(data, alpha, tau);
  const determinant = alphaAlpha * tauTau - alphaTau ** 2;
  const u = alpha / tau;
  // Variances of alpha/tau and of log tau, from minus the inverse of the second derivatives.
  const ofLocation = -(tauTau + 2 * u * alphaTau + u * u * alphaAlpha) / determinant / tau ** 2;
  const ofLogTau = -alphaAlpha / determinant / tau ** 2;
  const [half, halfLog] = [Math.sqrt(limit * ofLocation), Math.sqrt(limit * ofLogTau)];
  return { low: half, high: half, narrow: halfLog, wide: halfLog };
}

function highestAtLocation(data: Scaled, location: number, from: number): number {
  let logTau = Math.log(from);
  for (let round = 0; ; round++) {
    const tau = Math.exp(logTau);
    const at = slopes(data, location * tau, tau);
    const slope = tau * (at.tau + location * at.alpha);
    const bend = tau * tau * (at.tauTau + location * (2 * at.alphaTau + location * at.alphaAlpha));
    const step = uphill(slope, slope + bend);
    // At the top the height is flat: a step this small no longer shows in it.
    if (!(Math.abs(step) > 1e-8) || round === 200) return at.value;
    logTau += step;
  }
}

function highestAtTau(data: Scaled, tau: number, from: number): number {
  let alpha = from;
  for (let round = 0; ; round++) {
    const at = slopes(data, alpha, tau);
    const step = -at.alpha / at.alphaAlpha;
    if (!(Math.abs(step) > 1e-8) || round === 200) return at.value;
    alpha += step;
  }
}

function climb(data: Scaled): Best | undefined {
  let alpha = 0;
  let tau = 1;
  let now = slopes(data, alpha, tau);
  for (let round = 0; round < 200; round++) {
    const determinant = now.alphaAlpha * now.tauTau - now.alphaTau * now.alphaTau;
    const dAlpha = -(now.tauTau * now.alpha - now.alphaTau * now.tau) / determinant;
    const dTau = -(now.alphaAlpha * now.tau - now.alphaTau * now.alpha) / determinant;
    if (!Number.isFinite(dAlpha) || !Number.isFinite(dTau)) return undefined;
    // Newton's decrement: twice what this step could still gain.
    const gain = now.alpha * dAlpha + now.tau * dTau;
    let damping = 1;
    let next = now;
    for (; damping > 1e-12; damping /= 2) {
      const tried = tau + damping * dTau;
      if (tried <= 0) continue;
      next = slopes(data, alpha + damping * dAlpha, tried);
      if (next.value >= now.value - 1e-12 * Math.abs(now.value)) break;
    }
    alpha += damping * dAlpha;
    tau += damping * dTau;
    now = next;
    if (gain < 1e-24 * (1 + Math.abs(now.value)) || (gain < 1e-16 && round > 20)) {
      return { alpha, tau, value: now.value };
    }
  }
  return undefined;
}

const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

/** Log-likelihood and slopes at location/spread = alpha, 1/spread = tau. */
function slopes({ r, limits }: Scaled, alpha: number, tau: number) {
  let value = r * (Math.log(tau) - halfLogTwoPi - 0.5 * (tau * tau + alpha * alpha));
  let byAlpha = -r * alpha;
  let byTau = r / tau - r * tau;
  let alphaAlpha = -r;
  let alphaTau = 0;
  let tauTau = -r / (tau * tau) - r;
  for (let i = 0; i < limits.length; i++) {
    const y = limits[i] as number;
    const z = tau * y - alpha;
    const hazard = normalHazard(z);
    const second = -hazard * (hazard - z);
    value += logNormalUpper(z);
    byAlpha += hazard;
    byTau -= hazard * y;
    alphaAlpha += second;
    alphaTau -= second * y;
    tauTau += second * y * y;
  }
  return { value, alpha: byAlpha, tau: byTau, alphaAlpha, alphaTau, tauTau };
}
