/**
 * The root of a continuous function between two places where its signs differ, to the last bit or two; its values there
 * may be given where they are known.
 * Method: inverse quadratic steps guarded by bisection. Source: T. R. Chandrupatla, A new hybrid quadratic/bisection
 * algorithm for finding the zero of a nonlinear function, Adv. Eng. Software 28 (1997), 145-149.
 */
export function findRoot(
  f: (x: number) => number,
  low: number,
  high: number,
  fLow = f(low),
  fHigh = f(high),
): number {
  let a = low;
  let b = high;
  let fa = fLow;
  let fb = fHigh;
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(fa > 0 ? fb < 0 : fb > 0)) throw new Error(`no change of sign between ${low} and ${high}`);
  let c = a;
  let fc = fa;
  let step = 0.5;
  for (let round = 0; round < 200; round++) {
    const x = a + step * (b - a);
    const fx = f(x);
    if (fx > 0 === fa > 0) {
      c = a;
      fc = fa;
    } else {
      c = b;
      b = a;
      fc = fb;
      fb = fa;
    }
    a = x;
    fa = fx;
    const [best, fBest] = Math.abs(fa) < Math.abs(fb) ? [a, fa] : [b, fb];
    const tolerance = 2 * Number.EPSILON * Math.abs(best) + Number.MIN_VALUE;
    const limit = tolerance / Math.abs(b - c);
    if (limit > 0.5 || fBest === 0) return best;
    const xi = (a - b) / (c - b);
    const phi = (fa - fb) / (fc - fb);
    step =
      phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi
        ? (fa / (fb - fa)) * (fc / (fb - fc)) + (((c - a) / (b - a)) * (fa / (fc - fa)) * fb) / (fc - fb)
        : 0.5;
    step = Math.min(1 - limit, Math.max(limit, step));
  }
  return Math.abs(fa) < Math.abs(fb) ? a : b;
}

/** The root of an increasing function, looked for outward from a guess in growing steps. */
export function findRootFrom(f: (x: number) => number, guess: number, firstStep: number): number {
  let low = guess;
  let high = guess;
  let step = firstStep;
  const start = f(guess);
  let last = start;
  if (start === 0) return guess;
  if (Number.isNaN(start) || !Number.isFinite(guess)) throw new Error(`no value at ${guess}`);
  for (let round = 0; round < 1100; round++) {
    if (start < 0) {
      low = high;
      high += step;
      const found = f(high);
      if (found >= 0) return findRoot(f, low, high, last, found);
      last = found;
    } else {
      high = low;
      low -= step;
      const found = f(low);
      if (found <= 0) return findRoot(f, low, high, found, last);
      last = found;
    }
    step *= 2;
  }
  throw new Error(`no root found from ${guess}`);
}
