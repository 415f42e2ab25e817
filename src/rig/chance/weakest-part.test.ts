import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { normalCdf, studentTCdf } from "../../stats/mod.ts";
import { type ChancePart, weakestPart } from "../mod.ts";

const pullsN = [30_000, 32_000, 35_000, 31_000];
const loop = { name: "loop", pullsN };
const value = (input: Parameters<typeof weakestPart>[0]) => {
  const answer = weakestPart(input);
  if (!answer.ok) throw new Error(answer.problems[0]?.message);
  return answer.value;
};

describe("weakest-part", () => {
  test("one connector alone: the t of a prediction on logarithms", () => {
    const logs = pullsN.map(Math.log);
    const mean = logs.reduce((sum, one) => sum + one, 0) / 4;
    const sd = Math.sqrt(logs.reduce((sum, one) => sum + (one - mean) ** 2, 0) / 3);
    for (const loadN of [15_000, 25_000, 31_000]) {
      const { chanceAny } = value({ loadN, populations: [loop], parts: [{ name: "a", population: "loop" }] });
      const wanted = studentTCdf((Math.log(loadN) - mean) / (sd * Math.sqrt(1.25)), 3);
      expect(chanceAny / wanted).toBeCloseTo(1, 7);
    }
  });

  test("twelve of one population in line, one more with half the load, and a rated part: against R", () => {
    // R 4.2.2: nested integrate() over λ = ln(σ/s) and z of dnorm(z) · pnorm(…, lower = FALSE)^12 · pnorm(…), times the
    // rated part's own pnorm: 0.0252323598 (rel.tol 1e-9).
    const { chanceAny } = value({
      loadN: 20_000,
      populations: [loop],
      parts: [
        { name: "loops", population: "loop", count: 12 },
        { name: "half", population: "loop", share: 0.5 },
        { name: "shackle", ratedN: 40_000, ratingMeans: "mean", cv: 0.08 },
      ],
    });
    expect(chanceAny).toBeCloseTo(0.0252323598, 8);
  });

  test("two rated parts: first to fail by the difference of two normals", () => {
    // ln X − ln Y is normal, so P(X < Y) = Φ((μy − μx) / √(σx² + σy²)).
    const parts: ChancePart[] = [
      { name: "x", ratedN: 30_000, ratingMeans: "mean", cv: 0.05 },
      { name: "y", ratedN: 32_000, ratingMeans: "mean", cv: 0.1 },
    ];
    const [sx, sy] = [Math.sqrt(Math.log1p(0.0025)), Math.sqrt(Math.log1p(0.01))];
    const gap = Math.log(32_000) - (sy * sy) / 2 - (Math.log(30_000) - (sx * sx) / 2);
    const [x, y] = value({ loadN: 10_000, parts }).parts;
    expect(x?.chanceFirst).toBeCloseTo(normalCdf(gap / Math.hypot(sx, sy)), 7);
    expect((x?.chanceFirst ?? 0) + (y?.chanceFirst ?? 0)).toBeCloseTo(1, 12);
  });

  test("a pulled connector against a rated part: first to fail against R", () => {
    // R 4.2.2: integrate(pt((y − m) / (s √1.25), 3) · dnorm(y, my, sy)) over y, with x the logarithms of the pulls and
    // sy = √log1p(0.08²), my = log 38000 − sy²/2: 0.907926670431804 (rel.tol 1e-12).
    const { parts } = value({
      loadN: 10_000,
      populations: [loop],
      parts: [
        { name: "loop", population: "loop" },
        { name: "ring", ratedN: 38_000, ratingMeans: "mean", cv: 0.08 },
      ],
    });
    expect(parts[0]?.chanceFirst).toBeCloseTo(0.907926670431804, 6);
    expect((parts[0]?.chanceFirst ?? 0) + (parts[1]?.chanceFirst ?? 0)).toBeCloseTo(1, 12);
  });

  test("ten links of 5 % scatter: the median of the weakest by algebra", () => {
    // P(none of ten fails) = 1/2 where each holds with 2^(−1/10).
    const parts: ChancePart[] = [{ name: "link", ratedN: 10_000, ratingMeans: "mean", cv: 0.05, count: 10 }];
    const sd = Math.sqrt(Math.log1p(0.0025));
    const { chanceAny } = value({ loadN: 9_200, parts });
    const each = normalCdf((Math.log(0.92) + (sd * sd) / 2) / sd);
    expect(chanceAny).toBeCloseTo(1 - (1 - each) ** 10, 10);
  });

  test("stopped pulls count as having held: a stopped pull above the others makes failing less likely", () => {
    const parts: ChancePart[] = [{ name: "a", population: "loop" }];
    const ended = value({ loadN: 25_000, populations: [loop], parts }).chanceAny;
    const held = { name: "loop", pullsN: [...pullsN, 33_000], stopped: [false, false, false, false, true] };
    const counted = { name: "loop", pullsN: [...pullsN, 33_000] };
    const withHeld = value({ loadN: 25_000, populations: [held], parts }).chanceAny;
    expect(withHeld).toBeLessThan(ended);
    // To count it as broken there would claim to know the scatter better than it does.
    expect(value({ loadN: 25_000, populations: [counted], parts }).chanceAny).toBeLessThan(withHeld);
  });

  test("the load at a chance is the load of that chance, and a tenth of strength on the only part is a tenth of load", () => {
    const parts: ChancePart[] = [{ name: "a", population: "loop" }];
    const { loadAtChanceN, parts: told } = value({ loadN: 9_000, chance: 0.01, populations: [loop], parts });
    expect(value({ loadN: loadAtChanceN, populations: [loop], parts }).chanceAny).toBeCloseTo(0.01, 10);
    expect(told[0]?.gain).toBeCloseTo(0.1, 10);
  });

  test("a heavier load never lowers the chance, a stronger part never raises it, and units do not matter", () => {
    const draw = fc.record({
      loadN: fc.double({ min: 1_000, max: 60_000, noNaN: true }),
      ratedN: fc.double({ min: 20_000, max: 90_000, noNaN: true }),
      share: fc.double({ min: 0.2, max: 2, noNaN: true }),
      scale: fc.double({ min: 0.1, max: 10, noNaN: true }),
    });
    fc.assert(
      fc.property(draw, ({ loadN, ratedN, share, scale }) => {
        const at = (load: number, rated: number, times = 1) =>
          value({
            loadN: load * times,
            populations: [{ name: "loop", pullsN: pullsN.map((one) => one * times) }],
            parts: [
              { name: "a", population: "loop" },
              { name: "b", ratedN: rated * times, share, ratingMeans: "mean", cv: 0.06 },
            ],
          }).chanceAny;
        const chance = at(loadN, ratedN);
        expect(at(loadN * 1.05, ratedN)).toBeGreaterThanOrEqual(chance);
        expect(at(loadN, ratedN * 1.05)).toBeLessThanOrEqual(chance);
        expect(at(loadN, ratedN, scale)).toBeCloseTo(chance, 9);
      }),
      { numRuns: 5 },
    );
  });

  test("what cannot be answered is refused by its field", () => {
    const fields = (input: Parameters<typeof weakestPart>[0]) => {
      const answer = weakestPart(input);
      return answer.ok ? [] : answer.problems.map(({ where }) => where?.field);
    };
    expect(fields({ loadN: 1000, parts: [] })).toEqual(["parts"]);
    expect(fields({ loadN: 1000, parts: [{ name: "ring" }] })).toEqual(["parts[0].ratedN"]);
    expect(fields({ loadN: -5, parts: [{ name: "ring", ratedN: 1 }] })).toEqual(["loadN"]);
    expect(fields({ loadN: 5, chance: 0.9, parts: [{ name: "ring", ratedN: 1 }] })).toEqual(["chance"]);
    expect(fields({ loadN: 5, parts: [{ name: "ring", population: "none" }] })).toEqual([
      "parts[0].population",
    ]);
    const few = { name: "loop", pullsN: [1, 2] };
    expect(fields({ loadN: 5, populations: [few], parts: [{ name: "a", population: "loop" }] })).toEqual([
      "populations[0].pullsN",
    ]);
    const equal = { name: "loop", pullsN: [5, 5, 5] };
    expect(fields({ loadN: 5, populations: [equal], parts: [{ name: "a", population: "loop" }] })).toEqual([
      "populations[0].pullsN",
    ]);
  });

  test("a rating without its meaning or scatter says what was assumed", () => {
    const answer = weakestPart({ loadN: 5, parts: [{ name: "ring", ratedN: 100 }] });
    expect(answer.ok && answer.warnings.map(({ code }) => code)).toEqual(["RIG_RATING", "RIG_RATING"]);
  });
});
