import fc from "fast-check";
import { expect, test } from "vitest";
import { createRandom } from "../../stats/mod.ts";
import { clockResets, readClock } from "./clock.ts";
import { middleOf, mostValues, spreadOf, valuesAtParts } from "./middle.ts";
import { noiseOf, rippleOf } from "./noise.ts";

// The plain twin of each quick path sorts, or looks at every step by itself.

const count = 20_001;
const random = createRandom(44);
const kinds: readonly (readonly [string, (at: number) => number])[] = [
  ["normal", () => random.normal()],
  ["on coarse steps", () => Math.round(2 * random.normal())],
  ["nearly all equal", () => (random.uniform() < 0.001 ? random.normal() : 7)],
  ["all equal", () => -3.5],
  ["rising", (at) => at / 7],
  ["falling", (at) => -at],
  ["of two sizes, many orders apart", () => (random.uniform() < 0.5 ? 1e-9 : 1e9) * random.uniform()],
  [
    "that repeat with the stride at which some are looked at",
    (at) => (at % 15 === 0 ? 1e6 + at : random.normal()),
  ],
  [
    "around nothing, of either sign",
    (at) => (at % 3 === 0 ? -0 : at % 3 === 1 ? 0 : 1e-300 * random.normal()),
  ],
  [
    "with one that is no number's neighbour",
    (at) => (at === 77 ? Number.POSITIVE_INFINITY : random.normal()),
  ],
];

test.each(kinds)("values %s: any rank and the middle, as sorting has them; their order stays", (_, make) => {
  for (const size of [count, count + 1]) {
    const values = Float64Array.from({ length: size }, (__, at) => make(at));
    const before = values.slice();
    const sorted = values.toSorted();
    const half = size >> 1;
    for (const part of [0, 0.005, 0.01, 0.5, 0.995, 1, random.uniform()])
      expect(valuesAtParts(values, part)[0] === sorted[Math.floor(part * (size - 1))], `part ${part}`).toBe(
        true,
      );
    const middle =
      size % 2 === 1 ? sorted[half] : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2;
    expect(middleOf(size, (at) => values[at] as number) === middle).toBe(true);
    expect(values).toEqual(before);
  }
});

test("few values, and none", () => {
  expect(middleOf(0, () => 1)).toBeNaN();
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 1 }), (values) => {
      expect(middleOf(values.length, (at) => values[at] as number)).toBe(median(values));
    }),
  );
});

test.each([mostValues + 1, 100_000, 1_234_567, 10_000_000])(
  "R-MANY: of %i values those looked at are spread over all",
  (many) => {
    const seen = spreadOf(many, (at) => at);
    const runs = mostValues / 16;
    expect(seen.length).toBe(mostValues);
    for (let one = 0; one < runs; one++) {
      const from = seen[16 * one] as number;
      // Each run in its own part of them, and sixteen neighbours.
      expect(from >= Math.floor((one * (many - 16)) / runs) && from < ((one + 1) * (many - 16)) / runs).toBe(
        true,
      );
      expect((seen[16 * one + 15] as number) - from).toBe(15);
    }
    expect(seen.at(-1)).toBeLessThan(many);
  },
);

test("R-MANY: of many values the middle is near that of all, also where they swing with any rhythm", () => {
  const many = 600_000;
  const values = Float64Array.from({ length: many }, () => random.normal());
  const below = (value: number) => values.filter((one) => one < value).length / many;
  // Standard error of a share of one half: 1 / (2 √n); four of them.
  const near = 2 / Math.sqrt(mostValues);
  for (const part of [0.01, 0.5, 0.995])
    expect(Math.abs(below(valuesAtParts(values, part)[0]) - part)).toBeLessThan(near);
  for (const runs of [16, 64, 1024, 4096, 8192]) {
    const swing = (at: number) => Math.sin((2 * Math.PI * at * runs) / many);
    expect(Math.abs(middleOf(many, swing)), `${runs} swings`).toBeLessThan(0.05);
  }
});

