import { createRandom } from "../random/random.ts";
import { rowsOfBlocks, type Sorting, withinBlocks } from "./in-blocks.ts";
import type { Permutation } from "./permutation.ts";

/** Up to this many arrangements are all looked at: some ten milliseconds' work. */
const allOf = 300_000;

/**
 * The share of all ways to hand out the values among the levels, each block within itself, that set the levels at least as
 * far apart. Where there are too many ways, a random sample of them from the seed, with the observed one counted in.
 *
 * `far` answers how far apart the levels are from their sums of values less the block's mean; it must be 0 or more.
 * Source: E. S. Edgington, Randomization Tests (1995), on randomised blocks; B. Phipson and G. K. Smyth, Stat. Appl. Genet.
 * Mol. Biol. 9 (2010), for the count of the observed one.
 */
export function permuteLevels(about: {
  readonly values: readonly number[];
  readonly levels: Sorting;
  readonly blocks: Sorting;
  readonly far: (sums: Float64Array) => number;
  readonly resamples: number;
  readonly seed: number;
}): Permutation {
  const { levels, far } = about;
  const k = levels.names.length;
  const centred = withinBlocks(about.values, about.blocks);
  const blocks = rowsOfBlocks(about.blocks)
    .map((rows) => ({
      values: rows.map((i) => centred[i] as number),
      levels: rows.map((i) => levels.of[i] as number),
    }))
    .filter((block) => new Set(block.levels).size > 1);
  const sums = new Float64Array(k);
  const add = (level: number, value: number) => {
    sums[level] = (sums[level] as number) + value;
  };
  for (const block of blocks)
    for (const [i, value] of block.values.entries()) add(block.levels[i] as number, value);
  const limit = nearly(far(sums));
  sums.fill(0);
  const room = blocks.map((block) => {
    const counts = new Array<number>(k).fill(0);
    for (const level of block.levels) counts[level] = (counts[level] as number) + 1;
    return counts;
  });
  const ways = room.reduce((product, counts) => product * multinomial(counts), 1);
  let asFar = 0;
  if (ways <= allOf) {
    const visit = (b: number, i: number): void => {
      const block = blocks[b];
      if (block === undefined) {
        if (far(sums) >= limit) asFar += 1;
        return;
      }
      if (i === block.values.length) {
        visit(b + 1, 0);
        return;
      }
      const left = room[b] as number[];
      const value = block.values[i] as number;
      for (let level = 0; level < k; level++) {
        if (left[level] === 0) continue;
        left[level] = (left[level] as number) - 1;
        const before = sums[level] as number;
        sums[level] = before + value;
        visit(b, i + 1);
        sums[level] = before;
        left[level] = (left[level] as number) + 1;
      }
    };
    visit(0, 0);
    return { p: asFar / ways, exact: true, splits: ways };
  }
  const random = createRandom(about.seed);
  for (let draw = 0; draw < about.resamples; draw++) {
    sums.fill(0);
    for (const block of blocks)
      for (const [i, value] of random.shuffle(block.values).entries()) add(block.levels[i] as number, value);
    if (far(sums) >= limit) asFar += 1;
  }
  return { p: (asFar + 1) / (about.resamples + 1), exact: false, splits: about.resamples + 1 };
}

/**
 * The same for a slope: the share of all orders of the values, each block within itself, in which they go with `x` at least
 * as steeply, up or down.
 */
export function permuteSlope(about: {
  readonly values: readonly number[];
  readonly x: readonly number[];
  readonly blocks: Sorting;
  readonly resamples: number;
  readonly seed: number;
}): Permutation {
  const y = withinBlocks(about.values, about.blocks);
  const x = withinBlocks(about.x, about.blocks);
  const blocks = rowsOfBlocks(about.blocks)
    .filter((rows) => rows.length > 1)
    .map((rows) => ({ y: rows.map((i) => y[i] as number), x: rows.map((i) => x[i] as number) }));
  const along = (own: readonly number[], other: readonly number[]) =>
    own.reduce((total, value, i) => total + value * (other[i] as number), 0);
  const limit = nearly(Math.abs(blocks.reduce((total, block) => total + along(block.y, block.x), 0)));
  const ways = blocks.reduce((product, block) => product * factorial(block.y.length), 1);
  let asFar = 0;
  if (ways <= allOf) {
    const visit = (b: number, i: number, left: readonly number[], sum: number): void => {
      const block = blocks[b];
      if (block === undefined) {
        if (Math.abs(sum) >= limit) asFar += 1;
        return;
      }
      if (i === block.y.length) {
        visit(b + 1, 0, blocks[b + 1]?.x ?? [], sum);
        return;
      }
      for (const [j, place] of left.entries())
        visit(b, i + 1, left.toSpliced(j, 1), sum + place * (block.y[i] as number));
    };
    visit(0, 0, blocks[0]?.x ?? [], 0);
    return { p: asFar / ways, exact: true, splits: ways };
  }
  const random = createRandom(about.seed);
  for (let draw = 0; draw < about.resamples; draw++) {
    const sum = blocks.reduce((total, block) => total + along(random.shuffle(block.y), block.x), 0);
    if (Math.abs(sum) >= limit) asFar += 1;
  }
  return { p: (asFar + 1) / (about.resamples + 1), exact: false, splits: about.resamples + 1 };
}

/** How many ways there are to hand out values among levels, each block within itself. */
export function arrangements(levels: Sorting, blocks: Sorting): number {
  return rowsOfBlocks(blocks).reduce((product, rows) => {
    const counts = new Map<number, number>();
    for (const i of rows) counts.set(levels.of[i] as number, (counts.get(levels.of[i] as number) ?? 0) + 1);
    return product * multinomial([...counts.values()]);
  }, 1);
}

/** Sums in another order differ in their last digits; an arrangement as far as the observed one counts with it. */
function nearly(observed: number): number {
  return observed * (1 - 1e-9);
}

/** May be rounded or infinite where it is huge. */
function multinomial(counts: readonly number[]): number {
  let ways = 1;
  let n = 0;
  for (const count of counts)
    for (let i = 1; i <= count; i++) {
      n += 1;
      ways = Math.round((ways * n) / i);
    }
  return ways;
}

function factorial(n: number): number {
  let product = 1;
  for (let i = 2; i <= n; i++) product *= i;
  return product;
}
