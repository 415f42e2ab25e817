import { expect, test } from "vitest";
import { coverMattered, kolmogorovDistance } from "./what-mattered.ts";

test("a short run: what is claimed at 95 % holds within four standard errors, but for predictions, which hold too seldom", () => {
  const { rows, pValues } = coverMattered(60, 7);
  for (const { name, made, covered } of rows) {
    if (name.startsWith("prediction")) continue;
    expect(covered / made, name).toBeGreaterThan(0.95 - 4 * Math.sqrt((0.95 * 0.05) / made));
  }
  // Kolmogorov's distance of 60 uniform values stays below 1.95/√60 in 999 of 1000 runs (the usual printed tables).
  expect(kolmogorovDistance(pValues)).toBeLessThan(1.95 / Math.sqrt(60));
});

test("the distance of evenly spread values is half a step, that of equal ones is all but 1", () => {
  expect(kolmogorovDistance([0.125, 0.375, 0.625, 0.875])).toBeCloseTo(0.125, 12);
  expect(kolmogorovDistance([0, 0, 0])).toBe(1);
});
