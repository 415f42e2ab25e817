import { logUpperSlopes } from "../../stats/mod.ts";
import { climb, type Hill, makeHill, roomFor } from "./newton.ts";
import { createOneStrength } from "./one-strength.ts";
import type { Growth } from "./types.ts";

export const broke = 0;
export const slipped = 1;
export const stopped = 2;

/** Pulls as the fit works on them. */
export type Sample = {
  readonly n: number;
  /** Where the bury lies in the range of those pulled: 0 at the shortest, 1 at the longest. */
  readonly t: Float64Array;
  /** The logarithm of the strength. */
  readonly y: Float64Array;
  readonly kind: Uint8Array;
  /** Covariates of the slip strength, and of the break strength, pull by pull, each centred on its mean. */
  readonly slipBy: readonly Float64Array[];
  readonly breakBy: readonly Float64Array[];
};

/**
 * No scatter below this is believed: the accuracy class that ISO 2307 asks of a rope-testing machine is 1 %. It only acts
 * where so few slipped or broke that the likelihood would grow without end as the scatter goes to nothing.
 */
export const leastScatter = 0.01;

/** Slip parameters: level at the shortest bury, growth over the range of buries (both logarithms), log scatter, covariates. */
export const slipSize = 3;
/** Break parameters: plateau (logarithm), log scatter, covariates. */
export const breakSize = 2;

/** The likelihood of a sample and its tops. The sample's y and kind may change between calls: `read` takes them in. */
export type Fitter = {
  /** Takes in what y and kind are now; at the start it has. */
  readonly read: () => void;
  /** Height of the break part's top, which is written into `at`; NaN where it did not settle. */
  readonly fitBreak: (at: Float64Array, tolerance?: number) => number;
  readonly fitSlip: (growth: Growth, at: Float64Array, tolerance?: number) => number;
  /**
   * The top where the chance of slipping first at a place t is held: z is the upper normal quantile of that chance.
   * Parameters: plateau, growth, log scatter of slip, log scatter of break, slip covariates, break covariates.
   */
  readonly fitHeld: (growth: Growth, t: number, z: number, at: Float64Array, tolerance?: number) => number;
  /** Gradient and second derivatives where the last climb ended, by part. */
  readonly breakHill: Hill;
  readonly slipHill: Hill;
  readonly heldHill: Hill;
  readonly setGrowth: (growth: Growth) => void;
  readonly setHeld: (t: number, z: number) => void;
};

const halfLogTwoPi = 0.5 * Math.log(2 * Math.PI);

/** Tops are climbed until a step would gain less than this, in units of the log-likelihood. */
const usual = 1e-9;

/**
 * The likelihood of two competing strengths: a pull that slipped shows its slip strength and that its break strength is
 * above it, one that broke the other way round, one that was stopped that both are above. It is the product of a slip part
 * and a break part, so each has a top of its own; only where a chance of slipping first is held are they climbed together.
 */
