import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type PlannedPull, planPulls } from "./plan-pulls.ts";

const plan = (input: Parameters<typeof planPulls>[0]): readonly PlannedPull[] => {
  const answer = planPulls(input);
  if (!answer.ok) throw new Error(answer.problems[0]?.message);
  return answer.value;
};
const factor = (name: string, levels: readonly (string | number)[]) => ({
  name,
  unit: "",
  levels: [...levels],
});
const tally = (names: readonly string[]) => {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return counts;
};

describe("the order of pulling", () => {
  const drawn = fc.record({
    buries: fc.integer({ min: 1, max: 5 }),
    ropes: fc.integer({ min: 1, max: 3 }),
    pullsPerCell: fc.integer({ min: 1, max: 9 }),
    spools: fc.integer({ min: 1, max: 4 }),
    makers: fc.integer({ min: 1, max: 4 }),
    seed: fc.integer({ min: 0, max: 1e9 }),
  });

  test("each round pulls each cell once; in each cell spools and makers are used evenly, to one", () => {
    fc.assert(
      fc.property(drawn, ({ buries, ropes, pullsPerCell, spools, makers, seed }) => {
        const names = (letter: string, count: number) =>
          Array.from({ length: count }, (_, i) => `${letter}${i}`);
        const input = {
          factors: [factor("bury", names("b", buries)), factor("rope", names("r", ropes))],
          pullsPerCell,
          spools: names("s", spools),
          makers: names("m", makers),
          seed,
        };
        const pulls = plan(input);
        expect(pulls).toHaveLength(buries * ropes * pullsPerCell);
        expect(pulls.map(({ order }) => order)).toEqual(pulls.map((_, i) => i + 1));
        for (let block = 1; block <= pullsPerCell; block++) {
          const cells = pulls
            .filter((pull) => pull.block === block)
            .map(({ levels }) => JSON.stringify(levels));
          expect(new Set(cells).size).toBe(buries * ropes);
          expect(cells).toHaveLength(buries * ropes);
        }
        for (const cell of new Set(pulls.map(({ levels }) => JSON.stringify(levels)))) {
          const own = pulls.filter(({ levels }) => JSON.stringify(levels) === cell);
          for (const [kind, count] of [
            ["spool", spools],
            ["maker", makers],
          ] as const) {
            const counts = [...tally(own.map((pull) => pull[kind] ?? "")).values()];
            const least = counts.length < count ? 0 : Math.min(...counts);
            expect(Math.max(...counts) - least).toBeLessThanOrEqual(1);
          }
        }
        expect(plan(input)).toEqual(pulls);
      }),
      { numRuns: 60 },
    );
  });

  test("two spools and two makers over four rounds meet in all four pairs", () => {
    const pulls = plan({
      factors: [factor("bury", [24])],
      pullsPerCell: 4,
      spools: ["s1", "s2"],
      makers: ["m1", "m2"],
      seed: 3,
    });
    expect(new Set(pulls.map(({ spool, maker }) => `${spool} ${maker}`)).size).toBe(4);
  });

  test("over many seeds each cell comes first equally often", () => {
    // 2,400 draws over 4 cells: 600 expected, SD √(2400 · ¼ · ¾) = 21.2; five of these allowed.
    const first = tally(
      Array.from({ length: 2400 }, (_, seed) =>
        String(plan({ factors: [factor("bury", [1, 2, 3, 4])], pullsPerCell: 1, seed })[0]?.levels["bury"]),
      ),
    );
    for (const count of first.values()) expect(Math.abs(count - 600)).toBeLessThan(106);
  });

  test("a factor without levels, no pulls, and a plan beyond reach are refused", () => {
    expect(planPulls({ factors: [factor("bury", [])], pullsPerCell: 2, seed: 1 }).ok).toBe(false);
    expect(planPulls({ factors: [], pullsPerCell: 0, seed: 1 }).ok).toBe(false);
    const many = Array.from({ length: 10 }, (_, i) =>
      factor(
        `f${i}`,
        Array.from({ length: 50 }, (_, j) => j),
      ),
    );
    expect(planPulls({ factors: many, pullsPerCell: 1, seed: 1 }).ok).toBe(false);
  });
});
