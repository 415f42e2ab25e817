import { expect, test } from "vitest";
import { decimalsFor, forceText, percentText, toUncertainty } from "./rounding.ts";

// Each by hand: keep the first digit of the uncertainty, or its second where the first is 1.
test.each([
  [58.13, 0.58, "58.1"],
  [58.13, 0.131, "58.13"],
  [13057, 131, "13060"],
  [13057, 580, "13100"],
  [9.96, 0.3, "10.0"],
  [0.0312, 0.0098, "0.031"],
  [94.4, 3.3, "94"],
  [-0.04, 0.5, "0.0"],
  [-6.21, 0.4, "−6.2"],
  [100.6, 1.0, "100.6"],
])("%f with an uncertainty of %f is written %s", (value, uncertainty, text) => {
  expect(toUncertainty(value, uncertainty)).toBe(text);
});

test("an uncertainty that rounds up to the next power of ten is taken as that", () => {
  expect(decimalsFor(0.0999)).toBe(decimalsFor(0.1));
});

test("without an uncertainty three decimals stand", () => {
  expect([0, Number.NaN, Number.POSITIVE_INFINITY].map(decimalsFor)).toEqual([3, 3, 3]);
});

test("pounds-force stand beside, as exact as the kilonewtons: 44.482216 kN is 10000 lbf (NIST SP 811)", () => {
  expect(forceText(44_482.216, 400)).toBe("44.5 kN (10000 lbf)");
  expect(percentText(0.8234, 0.006)).toBe("82.3 %");
});
