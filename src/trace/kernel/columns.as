// The two passes that look at every sample of a recording, two at a time. A chunk of a column is copied in, what was found
// is copied out; column-kernel.ts knows the places.
const before: usize = 2040;
const chunk: usize = 2048;
const lows: usize = chunk + 8 * 8192;
const highs: usize = lows + 8 * 512;

/** The lowest and highest of each 16 values of the chunk. NaN is neither. */
export function extremes(stretches: usize): void {
  let at = chunk;
  for (let stretch: usize = 0; stretch < stretches; stretch++, at += 128) {
    let low = f64x2.splat(Infinity);
    let high = f64x2.splat(-Infinity);
    let low2 = low;
    let high2 = high;
    let two = v128.load(at);
    low = f64x2.pmin(low, two);
    high = f64x2.pmax(high, two);
    two = v128.load(at, 16);
    low2 = f64x2.pmin(low2, two);
    high2 = f64x2.pmax(high2, two);
    two = v128.load(at, 32);
    low = f64x2.pmin(low, two);
    high = f64x2.pmax(high, two);
    two = v128.load(at, 48);
    low2 = f64x2.pmin(low2, two);
    high2 = f64x2.pmax(high2, two);
    two = v128.load(at, 64);
    low = f64x2.pmin(low, two);
    high = f64x2.pmax(high, two);
    two = v128.load(at, 80);
    low2 = f64x2.pmin(low2, two);
    high2 = f64x2.pmax(high2, two);
    two = v128.load(at, 96);
    low = f64x2.pmin(low, two);
    high = f64x2.pmax(high, two);
    two = v128.load(at, 112);
    low2 = f64x2.pmin(low2, two);
    high2 = f64x2.pmax(high2, two);
    low = f64x2.pmin(low, low2);
    high = f64x2.pmax(high, high2);
    low = f64x2.pmin(low, v128.shuffle<f64>(low, low, 1, 0));
    high = f64x2.pmax(high, v128.shuffle<f64>(high, high, 1, 0));
    store<f64>(lows + (stretch << 3), f64x2.extract_lane(low, 0));
    store<f64>(highs + (stretch << 3), f64x2.extract_lane(high, 0));
  }
}

/** The shortest and longest step from value to value of the chunk, beginning with that from the value before it. */
export function steps(pairs: usize): void {
  let shortest = v128.load_splat<f64>(lows);
  let longest = v128.load_splat<f64>(highs);
  let shortest2 = shortest;
  let longest2 = longest;
  let at = before;
  const end = before + (pairs << 4);
  for (; at < end; at += 32) {
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
  store<f64>(lows, f64x2.extract_lane(shortest, 0));
  store<f64>(highs, f64x2.extract_lane(longest, 0));
}
