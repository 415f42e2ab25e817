import { expect, test } from "vitest";
import { drawRope, ropeTile } from "./mod.ts";

test("the tile of a rope is a period of the very braid that is drawn at length, and repeats without a seam", () => {
  const { paths, length } = ropeTile(40);
  const rope = drawRope({ length: 9 * length, width: 40, orientation: "upright" });
  /** Points of a drawing within one period, by their place in it; its rim is left out for rounding's sake. */
  const pointsOf = (drawing: string, from: number) =>
    [...drawing.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)]
      .map(([, x, y]) => [Number(x), Number(y) - from] as const)
      .filter(([, y]) => y > 0.1 && y < length - 0.1)
      .map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(0)}`)
      .toSorted();
  const tile = new Set(pointsOf(paths, 0));
  expect(tile.size).toBeGreaterThan(30);
  for (const period of [3, 5]) {
    const drawn = new Set(pointsOf(rope, period * length));
    // Rounded to two decimals at different heights, a few points fall on the other side of a half.
    const shared = [...tile].filter((point) => drawn.has(point)).length;
    expect(shared / tile.size).toBeGreaterThan(0.95);
    expect(drawn.size).toBeLessThan(tile.size * 1.05);
  }
});
