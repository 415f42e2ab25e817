import { normalCdf, normalQuantile } from "../../src/stats/mod.ts";
import { gaussLegendre } from "../../src/stats/numeric/gauss-legendre.ts";

/** Values on the scale on which the law only shifts and stretches, apart by whether they are lower bounds. */
type Readings = { readonly measured: readonly number[]; readonly atLeast: readonly number[] };

/** How finely it is summed: nodes to the width of the weight over log b, how far down its tails go, points of a panel. */
export type Care = { readonly nodes: number; readonly cut: number; readonly points: number };

/** Right to `roughError` and to `carefulError`: seen on draws of every kind, and held against the calculation in every run. */
export const rough: Readonly<Record<"normal" | "weibull", Care>> = {
  normal: { nodes: 1.5, cut: 10, points: 6 },
  weibull: { nodes: 2.5, cut: 15, points: 0 },
};
export const roughError = 0.02;
export const careful: Care = { nodes: 5, cut: 24, points: 16 };
export const carefulError = 4e-6;

/**
 * With what confidence the conditional bound would let a value pass: it lies below the value where this is at most the
 * confidence asked for. So whether a bound covers needs one sum, where the bound itself needs a search over many.
 *
 * The sums are written anew and coarser than those of the calculation, so that one checks the other. A value that rough
 * sums cannot place is placed by careful ones, and one that those cannot place by the calculation itself.
 *
 * readings: logarithms for Weibull and log-normal. truths: on the same scale, one for each content.
 */
export function quickConfidence(
  law: "normal" | "weibull",
  readings: Readings,
  contents: readonly number[],
  truths: readonly number[],
  care: Care,
): readonly number[] {
  return (law === "weibull" ? ofWeibull : ofNormal)(readings, contents, truths, care);
}

function ofWeibull(
  { measured, atLeast }: Readings,
  contents: readonly number[],
  truths: readonly number[],
  care: Care,
) {
  const r = measured.length;
  const all = [...measured, ...atLeast];
  const top = Math.max(...all);
  const spread = spreadOf(all);
  const gaps = all.map((y) => (y - top) / spread);
  const measuredSum = measured.reduce((sum, y) => sum + (y - top) / spread, 0);
  const logS = (b: number) => {
    let total = 0;
    for (const gap of gaps) total += Math.exp(gap / b);
    return Math.log(total);
  };
  const cuts = contents.map((content) => Math.log(-Math.log(content)));
  const places = truths.map((truth) => (truth - top) / spread);
  return averaged(
    care,
    (b) => {
      const s = logS(b);
      return { logWeight: (1 - r) * Math.log(b) + measuredSum / b - r * s, inside: s };
    },
    (b, s) =>
      contents.map((_, i) => atLeastEvents(r, Math.exp((cuts[i] as number) + s - (places[i] as number) / b))),
  );
}

/** The chance that a Poisson variable of mean x is r or more: the incomplete gamma function of a whole number. */
function atLeastEvents(r: number, x: number): number {
  if (x > 700) return 1;
  let term = Math.exp(-x);
  let fewer = 0;
  for (let k = 0; k < r; k++) {
    fewer += term;
    term *= x / (k + 1);
  }
  return 1 - fewer;
}

function ofNormal(
  { measured, atLeast }: Readings,
  contents: readonly number[],
  truths: readonly number[],
  care: Care,
) {
  const r = measured.length;
  const root = Math.sqrt(r);
  const fine = panelOf(care.points);
  const coarse = panelOf(care.points / 2 + 1);
  const mean = measured.reduce((sum, y) => sum + y, 0) / r;
  const spread = spreadOf([...measured, ...atLeast]);
  const squares = measured.reduce((sum, y) => sum + ((y - mean) / spread) ** 2, 0);
  const limits = atLeast.map((y) => (y - mean) / spread);
  const places = truths.map(
    (truth, i) => [(truth - mean) / spread, normalQuantile(contents[i] as number)] as const,
  );
  // v: how far the true mean lies from that of the measured values, in its own standard errors b/√r.
  const limitsOverB = new Float64Array(limits.length);
  const logDensity = (v: number) => {
    let log = -v * v * 0.5;
    for (let i = 0; i < limitsOverB.length; i++) log += logUpper((limitsOverB[i] as number) - v / root);
    return log;
  };
  return averaged(
    care,
    (b) => {
      for (const [i, limit] of limits.entries()) limitsOverB[i] = limit / b;
      const middle = modeOf(limitsOverB, root);
      const height = logDensity(middle);
      const part = (from: number, to: number) => {
        if (!(to > from)) return 0;
        const { at, weight } = to - from > 3 ? fine : coarse;
        let total = 0;
        for (let i = 0; i < at.length; i++)
          total +=
            (weight[i] as number) * Math.exp(logDensity(from + (at[i] as number) * (to - from)) - height);
        return total * (to - from);
      };
      const inside = { middle, part, total: part(middle - 6, middle) + part(middle, middle + 6) };
      const logWeight = (1 - r) * Math.log(b) - squares / (2 * b * b) + height + Math.log(inside.total);
      return { logWeight, inside };
    },
    (b, { middle, part, total }) =>
      places.map(([place, z]) => {
        const least = root * (place / b + z);
        if (least <= middle - 6) return 1;
        return least < middle ? 1 - part(middle - 6, least) / total : part(least, middle + 6) / total;
      }),
  );
}

