import { describe, expect, test } from "vitest";
import { figureCalibration } from "../mod.ts";

// Asserted against algebra: a cell that shows 2 % too much at every point errs by 2 % everywhere, with no scatter.

const even = [1000, 5000, 10_000, 20_000].map((appliedN) => ({ appliedN, indicatedN: appliedN * 1.02 }));
const places = (svg: string) =>
  [...svg.matchAll(/<circle class="point" cx="([\d.]+)" cy="([\d.]+)"/g)].map(([, x, y]) => [
    Number(x),
    Number(y),
  ]);

describe("the figure of a certificate", () => {
  test("a cell 2 % off everywhere: points and line lie on one height, each told in words", () => {
    const svg = figureCalibration({ points: even });
    const heights = new Set(places(svg).map(([, y]) => y));
    expect(places(svg).length).toBe(4);
    expect(heights.size).toBe(1);
    const line =
      /class="fit" d="M([^"]*)"/
        .exec(svg)?.[1]
        ?.split("L")
        .map((one) => Number(one.split(" ")[1])) ?? [];
    for (const y of line) expect(y).toBeCloseTo([...heights][0] ?? 0, 1);
    expect(svg).toContain("at 5.000 kN the cell showed +2.0 %");
  });

  test("points lie along at their applied force", () => {
    const xs = places(figureCalibration({ points: even })).map(([x]) => x ?? 0);
    const [a = 0, b = 0, c = 0, d = 0] = xs;
    expect((b - a) / (d - a)).toBeCloseTo(4 / 19, 3);
    expect((c - a) / (d - a)).toBeCloseTo(9 / 19, 3);
  });

  test("the accuracy class stands as a line on both sides", () => {
    const svg = figureCalibration({ points: even, accuracyClass: 1 });
    expect(svg.match(/class="class"/g)?.length).toBe(2);
    expect(svg).toContain("accuracy class 1: +1.0 %");
  });

  test("without points, and with points at or below zero only, it says so and no number is none", () => {
    for (const points of [[], [{ appliedN: 0, indicatedN: 3 }], [{ appliedN: -5, indicatedN: -5 }]]) {
      const svg = figureCalibration({ points });
      expect(svg).toContain("no points yet");
      expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    }
  });
});
