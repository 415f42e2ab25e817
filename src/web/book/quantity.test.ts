import { expect, test } from "vitest";
import { measures, shownQuantity, trimmed, typedQuantity } from "./quantity.ts";

// Factors: NIST SP 811 (2008), appendix B: 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 lbf = 4.448 221 615 260 5 N.

test("what people type becomes what is stored", () => {
  const told = (text: string, measure: Parameters<typeof typedQuantity>[1]): number | undefined => {
    const answer = typedQuantity(text, measure, "field");
    return answer.ok ? answer.value : undefined;
  };
  expect(told("6", measures.mm)).toBe(6);
  expect(told("6 mm", measures.mm)).toBe(6);
  expect(told("1/4 in", measures.mm)).toBe(6.35);
  expect(told("2 ft", measures.mm)).toBe(609.6);
  expect(told("6,5", measures.mm)).toBe(6.5);
  expect(told("34", measures.force)).toBe(34_000);
  expect(told("7600 lbf", measures.force)).toBeCloseTo(7600 * 4.4482216152605, 6);
  expect(told("24.5", measures.gPerM)).toBe(24.5);
});

test("what cannot be read is refused at its field, with what was found", () => {
  const answer = typedQuantity("thick", measures.mm, "nominalDiameterMm");
  expect(answer.ok).toBe(false);
  if (answer.ok) return;
  expect(answer.problems[0]?.where?.field).toBe("nominalDiameterMm");
  const force = typedQuantity("6 mm", measures.force, "ratedStrengthN");
  expect(!force.ok && force.problems[0]?.code).toBe("UNIT_MISMATCH");
});

test("what is stored is shown as it would be typed, and reads back as the same", () => {
  for (const [value, measure, text] of [
    [6.35, measures.mm, "6.35 mm"],
    [34_000, measures.force, "34 kN"],
    [60, measures.m, "60 m"],
    [undefined, measures.mm, ""],
  ] as const) {
    expect(shownQuantity(value, measure)).toBe(text);
    if (value === undefined) continue;
    const back = typedQuantity(text, measure, "field");
    expect(back.ok && back.value).toBe(value);
  }
});

test("a whole number keeps its zeros", () => {
  expect(trimmed(100)).toBe("100");
  expect(trimmed(2.5)).toBe("2.5");
  expect(trimmed(0)).toBe("0");
});
