import { describe, expect, it } from "vitest";
import { createRandom, normalCdf } from "../../stats/mod.ts";
import { type DemoSplice, demoWorld, drawLatentStrengths, meanLatentStrengths } from "./latent-strengths.ts";
import { demoBuries, demoTaper } from "./loft.ts";

const splices: readonly DemoSplice[] = ["straight-bury eye", "crossed-tail loop"];
const squares = (scatters: object) =>
  Object.values(scatters).reduce((sum: number, s: number) => sum + s ** 2, 0);
const slipVariance = squares(demoWorld.slipScatter);
const breakVariance = squares(demoWorld.breakScatter);

function specimen(splice: DemoSplice, bury: number) {
  const diameterMm = 6;
  return {
    splice,
    lineStrengthN: 38_000,
    diameterMm,
    buryFullMm: bury * diameterMm,
    buryTaperMm: demoTaper * diameterMm,
  };
}

/** Independent specimens: each of a new maker and a new spool. */
function draws(splice: DemoSplice, bury: number, n: number, seed: number) {
  const random = createRandom(seed);
  const habits = () => ({ slip: random.normal(), break: random.normal() });
  return Array.from({ length: n }, () =>
    drawLatentStrengths({ ...specimen(splice, bury), maker: habits(), spool: habits() }, random),
  );
}

describe("latent strengths of the demo", () => {
  it("has the means of its model: a power law for slipping, a part of the line for breaking", () => {
    // 36 d and half of a 10 d taper are 41 d, where an eye slips at 0.84 of the line and a loop at 2 × 0.93.
    expect(meanLatentStrengths(specimen("straight-bury eye", 36)).slipN).toBeCloseTo(0.84 * 38_000, 6);
    expect(meanLatentStrengths(specimen("crossed-tail loop", 36)).slipN).toBeCloseTo(2 * 0.93 * 38_000, 6);
    const [short, long] = [24, 48].map((bury) => meanLatentStrengths(specimen("straight-bury eye", bury)));
    expect((long?.slipN ?? 0) / (short?.slipN ?? 1)).toBeCloseTo((53 / 29) ** 1.25, 9);
    expect(long?.breakN).toBe(short?.breakN);
  });

  it.each(splices)("scatters as stated about the stated means: %s", (splice) => {
    const n = 20_000;
    const drawn = draws(splice, 48, n, 1);
    const stated = meanLatentStrengths(specimen(splice, 48));
    for (const [key, variance] of [
      ["slipN", slipVariance],
      ["breakN", breakVariance],
    ] as const) {
      const values = drawn.map((strengths) => strengths[key]);
      const mean = values.reduce((sum, value) => sum + value, 0) / n;
      const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
      const cv = Math.sqrt(Math.exp(variance) - 1); // of a log-normal
      // Four standard errors: CV/√n of the mean; of the CV about CV/√(2n) · √(1 + 4 CV²) for a log-normal of small CV.
      expect(Math.abs(mean / stated[key] - 1)).toBeLessThan((4 * cv) / Math.sqrt(n));
      expect(Math.abs(sd / mean - cv)).toBeLessThan(
        ((4 * cv) / Math.sqrt(2 * n)) * Math.sqrt(1 + 4 * cv ** 2),
      );
    }
  });

  it.each(splices.flatMap((splice) => demoBuries.map((bury) => [splice, bury] as const)))(
    "slips before it breaks as often as two log-normals say: %s, %i d",
    (splice, bury) => {
      const n = 4000;
      const slipped = draws(splice, bury, n, 2).filter(({ slipN, breakN }) => slipN < breakN).length / n;
      const { slipN, breakN } = meanLatentStrengths(specimen(splice, bury));
      // ln S − ln B is normal: its mean is that of the medians' logarithms, its variance the sum of both.
      const meanDifference = Math.log(slipN / breakN) - slipVariance / 2 + breakVariance / 2;
      const expected = normalCdf(-meanDifference / Math.sqrt(slipVariance + breakVariance));
      const standardError = Math.sqrt((expected * (1 - expected)) / n);
      expect(Math.abs(slipped - expected)).toBeLessThan(4 * standardError + 2 / n);
    },
  );

  it("shows what the demo is to show: the shortest bury slips, the longest breaks, the second is mixed", () => {
    for (const splice of splices) {
      const [a = 0, b = 0, c = 0, d = 0] = demoBuries.map(
        (bury) => draws(splice, bury, 2000, 3).filter(({ slipN, breakN }) => slipN < breakN).length / 2000,
      );
      expect(a).toBeGreaterThan(0.9);
      expect(b).toBeGreaterThan(0.2);
      expect(b).toBeLessThan(0.8);
      expect(c).toBeLessThan(0.1);
      expect(d).toBe(0);
    }
  });
});
