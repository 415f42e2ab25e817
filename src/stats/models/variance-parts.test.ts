import { describe, expect, it } from "vitest";
import { createRandom } from "../random/random.ts";
import { codeOf } from "../test-data/agree.ts";
import { type VarianceParts, varianceParts } from "./variance-parts.ts";

function partsOf(input: Parameters<typeof varianceParts>[0]): VarianceParts {
  const answer = varianceParts(input);
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
  return answer.value;
}

function interval(parts: VarianceParts, at = 0): readonly [number, number] {
  const found = parts.parts[at]?.interval;
  if (found === undefined || !found.ok) throw new Error("an interval is wanted");
  return found.value;
}

// J. C. Pinheiro and D. M. Bates, Mixed-Effects Models in S and S-PLUS (2000), 1.1: travel times in six rails.
const travel = [55, 53, 54, 26, 37, 32, 78, 91, 85, 92, 100, 96, 49, 51, 50, 80, 85, 83];
const rail = travel.map((_, i) => `rail ${Math.floor(i / 3)}`);

// Two levels, four spools, three makers, all crossed; invented.
const crossed = [
  10.2, 11.1, 9.8, 12.5, 12.9, 11.7, 14.1, 13.6, 13.0, 9.1, 9.9, 8.7, 10.6, 11.3, 10.1, 12.2, 13.1, 11.9,
  13.9, 14.0, 12.8, 9.4, 9.7, 9.0,
];
const spool = crossed.map((_, i) => `s${Math.floor((i % 12) / 3)}`);
const maker = crossed.map((_, i) => `m${i % 3}`);
const level = crossed.map((_, i) => (i < 12 ? "a" : "b"));

describe("the parts of a scatter", () => {
  it("one kind: the rails, as printed (24.805 and 4.021) and as lme4 1.1-31 gives them", () => {
    const parts = partsOf({ values: travel, random: { rail } });
    // lmer(travel ~ 1 + (1 | rail)): the search stops within about 1e-7 of the best.
    expect(parts.parts[0]?.sd).toBeCloseTo(24.805465487, 4);
    expect(parts.rest.sd).toBeCloseTo(4.020779351, 6);
    expect(parts.remlCriterion).toBeCloseTo(122.177000809, 8);
  });

  it("two crossed kinds beside a fixed one: lme4 1.1-31, lmer(v ~ 0 + level + (1 | spool) + (1 | maker))", () => {
    const parts = partsOf({ values: crossed, cells: level, random: { spool, maker } });
    expect(parts.parts.map(({ sd }) => sd)).toEqual([
      expect.closeTo(1.8985937536, 5),
      expect.closeTo(0.5327031438, 5),
    ]);
    expect(parts.rest.sd).toBeCloseTo(0.2479327462, 6);
    expect(parts.remlCriterion).toBeCloseTo(30.9104127359, 8);
    expect(parts.parts.reduce((sum, { share }) => sum + share, parts.rest.share)).toBeCloseTo(1, 12);
  });

  it("the rest's interval by algebra: √(SSE/χ²) with 12 degrees of freedom, χ² = 4.404 and 23.337 of the printed tables", () => {
    const { interval: found } = partsOf({ values: travel, random: { rail } }).rest;
    // Within rails the squares add up to 194: six groups of three by hand.
    expect(found[0]).toBeCloseTo(Math.sqrt(194 / 23.337), 3);
    expect(found[1]).toBeCloseTo(Math.sqrt(194 / 4.404), 3);
  });

  it("one kind, all groups alike in size: the generalised interval found by drawing from the same pivot", () => {
    // SSA = 9310.5 and SSE = 194 by hand; the pivot is max(0, (SSA/χ²(5) − SSE/χ²(12))/3), drawn a million times.
    const random = createRandom(3);
    const chi = (df: number) => {
      let sum = 0;
      for (let i = 0; i < df; i++) sum += random.normal() ** 2;
      return sum;
    };
    const drawn = Array.from({ length: 60_000 }, () =>
      Math.sqrt(Math.max(0, (9310.5 / chi(5) - 194 / chi(12)) / 3)),
    ).sort((a, b) => a - b);
    const [low, high] = interval(partsOf({ values: travel, random: { rail } }));
    // The standard error of such quantiles from 60 000 draws is about 0.3 % and 1 %.
    expect(Math.abs(low / (drawn[1500] as number) - 1)).toBeLessThan(0.01);
    expect(Math.abs(high / (drawn[58_500] as number) - 1)).toBeLessThan(0.04);
  });

  it("a kind that another swallows has no interval, and says so", () => {
    // Each maker had a spool of his own: nothing tells them apart.
    const found = partsOf({
      values: travel,
      random: { spool: rail, maker: rail.map((name) => `of ${name}`) },
    });
    expect(found.parts.map((part) => codeOf(part.interval))).toEqual(["STAT_DEGENERATE", "STAT_DEGENERATE"]);
  });

  it("groups that do not differ come out as 0", () => {
    const found = partsOf({
      values: [1, 2, 3, 3, 1, 2, 2, 3, 1],
      random: { kind: ["a", "a", "a", "b", "b", "b", "c", "c", "c"] },
    });
    expect(found.parts[0]?.sd).toBe(0);
    expect(found.rest.share).toBe(1);
  });

  it("refuses one group, no kind, no scatter, too few", () => {
    const kind = ["a", "a", "b", "b"];
    expect(codeOf(varianceParts({ values: [1, 2, 3, 4], random: { kind: ["a", "a", "a", "a"] } }))).toBe(
      "STAT_TOO_FEW",
    );
    expect(codeOf(varianceParts({ values: [1, 2, 3, 4], random: {} }))).toBe("STAT_TOO_FEW");
    expect(codeOf(varianceParts({ values: [1, 1, 3, 3], random: { kind } }))).toBe("STAT_DEGENERATE");
    expect(
      codeOf(varianceParts({ values: [1, 2, 3, 4], cells: ["1", "2", "3", "4"], random: { kind } })),
    ).toBe("STAT_TOO_FEW");
  });
});