/** Where φ(v) times the chances of being passed is greatest; its logarithm is concave, so Newton's method comes to rest. */
function modeOf(limits: Float64Array, root: number): number {
  let v = 0;
  for (let round = 0; round < 30 && limits.length > 0; round++) {
    let slope = -v;
    let bend = -1;
    for (let i = 0; i < limits.length; i++) {
      const x = (limits[i] as number) - v / root;
      const hazard = Math.exp(-0.5 * x * x - logUpper(x)) / Math.sqrt(2 * Math.PI);
      slope += hazard / root;
      bend -= (hazard * (hazard - x)) / (root * root);
    }
    const step = slope / bend;
    v -= step;
    if (Math.abs(step) < 0.05) break;
  }
  return v;
}

/** The mean of `of` over b, by the trapezium rule over log b. */
function averaged<T>(
  { nodes, cut }: Care,
  weigh: (b: number) => { readonly logWeight: number; readonly inside: T },
  of: (b: number, inside: T) => readonly number[],
): readonly number[] {
  const at = (logB: number) => weigh(Math.exp(logB));
  let peak = 0;
  let best = at(0).logWeight;
  for (let step = 0.8; step > 0.1; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (const next of [peak - step, peak + step]) {
        const { logWeight } = at(next);
        if (logWeight > best) [best, peak, moved] = [logWeight, next, true];
      }
    }
  }
  let width = 0.06;
  while (at(peak - width).logWeight > best - 0.5 && width < 4) width *= 1.3;
  const totals: number[] = [];
  let whole = 0;
  for (const direction of [-1, 1]) {
    for (let i = direction === 1 ? 0 : 1; ; i++) {
      const b = Math.exp(peak + (direction * i * width) / nodes);
      const { logWeight, inside } = weigh(b);
      if (!(logWeight - best > -cut)) break;
      const weight = Math.exp(logWeight - best);
      whole += weight;
      for (const [j, value] of of(b, inside).entries()) totals[j] = (totals[j] ?? 0) + weight * value;
    }
  }
  return totals.map((total) => total / whole);
}

function spreadOf(values: readonly number[]): number {
  const mean = values.reduce((sum, y) => sum + y, 0) / values.length;
  return Math.sqrt(values.reduce((sum, y) => sum + (y - mean) ** 2, 0) / values.length);
}

type Panel = { readonly at: Float64Array; readonly weight: Float64Array };
const panels = new Map<number, Panel>();

function panelOf(points: number): Panel {
  const known = panels.get(points);
  if (known !== undefined) return known;
  const nodes = gaussLegendre(points);
  const made = {
    at: Float64Array.from(nodes, ({ at }) => at),
    weight: Float64Array.from(nodes, ({ weight }) => weight),
  };
  panels.set(points, made);
  return made;
}

// The logarithm of the upper tail, from a table in steps of 1/256; between two places a straight line is off by at most
// (1/256)²/8 = 2e-6. Beyond the table: the first terms of the tail's series (DLMF 7.12.1).
const steps = 256;
const from = -9;
const upTo = 7;
const tails = Float64Array.from({ length: (upTo - from) * steps + 2 }, (_, i) =>
  Math.log(normalCdf(-(from + i / steps))),
);

function logUpper(x: number): number {
  if (x < from) return 0;
  if (x >= upTo)
    return -0.5 * x * x - Math.log(x * Math.sqrt(2 * Math.PI)) + Math.log1p(-1 / (x * x) + 3 / x ** 4);
  const at = (x - from) * steps;
  const below = Math.floor(at);
  const low = tails[below] as number;
  return low + (at - below) * ((tails[below + 1] as number) - low);
}
