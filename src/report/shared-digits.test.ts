import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { sharedDecimals, sharedForces, sharedPercents, toDecimals } from "./shared-digits.ts";

const measured = fc.record({
  value: fc.double({ min: -1e6, max: 1e6, noNaN: true }),
  uncertainty: fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
});

describe("the digits that a table shares", () => {
  test("GUM 7.2.6: a resistance of 10.057 62 with 0.027 is 10.058; beside it, one with 0.3 has as many", () => {
    // JCGM 100:2008, 7.2.6, rounds y = 10,057 62 ohm with u = 27 mohm to 10,058 ohm: two digits of u. This house keeps one
    // digit of it, two where it begins with 1, so 0.027 gives two decimals and 0.013 gives three.
    expect(sharedDecimals([[{ value: 10.05762, uncertainty: 0.027 }]])).toBe(2);
    expect(sharedDecimals([[{ value: 10.05762, uncertainty: 0.013 }]])).toBe(3);
    expect(
      sharedDecimals([
        [
          { value: 10.05762, uncertainty: 0.027 },
          { value: 12.1, uncertainty: 0.3 },
        ],
      ]),
    ).toBe(2);
  });

  test("two forces 40 N apart do not both read 31.2 kN", () => {
    const forces = sharedForces([[31_240, 31_200, 33_000].map((value) => ({ value, uncertainty: 300 }))]);
    expect([31_240, 31_200, 33_000].map((forceN) => forces(forceN).kN)).toEqual(["31.24", "31.20", "33.00"]);
    expect(forces(31_240).lbf).not.toBe(forces(31_200).lbf);
  });

  test("large numbers in small units are rounded to tens", () => {
    // 58.13 kN is 13068.1 lbf (NIST SP 811: 1 lbf = 4.448 221 615 260 5 N); 3 %, 1.7 kN or 392 lbf, leaves tenths of one and hundreds of the other.
    expect(sharedForces([[{ value: 58_130, uncertainty: 1744 }]])(58_130)).toEqual({
      kN: "58.1",
      lbf: "13100",
    });
  });

  test("whatever the column: different values never look equal, and all have the same digits", () => {
    fc.assert(
      fc.property(fc.array(measured, { minLength: 1, maxLength: 40 }), (column) => {
        const decimals = sharedDecimals([column]);
        const texts = new Map<string, number>();
        for (const { value } of column) {
          const text = toDecimals(value, decimals);
          const before = texts.get(text);
          if (before !== undefined)
            expect(Math.abs(before - value)).toBeLessThanOrEqual(
              1e-9 * Math.max(Math.abs(before), Math.abs(value), 1e-3),
            );
          texts.set(text, value);
          expect(text.split(".")[1]?.length ?? 0).toBe(Math.max(decimals, 0));
        }
      }),
      { numRuns: 300 },
    );
  });

  test("no number is rounded by more than half its own uncertainty", () => {
    fc.assert(
      fc.property(fc.array(measured, { minLength: 1, maxLength: 20 }), (column) => {
        const decimals = sharedDecimals([column]);
        // Half a unit of the last digit, which the house's rule keeps at or below the uncertainty's own first digit; 1e-9 for arithmetic.
        for (const { value, uncertainty } of column)
          expect(Math.abs(Number(toDecimals(value, decimals)) - value)).toBeLessThanOrEqual(
            uncertainty * 0.5 * 1.06 + 1e-9 * Math.abs(value),
          );
      }),
      { numRuns: 300 },
    );
  });

  test("without uncertainty or without a value something stands all the same", () => {
    expect(sharedDecimals([])).toBe(3);
    expect(sharedDecimals([[{ value: 2, uncertainty: 0 }]])).toBe(3);
    expect(sharedPercents([[{ value: 0.85321, uncertainty: 0.006 }]])(0.85321)).toBe("85.3 %");
  });
});
