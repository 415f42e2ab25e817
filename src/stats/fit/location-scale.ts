import { logNormalUpper, normalHazard } from "../distributions/normal.ts";
import { sum } from "../numeric/moments.ts";
import { findRootFrom } from "../numeric/root.ts";

/** A law that only shifts and stretches: y = location + spread · z, z by a fixed law. */
export type Law = {
  /** log density of z, and its first two derivatives. */
  readonly density: (z: number) => Derivatives;
  /** log of the share above z, and its first two derivatives. */
  readonly upper: (z: number) => Derivatives;
};

type Derivatives = readonly [value: number, first: number, second: number];

const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

export const normalLaw: Law = {
  density: (z) => [-0.5 * z * z - halfLogTwoPi, -z, -1],
  upper: (z) => {
    const hazard = normalHazard(z);
    return [logNormalUpper(z), -hazard, -hazard * (hazard - z)];
  },
};

/** The law of log x where x is Weibull: smallest extreme values. */
export const extremeLaw: Law = {
  density: (z) => [z - Math.exp(z), 1 - Math.exp(z), -Math.exp(z)],
  upper: (z) => [-Math.exp(z), -Math.exp(z), -Math.exp(z)],
};

export type Observations = { readonly measured: readonly number[]; readonly atLeast: readonly number[] };

export type LocationScaleFit = {
  readonly location: number;
  readonly spread: number;
  readonly logLikelihood: number;
  /** Where twice the fall of the profile likelihood reaches the limit. */
  readonly locationInterval: readonly [number, number];
  readonly spreadInterval: readonly [number, number];
};

/**
 * Maximum likelihood and profile intervals for a law that shifts and stretches, with right-censored values.
 * Needs two measured values that differ. In 1/spread and location/spread the log-likelihood is concave for laws with a
 * log-concave density, so damped Newton steps cannot lead astray; nothing is returned where they do not settle.
 * Source: J. Burridge, Scand. J. Statist. 8 (1981), 41-45, for the concavity.
 */
export function fitLocationScale(
  law: Law,
  raw: Observations,
  profileLimit: number,
): LocationScaleFit | undefined {
  // Centred and scaled, so that forces in newtons and lengths in metres look alike to Newton's method.
  const centre = sum(raw.measured) / raw.measured.length;
  const size = Math.sqrt(sum(raw.measured.map((y) => (y - centre) ** 2)) / raw.measured.length);
  const scaled = {
    measured: raw.measured.map((y) => (y - centre) / size),
    atLeast: raw.atLeast.map((y) => (y - centre) / size),
  };
  const best = maximise(law, scaled);
  if (best === undefined) return undefined;
  const u = best.alpha / best.tau;
  const { low, high, narrow, wide } =
    raw.measured.length + raw.atLeast.length > profiledUpTo
      ? curvatureEnds(law, scaled, best, profileLimit)
      : profileEnds(law, scaled, best, profileLimit);
  return {
    location: centre + size * u,
    spread: size / best.tau,
    logLikelihood: best.logLikelihood - scaled.measured.length * Math.log(size),
    locationInterval: [centre + size * (u - low), centre + size * (u + high)],
    spreadInterval: [(size / best.tau) * Math.exp(-narrow), (size / best.tau) * Math.exp(wide)],
  };
}

/** Beyond so many values the profile costs seconds, and is a parabola to three digits. */
export const profiledUpTo = 20_000;

/** How far the ends lie from the best location, and from the best spread by its logarithm. */
type Ends = { readonly low: number; readonly high: number; readonly narrow: number; readonly wide: number };

function profileEnds(law: Law, data: Observations, best: Best, limit: number): Ends {
  const u = best.alpha / best.tau;
  const ofLocation = (location: number) => {
    const along = (logTau: number) =>
      -slopes(law, data, location * Math.exp(logTau), Math.exp(logTau), location).along;
    const tau = Math.exp(findRootFrom(along, Math.log(best.tau), 0.1));
    return 2 * (best.logLikelihood - slopes(law, data, location * tau, tau, location).value) - limit;
  };
  const ofTau = (tau: number) => {
    const alpha = findRootFrom((a) => -slopes(law, data, a, tau, 0).alpha, best.alpha, 0.1);
    return 2 * (best.logLikelihood - slopes(law, data, alpha, tau, 0).value) - limit;
  };
  const step = 1 / best.tau / Math.sqrt(data.measured.length);
  return {
    low: findRootFrom((d) => ofLocation(u - d), step, step),
    high: findRootFrom((d) => ofLocation(u + d), step, step),
    narrow: findRootFrom((d) => ofTau(best.tau * Math.exp(d)), 0.5, 0.2),
    wide: findRootFrom((d) => ofTau(best.tau * Math.exp(-d)), 0.5, 0.2),
  };
}

function curvatureEnds(law: Law, data: Observations, best: Best, limit: number): Ends {
  const { alpha, tau } = best;
  const { alphaAlpha, alphaTau, tauTau } = slopes(law, data, alpha, tau, 0);
  const determinant = alphaAlpha * tauTau - alphaTau ** 2;
  const u = alpha / tau;
  // Variances of alpha/tau and of log tau, from minus the inverse of the second derivatives.
  const ofLocation = -(tauTau + 2 * u * alphaTau + u * u * alphaAlpha) / determinant / tau ** 2;
  const ofLogTau = -alphaAlpha / determinant / tau ** 2;
  const [half, halfLog] = [Math.sqrt(limit * ofLocation), Math.sqrt(limit * ofLogTau)];
  return { low: half, high: half, narrow: halfLog, wide: halfLog };
}

type Best = { readonly alpha: number; readonly tau: number; readonly logLikelihood: number };

function maximise(law: Law, data: Observations): Best | undefined {
  let alpha = 0;
  let tau = 1;
  let now = slopes(law, data, alpha, tau, 0);
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
      next = slopes(law, data, alpha + damping * dAlpha, tried, 0);
      if (next.value >= now.value - 1e-12 * Math.abs(now.value)) break;
    }
    alpha += damping * dAlpha;
    tau += damping * dTau;
    now = next;
    if (gain < 1e-24 * (1 + Math.abs(now.value)) || (gain < 1e-16 && round > 20)) {
      return { alpha, tau, logLikelihood: now.value };
    }
  }
  return undefined;
}

/** Log-likelihood and slopes at location/spread = alpha, 1/spread = tau; `along`: d/dτ where the location is held. */
function slopes(law: Law, data: Observations, alpha: number, tau: number, location: number) {
  const r = data.measured.length;
  let value = r * Math.log(tau);
  let byAlpha = 0;
  let byTau = r / tau;
  let along = r / tau;
  let alphaAlpha = 0;
  let alphaTau = 0;
  let tauTau = -r / (tau * tau);
  const add = (y: number, [log, first, second]: Derivatives) => {
    value += log;
    byAlpha -= first;
    byTau += first * y;
    along += first * (y - location);
    alphaAlpha += second;
    alphaTau -= second * y;
    tauTau += second * y * y;
  };
  for (const y of data.measured) add(y, law.density(tau * y - alpha));
  for (const y of data.atLeast) add(y, law.upper(tau * y - alpha));
  return { value, alpha: byAlpha, tau: byTau, along, alphaAlpha, alphaTau, tauTau };
}
