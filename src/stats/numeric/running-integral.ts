import { gaussLegendre } from "./gauss-legendre.ts";

/** The integral of a smooth function over a stretch, and from its beginning up to any place within. */
export type RunningIntegral = {
  readonly total: number;
  readonly upTo: (x: number) => number;
};

const points = 16;
const panel = gaussLegendre(points);
/** Each node's weight times the Legendre polynomials 0 to 15 at that node, node after node. */
const moments = Float64Array.from(
  panel.flatMap(({ at, weight }) => legendre(2 * at - 1, points).map((p) => weight * p)),
);

/** The places at which a function must be known for `runningIntegral`, and what each counts towards the whole. */
export function quadratureNodes(low: number, high: number, panels: number) {
  const width = (high - low) / panels;
  const at = new Float64Array(points * panels);
  const weight = new Float64Array(points * panels);
  for (let i = 0; i < at.length; i++) {
    const node = panel[i % points] as (typeof panel)[number];
    at[i] = low + (Math.floor(i / points) + node.at) * width;
    weight[i] = node.weight * width;
  }
  return { at, weight };
}

/**
 * The integral from low on, from the function's values at `quadratureNodes` of the same stretch and panels.
 * Within a panel the function is taken for the polynomial through its 16 values: Σ cₖ Pₖ(t), whose integral from −1 is
 * c₀ (t + 1) + Σ cₖ (Pₖ₊₁(t) − Pₖ₋₁(t))/(2k + 1). Source: DLMF 3.5(v) and 18.9(iii).
 */
export function runningIntegral(
  values: Float64Array,
  low: number,
  high: number,
  panels: number,
): RunningIntegral {
  const width = (high - low) / panels;
  const before = new Float64Array(panels + 1);
  for (let p = 0; p < panels; p++) {
    let total = 0;
    for (let i = 0; i < points; i++)
      total += (panel[i] as (typeof panel)[number]).weight * (values[p * points + i] as number);
    before[p + 1] = (before[p] as number) + width * total;
  }
  const known: Float64Array[] = [];
  const upTo = (x: number) => {
    if (x <= low) return 0;
    if (x >= high) return before[panels] as number;
    const p = Math.min(panels - 1, Math.floor((x - low) / width));
    const t = (2 * (x - low)) / width - 2 * p - 1;
    known[p] ??= coefficientsOf(values, p);
    const coefficients = known[p];
    let [previous, current] = [1, t];
    let part = (coefficients[0] as number) * (t + 1);
    for (let k = 1; k < points; k++) {
      const next = ((2 * k + 1) * t * current - k * previous) / (k + 1);
      part += (coefficients[k] as number) * (next - previous);
      [previous, current] = [current, next];
    }
    return (before[p] as number) + (width / 2) * part;
  };
  return { total: before[panels] as number, upTo };
}

/** c₀ to c₁₅ of one panel. */
function coefficientsOf(values: Float64Array, p: number): Float64Array {
  const coefficients = new Float64Array(points);
  for (let k = 0; k < points; k++) {
    let coefficient = 0;
    for (let i = 0; i < points; i++)
      coefficient += (values[p * points + i] as number) * (moments[i * points + k] as number);
    coefficients[k] = coefficient;
  }
  return coefficients;
}

/** P₀(t) to P₍count − 1₎(t). */
function legendre(t: number, count: number): number[] {
  const values = [1, t];
  for (let k = 1; k < count - 1; k++)
    values.push(((2 * k + 1) * t * (values[k] as number) - k * (values[k - 1] as number)) / (k + 1));
  return values;
}
