/**
 * Where a falling function passes a limit: looked for in growing steps from `from`, then between two places by false position
 * with halved weights (the Illinois rule), to about a ten-millionth. `from` itself where the function is below the limit
 * there; undefined where it is still above it at `most`. A place where the function has no value (NaN) counts as above.
 */
export function fallsTo(
  falling: (x: number) => number,
  limit: number,
  from: number,
  firstStep: number,
  most: number,
): number | undefined {
  const above = (x: number) => {
    const value = falling(x) - limit;
    return Number.isNaN(value) ? Number.MAX_VALUE : value;
  };
  let low = from;
  let fLow = above(low);
  if (fLow <= 0) return from;
  let step = firstStep;
  let high = low;
  let fHigh = fLow;
  while (fHigh > 0) {
    if (high >= most) return undefined;
    low = high;
    fLow = fHigh;
    high = Math.min(low + step, most);
    fHigh = above(high);
    step *= 1.7;
  }
  let side = 0;
  for (let round = 0; round < 60 && high - low > 1e-7 * (1 + Math.abs(high)); round++) {
    const guess = high - (fHigh * (high - low)) / (fHigh - fLow);
    // Where a value is infinite or the guess falls on an end, halving is as good.
    const x = guess > low && guess < high ? guess : 0.5 * (low + high);
    const fx = above(x);
    if (Math.abs(fx) < 1e-9) return x;
    if (fx > 0) {
      low = x;
      fLow = fx;
      if (side === 1) fHigh *= 0.5;
      side = 1;
    } else {
      high = x;
      fHigh = fx;
      if (side === -1) fLow *= 0.5;
      side = -1;
    }
  }
  return high;
}