export function createFitter(sample: Sample): Fitter {
  const { n, t, y, kind, slipBy, breakBy } = sample;
  const slips = slipBy.length;
  const breaks = breakBy.length;
  const slope = { value: 0, first: 0, second: 0 };
  let linear = false;

  const slipHill = makeHill(slipSize + slips, slipHeight);
  const breakHill = makeHill(breakSize + breaks, breakHeight);
  for (const [hill, scatterAt] of [
    [slipHill, 2],
    [breakHill, 1],
  ] as const) {
    hill.low[scatterAt] = Math.log(leastScatter);
    hill.high[scatterAt] = Math.log(10);
  }
  slipHill.low[1] = -60;
  slipHill.high[1] = 60;
  const heldHill = makeHill(4 + slips + breaks, heldHeight);
  heldHill.low[1] = 0;
  heldHill.high[1] = 60;
  for (const at of [2, 3]) {
    heldHill.low[at] = Math.log(leastScatter);
    heldHill.high[at] = Math.log(10);
  }
  const rooms = {
    slip: roomFor(slipHill.size),
    break: roomFor(breakHill.size),
    held: roomFor(heldHill.size),
  };

  /** Growth from the shortest bury up to each bury that was pulled, and its slope by the growth over the whole range. */
  const { places, placeOf } = placesOf(t);
  const slipStrength = createOneStrength(sample, slipped, places.length, placeOf);
  const breakStrength = createOneStrength(sample, broke, 1, new Int32Array(n));
  const grownTo = new Float64Array(places.length);
  const slopeTo = new Float64Array(places.length);
  const grown = { value: 0, slope: 0 };
  function grow(place: number, growth: number, expGrowth: number): void {
    if (linear) {
      const above = place * expGrowth;
      const sum = 1 - place + above;
      grown.value = Math.log(sum);
      grown.slope = above / sum;
    } else {
      grown.value = place * growth;
      grown.slope = place;
    }
  }

  function slipHeight(at: Float64Array, _slopes: boolean): number {
    const { gradient, second, size } = slipHill;
    const level = at[0] as number;
    const growth = at[1] as number;
    const logScatter = at[2] as number;
    const perScatter = Math.exp(-logScatter);
    const expGrowth = Math.exp(growth);
    let height = 0;
    let gm = 0;
    let gk = 0;
    let gp = 0;
    let hmm = 0;
    let hmk = 0;
    let hkk = 0;
    let hmp = 0;
    let hkp = 0;
    let hpp = 0;
    for (let k = 0; k < places.length; k++) {
      grow(places[k] as number, growth, expGrowth);
      grownTo[k] = grown.value;
      slopeTo[k] = grown.slope;
    }
    if (slips === 0) {
      const { slopes } = slipStrength;
      for (let k = 0; k < places.length; k++) {
        const w = slopeTo[k] as number;
        height += slipStrength.look(k, level + (grownTo[k] as number), logScatter, perScatter);
        gm += slopes.mean;
        gk += slopes.mean * w;
        gp += slopes.scatter;
        hmm += slopes.meanTwice;
        hmk += slopes.meanTwice * w;
        hkk += slopes.meanTwice * w * w + (linear ? slopes.mean * w * (1 - w) : 0);
        hmp += slopes.meanAndScatter;
        hkp += slopes.meanAndScatter * w;
        hpp += slopes.scatterTwice;
      }
    } else {
      gradient.fill(0);
      second.fill(0);
      for (let i = 0; i < n; i++) {
        const place = placeOf[i] as number;
        const w = slopeTo[place] as number;
        let mean = level + (grownTo[place] as number);
        for (let j = 0; j < slips; j++)
          mean += (at[slipSize + j] as number) * ((slipBy[j] as Float64Array)[i] as number);
        const z = ((y[i] as number) - mean) * perScatter;
        let d1: number;
        let d2: number;
        let dp: number;
        if (kind[i] === slipped) {
          height += -0.5 * z * z - logScatter - halfLogTwoPi;
          d1 = z * perScatter;
          d2 = -perScatter * perScatter;
          dp = -2 * z * perScatter;
          gp += z * z - 1;
          hpp -= 2 * z * z;
        } else {
          if (z < -8.5) continue;
          logUpperSlopes(z, slope);
          height += slope.value;
          d1 = -slope.first * perScatter;
          d2 = slope.second * perScatter * perScatter;
          dp = (z * slope.second + slope.first) * perScatter;
          gp -= z * slope.first;
          hpp += z * (z * slope.second + slope.first);
        }
        gm += d1;
        gk += d1 * w;
        hmm += d2;
        hmk += d2 * w;
        hkk += d2 * w * w + (linear ? d1 * w * (1 - w) : 0);
        hmp += dp;
        hkp += dp * w;
        for (let j = 0; j < slips; j++) {
          const a = slipSize + j;
          const u = (slipBy[j] as Float64Array)[i] as number;
          add(gradient, a, d1 * u);
          add(second, a * size, d2 * u);
          add(second, a * size + 1, d2 * u * w);
          add(second, a * size + 2, dp * u);
          for (let k = 0; k <= j; k++)
            add(second, a * size + slipSize + k, d2 * u * ((slipBy[k] as Float64Array)[i] as number));
        }
      }
    }
    gradient[0] = gm;
    gradient[1] = gk;
    gradient[2] = gp;
    second[0] = hmm;
    second[size] = hmk;
    second[size + 1] = hkk;
    second[2 * size] = hmp;
    second[2 * size + 1] = hkp;
    second[2 * size + 2] = hpp;
    return height;
  }

  function breakHeight(at: Float64Array, _slopes: boolean): number {
    const { gradient, second, size } = breakHill;
    const plateau = at[0] as number;
    const logScatter = at[1] as number;
    const perScatter = Math.exp(-logScatter);
    if (breaks === 0) {
      const { slopes } = breakStrength;
      const all = breakStrength.look(0, plateau, logScatter, perScatter);
      gradient[0] = slopes.mean;
      gradient[1] = slopes.scatter;
      second[0] = slopes.meanTwice;
      second[size] = slopes.meanAndScatter;
      second[size + 1] = slopes.scatterTwice;
      return all;
    }
    gradient.fill(0);
    second.fill(0);
    let height = 0;
    let gm = 0;
    let gp = 0;
    let hmm = 0;
    let hmp = 0;
    let hpp = 0;
    for (let i = 0; i < n; i++) {
      let mean = plateau;
      for (let j = 0; j < breaks; j++)
        mean += (at[breakSize + j] as number) * ((breakBy[j] as Float64Array)[i] as number);
      const z = ((y[i] as number) - mean) * perScatter;
      let d1: number;
      let d2: number;
      let dp: number;
      if (kind[i] === broke) {
        height += -0.5 * z * z - logScatter - halfLogTwoPi;
        d1 = z * perScatter;
        d2 = -perScatter * perScatter;
        dp = -2 * z * perScatter;
        gp += z * z - 1;
        hpp -= 2 * z * z;
      } else {
        if (z < -8.5) continue;
        logUpperSlopes(z, slope);
        height += slope.value;
        d1 = -slope.first * perScatter;
        d2 = slope.second * perScatter * perScatter;
        dp = (z * slope.second + slope.first) * perScatter;
        gp -= z * slope.first;
        hpp += z * (z * slope.second + slope.first);
      }
      gm += d1;
      hmm += d2;
      hmp += dp;
      for (let j = 0; j < breaks; j++) {
        const a = breakSize + j;
        const u = (breakBy[j] as Float64Array)[i] as number;
        add(gradient, a, d1 * u);
        add(second, a * size, d2 * u);
        add(second, a * size + 1, dp * u);
        for (let k = 0; k <= j; k++)
          add(second, a * size + breakSize + k, d2 * u * ((breakBy[k] as Float64Array)[i] as number));
      }
    }
    gradient[0] = gm;
    gradient[1] = gp;
    second[0] = hmm;
    second[size] = hmp;
    second[size + 1] = hpp;
    return height;
  }

  let heldT = 0;
  let heldZ = 0;
  const slipAt = new Float64Array(slipHill.size);
  const breakAt = new Float64Array(breakHill.size);

  /**
   * Held: plateau + z √(s₁² + s₂²) = level + growth up to t, so the level follows from the others, and the slopes by the
   * chain rule.
   */
  function heldHeight(at: Float64Array, slopes: boolean): number {
    const { gradient, second, size } = heldHill;
    const plateau = at[0] as number;
    const growth = at[1] as number;
    const s1 = Math.exp(at[2] as number);
    const s2 = Math.exp(at[3] as number);
    const both = Math.sqrt(s1 * s1 + s2 * s2);
    grow(heldT, growth, Math.exp(growth));
    const w = grown.slope;
    slipAt[0] = plateau + heldZ * both - grown.value;
    slipAt[1] = growth;
    slipAt[2] = at[2] as number;
    for (let j = 0; j < slips; j++) slipAt[slipSize + j] = at[4 + j] as number;
    breakAt[0] = plateau;
    breakAt[1] = at[3] as number;
    for (let j = 0; j < breaks; j++) breakAt[breakSize + j] = at[4 + slips + j] as number;
    const height = slipHeight(slipAt, slopes) + breakHeight(breakAt, slopes);

    const g = slipHill.gradient;
    const h = slipHill.second;
    const S = slipHill.size;
    const gb = breakHill.gradient;
    const hb = breakHill.second;
    const B = breakHill.size;
    // How the level moves with plateau, growth, and both log scatters.
    const v1 = (s1 * s1) / both;
    const v2 = (s2 * s2) / both;
    const m1 = heldZ * v1;
    const m2 = heldZ * v2;
    const gm = g[0] as number;
    const hmm = h[0] as number;
    const hmk = h[S] as number;
    const hkk = h[S + 1] as number;
    const hmp = h[2 * S] as number;
    const hkp = h[2 * S + 1] as number;
    const hpp = h[2 * S + 2] as number;
    gradient[0] = gm + (gb[0] as number);
    gradient[1] = (g[1] as number) - w * gm;
    gradient[2] = (g[2] as number) + m1 * gm;
    gradient[3] = m2 * gm + (gb[1] as number);
    second[0] = hmm + (hb[0] as number);
    second[size] = hmk - w * hmm;
    second[size + 1] = hkk - 2 * w * hmk + w * w * hmm - (linear ? gm * w * (1 - w) : 0);
    second[2 * size] = hmp + m1 * hmm;
    second[2 * size + 1] = hkp + m1 * hmk - w * (hmp + m1 * hmm);
    second[2 * size + 2] = hpp + 2 * m1 * hmp + m1 * m1 * hmm + gm * heldZ * (2 * v1 - (v1 * v1) / both);
    second[3 * size] = m2 * hmm + (hb[B] as number);
    second[3 * size + 1] = m2 * (hmk - w * hmm);
    second[3 * size + 2] = m2 * (hmp + m1 * hmm) - (gm * heldZ * v1 * v2) / both;
    second[3 * size + 3] = m2 * m2 * hmm + gm * heldZ * (2 * v2 - (v2 * v2) / both) + (hb[B + 1] as number);
    for (let j = 0; j < slips; j++) {
      const a = 4 + j;
      const row = (slipSize + j) * S;
      const hum = h[row] as number;
      gradient[a] = g[slipSize + j] as number;
      second[a * size] = hum;
      second[a * size + 1] = (h[row + 1] as number) - w * hum;
      second[a * size + 2] = (h[row + 2] as number) + m1 * hum;
      second[a * size + 3] = m2 * hum;
      for (let k = 0; k <= j; k++) second[a * size + 4 + k] = h[row + slipSize + k] as number;
    }
    for (let j = 0; j < breaks; j++) {
      const a = 4 + slips + j;
      const row = (breakSize + j) * B;
      gradient[a] = gb[breakSize + j] as number;
      second.fill(0, a * size, a * size + a);
      second[a * size] = hb[row] as number;
      second[a * size + 3] = hb[row + 1] as number;
      for (let k = 0; k <= j; k++) second[a * size + 4 + slips + k] = hb[row + breakSize + k] as number;
    }
    return height;
  }

  const setGrowth = (growth: Growth) => {
    linear = growth === "linear";
  };
  const setHeld = (place: number, z: number) => {
    heldT = place;
    heldZ = z;
  };
  return {
    read: () => {
      slipStrength.gather();
      breakStrength.gather();
    },
    fitBreak: (at, tolerance = usual) => climb(breakHill, at, rooms.break, tolerance),
    fitSlip: (growth, at, tolerance = usual) => {
      setGrowth(growth);
      return climb(slipHill, at, rooms.slip, tolerance);
    },
    fitHeld: (growth, place, z, at, tolerance = usual) => {
      setGrowth(growth);
      setHeld(place, z);
      return climb(heldHill, at, rooms.held, tolerance);
    },
    breakHill,
    slipHill,
    heldHill,
    setGrowth,
    setHeld,
  };
}

/** The buries that were pulled, each once, and which of them each pull has: a logarithm for each bury is less than for each pull. */
function placesOf(t: Float64Array): { readonly places: Float64Array; readonly placeOf: Int32Array } {
  const places: number[] = [];
  const indexOf = new Map<number, number>();
  const placeOf = new Int32Array(t.length);
  for (let i = 0; i < t.length; i++) {
    const place = t[i] as number;
    let index = indexOf.get(place);
    if (index === undefined) {
      index = places.push(place) - 1;
      indexOf.set(place, index);
    }
    placeOf[i] = index;
  }
  return { places: Float64Array.from(places), placeOf };
}

function add(into: Float64Array, at: number, value: number): void {
  into[at] = (into[at] as number) + value;
}
