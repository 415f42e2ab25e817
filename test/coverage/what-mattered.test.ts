import { expect, test } from "vitest";
import { coverMattered, coverPooling, kolmogorovDistance } from "./what-mattered.ts";

test("a short run: what is claimed at 95 % holds within four standard errors", () => {
  const { rows, pValues } = coverMattered(120, 7);
  for (const { name, made, covered } of rows) {
    expect(covered / made, name).toBeGreaterThan(0.95 - 4 * Math.sqrt((0.95 * 0.05) / made));
  }
  // Kolmogorov's distance of 120 uniform values stays below 1.95/√120 in 999 of 1000 runs (the usual printed tables).
  expect(kolmogorovDistance(pValues)).toBeLessThan(1.95 / Math.sqrt(120));
});

test("where the next series would lie holds as claimed, by Student’s t with few series it does not", () => {
  for (const { name, made, covered } of coverPooling(400, 7, [3])) {
    const four = 4 * Math.sqrt((0.95 * 0.05) / made);
    if (name === "next of 3 pooled series that scatter by 0.03, by Student’s t")
      expect(covered / made, name).toBeLessThan(0.95 - four);
    else if (!name.endsWith("Student’s t")) expect(covered / made, name).toBeGreaterThan(0.95 - four);
  }
});

test("the distance of evenly spread values is half a step, that of equal ones is all but 1", () => {
  expect(kolmogorovDistance([0.125, 0.375, 0.625, 0.875])).toBeCloseTo(0.125, 12);
  expect(kolmogorovDistance([0, 0, 0])).toBe(1);
});
