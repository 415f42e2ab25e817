import { expect, test } from "vitest";
import { createRandom } from "../../stats/mod.ts";
import { createFitter, type Sample } from "./fitter.ts";
import { readInput } from "./sample.ts";
import { inventedPulls } from "./test-pulls.ts";

function sampleOf(): Sample {
  const read = readInput({ pulls: inventedPulls() });
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value.sample;
}

/** The same pulls with a covariate that is 0 in all: they go through the plain loop over all pulls. */
function plainTwin(sample: Sample): Sample {
  const nothing = new Float64Array(sample.n);
  return { ...sample, slipBy: [nothing], breakBy: [nothing] };
}

const near = (got: number, wanted: number) =>
  expect(Math.abs(got - wanted)).toBeLessThanOrEqual(1e-10 * (1 + Math.abs(wanted)));

test("gathered bury by bury, height and derivatives are those of the loop over all pulls", () => {
  const random = createRandom(8);
  const sample = sampleOf();
  const [gathered, plain] = [createFitter(sample), createFitter(plainTwin(sample))];
  for (let round = 0; round < 200; round++) {
    // Outcomes and strengths drawn anew, as in refits: some buries have no slips, some nothing else.
    for (let i = 0; i < sample.n; i++) {
      sample.kind[i] = random.below(3);
      sample.y[i] = -0.3 + 0.3 * random.normal();
    }
    gathered.read();
    const growth = round % 2 === 0 ? "exponential" : "linear";
    for (const fitter of [gathered, plain]) fitter.setGrowth(growth);
    const slip = [-0.6 + random.normal(), 2 * random.uniform(), Math.log(0.03 + 0.4 * random.uniform())];
    const rope = [-0.1 + 0.4 * random.normal(), Math.log(0.03 + 0.4 * random.uniform())];
    for (const [one, other, at] of [
      [gathered.slipHill, plain.slipHill, slip],
      [gathered.breakHill, plain.breakHill, rope],
    ] as const) {
      near(one.climb(Float64Array.from(at), true), other.climb(Float64Array.of(...at, 0), true));
      for (let i = 0; i < one.size; i++) {
        near(one.gradient[i] as number, other.gradient[i] as number);
        for (let j = 0; j <= i; j++)
          near(one.second[i * one.size + j] as number, other.second[i * other.size + j] as number);
      }
    }
  }
});

test("a top found by the last step foreseen is the top found by steps to the end", () => {
  const sample = sampleOf();
  const { fitSlip, fitBreak } = createFitter(sample);
  for (const growth of ["exponential", "linear"] as const) {
    const [early, late] = [Float64Array.of(-0.5, 0.6, -2), Float64Array.of(-0.5, 0.6, -2)];
    const [height, highest] = [fitSlip(growth, early, 1e-5), fitSlip(growth, late, 1e-18)];
    // A gain of 1e-5 is a step of 0.0045 standard errors; what the parabola leaves is about its cube.
    expect(Math.abs(height - highest)).toBeLessThan(1e-6);
    for (let i = 0; i < early.length; i++)
      expect(Math.abs((early[i] as number) - (late[i] as number))).toBeLessThan(1e-3);
  }
  const [early, late] = [Float64Array.of(-0.1, -3), Float64Array.of(-0.1, -3)];
  expect(Math.abs(fitBreak(early, 1e-5) - fitBreak(late, 1e-18))).toBeLessThan(1e-6);
});
