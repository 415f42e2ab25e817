// The two passes that look at every sample of a recording, two at a time. Where a column lies, and where what is found
// goes, are places in this module's memory; column-kernel.ts and column-memory.ts know them.

/**
 * The lowest of each 16 values from `below`, and the highest of each 16 from `above`: of a column both are the same place, of
 * a level of its pyramid they are not. NaN is neither.
 */
export function extremes(below: usize, above: usize, stretches: usize, lows: usize, highs: usize): void {
  const end = lows + (stretches << 3);
  for (; lows < end; lows += 8, highs += 8, below += 128, above += 128) {
    let low = f64x2.splat(Infinity);
    let high = f64x2.splat(-Infinity);
    let low2 = low;
    let high2 = high;
    low = f64x2.pmin(low, v128.load(below));
    high = f64x2.pmax(high, v128.load(above));
    low2 = f64x2.pmin(low2, v128.load(below, 16));
    high2 = f64x2.pmax(high2, v128.load(above, 16));
    low = f64x2.pmin(low, v128.load(below, 32));
    high = f64x2.pmax(high, v128.load(above, 32));
    low2 = f64x2.pmin(low2, v128.load(below, 48));
    high2 = f64x2.pmax(high2, v128.load(above, 48));
    low = f64x2.pmin(low, v128.load(below, 64));
    high = f64x2.pmax(high, v128.load(above, 64));
    low2 = f64x2.pmin(low2, v128.load(below, 80));
    high2 = f64x2.pmax(high2, v128.load(above, 80));
    low = f64x2.pmin(low, v128.load(below, 96));
    high = f64x2.pmax(high, v128.load(above, 96));
    low2 = f64x2.pmin(low2, v128.load(below, 112));
    high2 = f64x2.pmax(high2, v128.load(above, 112));
    low = f64x2.pmin(low, low2);
    high = f64x2.pmax(high, high2);
    low = f64x2.pmin(low, v128.shuffle<f64>(low, low, 1, 0));
    high = f64x2.pmax(high, v128.shuffle<f64>(high, high, 1, 0));
    store<f64>(lows, f64x2.extract_lane(low, 0));
    store<f64>(highs, f64x2.extract_lane(high, 0));
  }
}

/**
 * The shortest and longest step from value to value, of four at a time, beginning with that from the value at `from` to the
 * next. What was found before lies at `found`, and what is found now.
 */
export function steps(from: usize, fours: usize, found: usize): void {
  let shortest = v128.load_splat<f64>(found);
  let longest = v128.load_splat<f64>(found, 8);
  let shortest2 = shortest;
  let longest2 = longest;
  const end = from + (fours << 5);
  for (let at = from; at < end; at += 32) {
    let two = f64x2.sub(v128.load(at, 8), v128.load(at));
    shortest = f64x2.pmin(shortest, two);
    longest = f64x2.pmax(longest, two);
    two = f64x2.sub(v128.load(at, 24), v128.load(at, 16));
    shortest2 = f64x2.pmin(shortest2, two);
    longest2 = f64x2.pmax(longest2, two);
  }
  shortest = f64x2.pmin(shortest, shortest2);
  longest = f64x2.pmax(longest, longest2);
  shortest = f64x2.pmin(shortest, v128.shuffle<f64>(shortest, shortest, 1, 0));
  longest = f64x2.pmax(longest, v128.shuffle<f64>(longest, longest, 1, 0));
  store<f64>(found, f64x2.extract_lane(shortest, 0));
  store<f64>(found, f64x2.extract_lane(longest, 0), 8);
}
