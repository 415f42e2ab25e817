import { expect, test } from "vitest";
import { fieldWords, figureWords, movedWords } from "./figure-words.ts";

test.each([
  ["deep.peak.valueN", 31_210, "31.2 kN"],
  ["restN", 12.4, "12.4 N"],
  ["loadingRateNPerS", 2000, "2.00 kN/s"],
  ["endS", 61.237, "61.24 s"],
  ["end", "collapse", "collapse"],
  ["peakRow", 812, "812"],
  ["deep.outcome.probabilities.broke", 0.931, "93.1 %"],
  ["warnings", "", "none"],
  ["deep.firstSlipN", undefined, "nothing"],
])("%s of %s is told as %s", (field, value, wanted) => {
  expect(figureWords(field, value)).toBe(wanted);
});

test("two values that look alike as rounded are told as far as they differ", () => {
  expect(movedWords("deep.peak.valueN", 31_210.2, 31_214.9)).toEqual(["31210 N", "31215 N"]);
  expect(movedWords("deep.peak.valueN", 31_210, 29_400)).toEqual(["31.2 kN", "29.4 kN"]);
  const [before, now] = movedWords("deep.energyToPeakJ", 1, 1 + 2 ** -52);
  expect(before).not.toBe(now);
});

test("a figure that no page shows keeps its path", () => {
  expect(fieldWords("deep.hold.fromRow")).toBe("hold, fromRow");
});
