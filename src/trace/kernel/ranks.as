// What is asked of thousands of values at once: their steps, how they bend, which of them would stand at a rank, what each
// block of them comes to. Values lie in this module's memory, from byte 16 on; rank-kernel.ts gives room there.

/** Room for the values of one question, and for an answer in blocks. */
export const memoryBytes: usize = 16 + 8 * (65536 + 16) + 8 * 4 * 4097;

/** Each value becomes its step to the next; the last stays. */
export function steps(at: usize, count: i32): void {
  const end = at + ((count - 1) << 3);
  for (; at < end; at += 8) store<f64>(at, load<f64>(at, 8) - load<f64>(at));
}

/** Each value becomes the second difference that begins with it; the last two stay. */
export function bends(at: usize, count: i32): void {
  const end = at + ((count - 2) << 3);
  for (; at < end; at += 8) store<f64>(at, load<f64>(at, 16) - 2 * load<f64>(at, 8) + load<f64>(at));
}

/** Each value becomes how far it lies from another. */
export function away(at: usize, count: i32, from: f64): void {
  const end = at + (count << 3);
  for (; at < end; at += 8) store<f64>(at, abs(load<f64>(at) - from));
}

/** Keeps the values above a limit, in order; how many they are. */
export function above(at: usize, count: i32, limit: f64): i32 {
  const end = at + (count << 3);
  let to = at;
  for (let from = at; from < end; from += 8) {
    const value = load<f64>(from);
    if (value > limit) {
      store<f64>(to, value);
      to += 8;
    }
  }
  return <i32>((to - at) >> 3);
}

/** Each value that lies further from 0 than a limit becomes that limit. */
export function clip(at: usize, count: i32, limit: f64): void {
  const end = at + (count << 3);
  for (; at < end; at += 8) store<f64>(at, max(-limit, min(limit, load<f64>(at))));
}

/** The sum of products of so many values with those some places behind them, in order. */
export function product(at: usize, count: i32, lag: i32): f64 {
  const end = at + (count << 3);
  const behind = lag << 3;
  let sum: f64 = 0;
  for (; at < end; at += 8) sum += load<f64>(at) * load<f64>(at + behind);
  return sum;
}

/** Whether nine in ten of the values up to 4.5 units lie within 0.12 of a unit of a multiple of it. */
export function multiples(at: usize, count: i32, unit: f64): bool {
  const end = at + (count << 3);
  let small = 0;
  let fits = 0;
  for (; at < end; at += 8) {
    const value = load<f64>(at);
    if (value > 4.5 * unit) continue;
    small++;
    const part = value / unit;
    if (abs(part - floor(part + 0.5)) < 0.12 && part > 0.5) fits++;
  }
  return <f64>fits >= 0.9 * <f64>small;
}

/**
 * Brings the value of a rank to its place, as selectRank in select.ts does, step by step. False where so many rounds do not
 * do: then the values have to be sorted.
 */
export function select(at: usize, count: i32, rank: i32, rounds: i32): bool {
  let left = 0;
  let right = count - 1;
  while (left < right) {
    if (rounds-- == 0) return false;
    const a = load<f64>(at + (left << 3));
    const b = load<f64>(at + (((left + right) >> 1) << 3));
    const c = load<f64>(at + (right << 3));
    const pivot = max(min(a, b), min(max(a, b), c));
    let low = left;
    let high = right;
    while (low <= high) {
      while (load<f64>(at + (low << 3)) < pivot) low++;
      while (load<f64>(at + (high << 3)) > pivot) high--;
      if (low > high) break;
      const kept = load<f64>(at + (low << 3));
      store<f64>(at + (low << 3), load<f64>(at + (high << 3)));
      store<f64>(at + (high << 3), kept);
      low++;
      high--;
    }
    if (rank <= high) right = high;
    else if (rank >= low) left = low;
    else break;
  }
  return true;
}

/**
 * Of each block of so many values: the lowest, the highest, the sum, and the sum of each value times its distance from the
 * block's middle; four columns at `to`. NaN is neither the lowest nor the highest.
 */
export function blocks(at: usize, size: i32, count: i32, to: usize): void {
  const column = count << 3;
  for (let block = 0; block < count; block++, to += 8) {
    let low: f64 = Infinity;
    let high: f64 = -Infinity;
    let sum: f64 = 0;
    let turned: f64 = 0;
    let away: f64 = -<f64>(size - 1) / 2;
    const end = at + (size << 3);
    for (; at < end; at += 8, away++) {
      const value = load<f64>(at);
      if (value < low) low = value;
      if (value > high) high = value;
      sum += value;
      turned += away * value;
    }
    store<f64>(to, low);
    store<f64>(to + column, high);
    store<f64>(to + 2 * column, sum);
    store<f64>(to + 3 * column, turned);
  }
}

/** The highest of some values. */
export function highest(at: usize, count: i32): f64 {
  const end = at + (count << 3);
  let found = load<f64>(at);
  for (; at < end; at += 8) found = max(found, load<f64>(at));
  return found;
}
