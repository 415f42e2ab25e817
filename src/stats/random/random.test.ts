import { describe, expect, it } from "vitest";
import { chiSquaredTails } from "../distributions/chi-squared.ts";
import { normalCdf } from "../distributions/normal.ts";
import { createRandom } from "./random.ts";

describe("createRandom", () => {
  it("gives the same numbers for the same seed, and others for another", () => {
    const first = createRandom(42);
    const again = createRandom(42);
    const other = createRandom(43);
    const drawn = Array.from({ length: 5 }, () => first.uniform());
    expect(Array.from({ length: 5 }, () => again.uniform())).toEqual(drawn);
    expect(Array.from({ length: 5 }, () => other.uniform())).not.toEqual(drawn);
    // Seeds that are no whole numbers differ as well.
    expect(createRandom(0.1).uniform()).not.toBe(createRandom(0.2).uniform());
  });

  it("is uniform and normal, by chi-squared over 20 classes", () => {
    const random = createRandom(2);
    const draws = 200_000;
    for (const share of [() => random.uniform(), () => normalCdf(random.normal())]) {
      const counts = new Array<number>(20).fill(0);
      for (let i = 0; i < draws; i++) {
        const place = Math.floor(share() * 20);
        counts[place] = (counts[place] as number) + 1;
      }
      const statistic = counts.reduce((sum, count) => sum + (count - draws / 20) ** 2 / (draws / 20), 0);
      // The seed is fixed, so this holds or fails for good; 0.001 on either side.
      const { lower, upper } = chiSquaredTails(statistic, 19);
      expect(Math.min(lower, upper)).toBeGreaterThan(0.001);
    }
  });

  it("shuffles every order equally often", () => {
    const random = createRandom(9);
    const seen = new Map<string, number>();
    for (let i = 0; i < 24_000; i++) {
      const order = random.shuffle(["a", "b", "c", "d"]).join("");
      seen.set(order, (seen.get(order) ?? 0) + 1);
    }
    expect(seen.size).toBe(24);
    const statistic = [...seen.values()].reduce((sum, count) => sum + (count - 1000) ** 2 / 1000, 0);
    expect(chiSquaredTails(statistic, 23).upper).toBeGreaterThan(0.001);
    const given = [1, 2, 3];
    random.shuffle(given);
    expect(given).toEqual([1, 2, 3]);
  });

  it("fills two lists with the normals that single calls give, and goes on from there", () => {
    const [lists, single] = [createRandom(4), createRandom(4)];
    const [one, other] = [new Float64Array(500), new Float64Array(500)];
    lists.fillNormals(one, other);
    for (let i = 0; i < one.length; i++)
      expect([one[i], other[i]]).toEqual([single.normal(), single.normal()]);
    expect(lists.uniform()).toBe(single.uniform());
  });

  it("fills a list from the same bits as single numbers, and goes on from there", () => {
    // Of 31 bits of two words each: a uniform number is the upper 27 bits of the first and 26 of the second over 2^53.
    const [list, single] = [createRandom(3), createRandom(3)];
    const filled = new Int32Array(400);
    list.fillBelow(filled, 2 ** 31);
    for (let i = 0; i < filled.length; i += 2) {
      const [first, second] = [filled[i] as number, filled[i + 1] as number];
      expect(single.uniform()).toBe(((first >>> 4) * 2 ** 26 + (second >>> 5)) / 2 ** 53);
    }
    expect(list.uniform()).toBe(single.uniform());
  });

  it("sums values drawn by the numbers that a list is filled with, to the last bit, and goes on from there", () => {
    const [summed, filled] = [createRandom(6), createRandom(6)];
    const values = Float64Array.from({ length: 30 }, () => Math.exp(filled.normal()));
    for (const _ of values) summed.normal();
    const sums = new Float64Array(100);
    summed.fillSums(sums, values, 45);
    const places = new Int32Array(45);
    for (const sum of sums) {
      filled.fillBelow(places, values.length);
      expect(sum).toBe(places.reduce((total, place) => total + (values[place] as number), 0));
    }
    expect(summed.uniform()).toBe(filled.uniform());
  });

  it.each([1, 2, 7, 30])("fills a list with numbers below %d, all alike likely", (n) => {
    const filled = new Int32Array(1000 * n);
    createRandom(8).fillBelow(filled, n);
    const counts = Array.from({ length: n }, (_, k) => filled.filter((value) => value === k).length);
    expect(counts.reduce((sum, count) => sum + count, 0)).toBe(filled.length);
    const statistic = counts.reduce((sum, count) => sum + (count - 1000) ** 2 / 1000, 0);
    if (n > 1) expect(chiSquaredTails(statistic, n - 1).upper).toBeGreaterThan(0.001);
  });

  it("draws whole numbers below a limit", () => {
    const random = createRandom(3);
    const drawn = new Set(Array.from({ length: 500 }, () => random.below(6)));
    expect([...drawn].sort()).toEqual([0, 1, 2, 3, 4, 5]);
  });
});