test("R-NOISE: noise of a record of many samples is within 2 % of what all of them say", () => {
  const force = Float64Array.from({ length: 500_000 }, (_, at) => at / 50 + 3 * random.normal());
  expect(Math.abs(noiseOf(force) / 3 - 1)).toBeLessThan(0.02);
  expect(Math.abs(rippleOf(force) / 3 - 1)).toBeLessThan(0.02);
});

const median = (values: readonly number[]) => {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1
    ? (sorted[half] as number)
    : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2;
};

test("R-NOISE: noise and ripple of a long record are those of the formula on sorted differences", () => {
  const force = Float64Array.from(
    { length: count },
    (_, at) => at / 50 + Math.round(9 * random.normal()) / 4,
  );
  const steps = Array.from(force.subarray(1), (value, at) => value - (force[at] as number));
  const middle = median(steps);
  expect(noiseOf(force)).toBe((1.4826 * median(steps.map((step) => Math.abs(step - middle)))) / Math.SQRT2);
  const bends = Array.from(force.subarray(2), (value, at) =>
    Math.abs(value - 2 * (force[at + 1] as number) + (force[at] as number)),
  );
  expect(rippleOf(force)).toBe((1.4826 * median(bends)) / Math.sqrt(6));
});

/** A clock's faults by looking at every step, as rule R-CLOCK says them. */
function plainClock(fileS: Float64Array) {
  const steps = Array.from(fileS.subarray(1), (time, at) => time - (fileS[at] as number));
  const forward = steps.filter((step) => step > 1e-9);
  const repeated = steps.filter((step) => Math.abs(step) <= 1e-9).length;
  if (forward.length === 0) return { intervalS: 0, codes: [] };
  const usualS = median(forward);
  const batched = repeated >= 0.4 * steps.length;
  const near = forward.filter((step) => step < 3 * usualS).map((step) => step - usualS);
  const mean = near.reduce((sum, away) => sum + away, 0) / near.length;
  const square = near.reduce((sum, away) => sum + away ** 2, 0) / near.length;
  const jitter = Math.sqrt(Math.max(0, square - mean ** 2)) / usualS;
  return {
    intervalS: batched ? (usualS * forward.length) / steps.length : median(steps),
    codes: [
      ...(steps.some((step) => step >= 4 * usualS && step >= usualS + 0.05) ? ["READING_CLOCK_GAP"] : []),
      ...(repeated < 2 ? [] : [batched ? "READING_CLOCK_BATCHED" : "READING_CLOCK_REPEATED"]),
      ...(!batched && repeated < 2 && near.length >= 20 && jitter >= 0.15 ? ["READING_CLOCK_JITTER"] : []),
    ],
  };
}

test("R-CLOCK: what one pass says of a clock is what a look at every step says", () => {
  const oneStep = fc.oneof(
    { weight: 40, arbitrary: fc.constant(0.01) },
    { weight: 6, arbitrary: fc.double({ min: 0.005, max: 0.016, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(0, 0, 0.3, 2, -0.004, -0.5) },
  );
  const kind = fc.constantFrom("even", "mixed", "batched");
  fc.assert(
    fc.property(fc.array(oneStep, { minLength: 1, maxLength: 120 }), kind, (drawn, how) => {
      let at = 0;
      const fileS = Float64Array.from([0, ...drawn], (step, row) => {
        if (how !== "batched" || row % 8 === 0) at += how === "even" ? 0.01 : step;
        return at;
      });
      const { intervalS, warnings, resets } = readClock(fileS);
      const plain = plainClock(fileS);
      expect(warnings.map(({ code }) => code)).toEqual(plain.codes);
      expect(intervalS).toBe(plain.intervalS);
      expect(resets).toEqual(clockResets(fileS));
    }),
    { numRuns: 400 },
  );
});
