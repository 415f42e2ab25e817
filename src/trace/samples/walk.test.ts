import fc from "fast-check";
import { expect, test } from "vitest";
import { type DropSpan, findDrops } from "../pull/drops.ts";
import { pyramidOf } from "./pyramid.ts";
import { firstAbove, firstAtOrBelow, firstOutside, highestIn, lastAtOrBelow } from "./walk.ts";

// Each search beside its plain twin, which looks at every value: on forces that stand, rise, fall and scatter.

const stretches = fc.array(
  fc.record({
    length: fc.integer({ min: 1, max: 900 }),
    slope: fc.constantFrom(0, 0, 1, 5, -5, -400),
    scatter: fc.constantFrom(0, 3, 40),
  }),
  { minLength: 1, maxLength: 14 },
);
const forces = fc.tuple(stretches, fc.integer()).map(([parts, seed]) => {
  const values: number[] = [];
  let level = 0;
  for (const { length, slope, scatter } of parts)
    for (let at = 0; at < length; at++) {
      const drawn = (Math.imul(values.length + 1, 2_654_435_761 + 2 * seed) >>> 8) % 1009;
      level = Math.max(-50, level + slope);
      values.push(level + Math.round((scatter * drawn) / 1009));
    }
  return Float64Array.from(values);
});
const within = (force: Float64Array, a: number, b: number) =>
  [a % (force.length + 1), b % (force.length + 1)].sort((x, y) => x - y) as [number, number];

function plainDrops(force: Float64Array, from: number, to: number, threshold: number): DropSpan[] {
  const drops: DropSpan[] = [];
  let highest = from;
  let lowest = -1;
  for (let at = from; at < to; at++) {
    const value = force[at] as number;
    if (lowest < 0) {
      if (value > (force[highest] as number)) highest = at;
      else if (value < (force[highest] as number) - threshold) lowest = at;
      continue;
    }
    if (value < (force[lowest] as number)) lowest = at;
    if (value <= (force[lowest] as number) + threshold) continue;
    drops.push({ fromIndex: highest, lowIndex: lowest });
    highest = at;
    lowest = -1;
  }
  if (lowest >= 0) drops.push({ fromIndex: highest, lowIndex: lowest });
  return drops;
}

test("values above, at or below a level, first and last, and the highest", () => {
  fc.assert(
    fc.property(forces, fc.nat(), fc.nat(), fc.integer({ min: -60, max: 5000 }), (force, a, b, level) => {
      const [from, to] = within(force, a, b);
      const places = Array.from({ length: to - from }, (_, at) => from + at);
      const above = (at: number) => (force[at] as number) > level;
      expect(firstAbove(force, level, from, to)).toBe(places.find(above) ?? to);
      expect(firstAtOrBelow(force, level, from, to)).toBe(places.find((at) => !above(at)) ?? to);
      const outside = (at: number) => (force[at] as number) < level || (force[at] as number) > level + 300;
      expect(firstOutside(force, pyramidOf(force), level, level + 300, from, to)).toBe(
        places.find(outside) ?? to,
      );
      expect(lastAtOrBelow(force, level, from, to)).toBe(places.findLast((at) => !above(at)) ?? from - 1);
      if (from < to)
        expect(highestIn(force, from, to)).toBe(
          from + force.subarray(from, to).indexOf(Math.max(...force.subarray(from, to))),
        );
    }),
    { numRuns: 150 },
  );
});

test("R-DROP: drops are those that a look at every sample finds", () => {
  fc.assert(
    fc.property(
      forces,
      fc.nat(),
      fc.nat(),
      fc.constantFrom(0, 2, 30, 200, 3000),
      (force, a, b, threshold) => {
        const [from, to] = within(force, a, b);
        expect(findDrops(force, from, to, threshold)).toEqual(plainDrops(force, from, to, threshold));
      },
    ),
    { numRuns: 150 },
  );
});
