import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { centresOfLoop, eyeRoundPin, loopRoundPins } from "./geometry.ts";

const length = fc.double({ min: 0.5, max: 500, noNaN: true });

/** The perimeter of the convex hull of many points on two circles: a second way to the same length. */
function hullPerimeter(circles: readonly { x: number; r: number }[]): number {
  const points = circles.flatMap(({ x, r }) =>
    Array.from({ length: 4000 }, (_, i) => {
      const angle = (2 * Math.PI * i) / 4000;
      return [x + r * Math.cos(angle), r * Math.sin(angle)] as const;
    }),
  );
  points.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const cross = (o: readonly number[], a: readonly number[], b: readonly number[]) =>
    ((a[0] ?? 0) - (o[0] ?? 0)) * ((b[1] ?? 0) - (o[1] ?? 0)) -
    ((a[1] ?? 0) - (o[1] ?? 0)) * ((b[0] ?? 0) - (o[0] ?? 0));
  const half = (list: readonly (readonly [number, number])[]) => {
    const hull: (readonly [number, number])[] = [];
    for (const point of list) {
      while (hull.length > 1 && cross(hull.at(-2) ?? point, hull.at(-1) ?? point, point) <= 0) hull.pop();
      hull.push(point);
    }
    return hull.slice(0, -1);
  };
  const hull = [...half(points), ...half([...points].reverse())];
  return hull.reduce((sum, point, i) => {
    const next = hull[(i + 1) % hull.length] ?? point;
    return sum + Math.hypot(next[0] - point[0], next[1] - point[1]);
  }, 0);
}

describe("a loop round two pins", () => {
  it("is two straights and two half circles for equal pins", () => {
    // By hand: 2 · 100 + π · (20 + 6).
    expect(loopRoundPins(100, { near: 20, far: 20, rope: 6 })).toBeCloseTo(200 + Math.PI * 26, 12);
  });

  it("is as long as the hull of both circles", () => {
    // The polygon of 4000 corners is shorter than its circle by about (2π/4000)²/24: 1e-7 of it.
    for (const [near, far, rope, centres] of [
      [20, 60, 6, 150],
      [5, 200, 10, 110],
      [0, 30, 4, 40],
    ] as const) {
      const hull = hullPerimeter([
        { x: 0, r: (near + rope) / 2 },
        { x: centres, r: (far + rope) / 2 },
      ]);
      expect(Math.abs(loopRoundPins(centres, { near, far, rope }) / hull - 1)).toBeLessThan(3e-7);
    }
  });

  it("gives its pins' distance back, also where one pin all but lies in the other", () => {
    fc.assert(
      fc.property(
        length,
        length,
        length,
        fc.double({ min: 1.0001, max: 100, noNaN: true }),
        (near, far, rope, times) => {
          const pins = { near, far, rope };
          const centres = (times * Math.max(Math.abs(near - far), 0.1)) / 2;
          const found = centresOfLoop(loopRoundPins(centres, pins), pins);
          // Near the tangent case the length hardly depends on the distance, and so loses digits of it.
          expect(Math.abs((found ?? 0) / centres - 1)).toBeLessThan(times > 1.05 ? 1e-9 : 1e-4);
        },
      ),
    );
  });

  it("has no distance for a loop that does not go round both", () => {
    expect(centresOfLoop(10, { near: 20, far: 20, rope: 6 })).toBeUndefined();
  });
});

describe("an eye round a pin", () => {
  it("is, by hand, two tangents and the arc between them", () => {
    // Pin 0, rope 10, inside 100: r = 5, h = 100; 2 √(10000 − 25) = 199.7498; acos 0.05 = 1.520775; 10 (π − 1.520775) = 16.2082.
    expect(eyeRoundPin(100, 0, 10)).toBeCloseTo(199.7498 + 16.2082, 3);
  });

  it("is as long as the hull of its circle and its throat", () => {
    const hull = hullPerimeter([
      { x: 0, r: (30 + 8) / 2 },
      { x: 120 - 15, r: 0 },
    ]);
    expect(Math.abs((eyeRoundPin(120, 30, 8) ?? 0) / hull - 1)).toBeLessThan(3e-7);
  });

  it("is none where the throat would lie within the bend", () => {
    expect(eyeRoundPin(34, 30, 8)).toBeUndefined();
  });
});
