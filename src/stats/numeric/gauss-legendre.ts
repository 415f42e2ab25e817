/**
 * Nodes and weights of Gauss-Legendre quadrature on [0, 1], by Newton's method on the Legendre polynomial.
 * Source: DLMF 3.5(v).
 */
export function gaussLegendre(points: number): readonly { readonly at: number; readonly weight: number }[] {
  return Array.from({ length: points }, (_, i) => {
    let x = Math.cos((Math.PI * (i + 0.75)) / (points + 0.5));
    let slope = 1;
    for (let round = 0; round < 100; round++) {
      let before = 1;
      let value = x;
      for (let k = 2; k <= points; k++) {
        [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k];
      }
      slope = (points * (x * value - before)) / (x * x - 1);
      const step = value / slope;
      x -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    return { at: (1 - x) / 2, weight: 1 / ((1 - x * x) * slope * slope) };
  });
}

const panel = gaussLegendre(16);

/** The integral of a smooth function over [low, high], in equal panels of 16 points each. */
export function integrate(f: (x: number) => number, low: number, high: number, panels: number): number {
  const width = (high - low) / panels;
  let total = 0;
  for (let p = 0; p < panels; p++) {
    for (const { at, weight } of panel) total += weight * f(low + (p + at) * width);
  }
  return total * width;
}
