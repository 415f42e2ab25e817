import fc from "fast-check";
import { expect, it } from "vitest";
import { medianIn, select } from "./select.ts";

// Sorting puts −0 before 0; they are one number, and either may stand at a place of theirs.
const double = fc.double({ noNaN: true }).map((value) => value + 0);
const lists = fc.array(fc.oneof(fc.integer({ min: 0, max: 5 }), double), { minLength: 1, maxLength: 60 });

it("finds what sorting puts at a place, ties and all", () => {
  fc.assert(
    fc.property(lists, fc.nat(), (list, any) => {
      const place = any % list.length;
      expect(select(Float64Array.from(list), place)).toEqual(Float64Array.from(list).sort()[place]);
    }),
  );
});

it("finds the median", () => {
  fc.assert(
    fc.property(fc.array(fc.integer(), { minLength: 1, maxLength: 40 }), (list) => {
      const ordered = list.toSorted((a, b) => a - b);
      const at = (place: number) => ordered[Math.floor(place)] as number;
      expect(medianIn(Float64Array.from(list))).toBe((at((list.length - 1) / 2) + at(list.length / 2)) / 2);
    }),
  );
});
