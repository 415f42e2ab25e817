import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { solveProgram } from "../app/node/solve-program.ts";
import {
  type CutWanted,
  type NestOptions,
  nestByBestFit,
  nestingProgram,
  type SpoolAtHand,
} from "./nest-cuts.ts";
import { restOfSpool } from "./spool-rest.ts";

const plain: NestOptions = { usableMm: 0, lossMm: 0, balanced: false };
const cutsOf = (lengths: readonly number[], groups: readonly string[] = []): CutWanted[] =>
  lengths.map((lengthMm, i) => ({
    id: String(i),
    lengthMm,
    ...(groups[i] === undefined ? {} : { group: groups[i] }),
  }));
const spoolsOf = (lengths: readonly number[]): SpoolAtHand[] =>
  lengths.map((leftMm, i) => ({ id: `S${i}`, leftMm }));

/** Every way of sharing the cuts out, tried: the least of waste and opened spools, or undefined. */
function bruteForce(
  spools: readonly SpoolAtHand[],
  cuts: readonly CutWanted[],
  options: NestOptions,
): number | undefined {
  let best: number | undefined;
  const ways = spools.length ** cuts.length;
  for (let way = 0; way < ways; way++) {
    const left = spools.map(({ leftMm }) => leftMm);
    const taken = spools.map(() => 0);
    const ofGroup = new Map<string, number[]>();
    let rest = way;
    for (const { lengthMm, group = "" } of cuts) {
      const s = rest % spools.length;
      rest = Math.floor(rest / spools.length);
      left[s] = (left[s] as number) - lengthMm - options.lossMm;
      taken[s] = (taken[s] as number) + 1;
      const counts = ofGroup.get(group) ?? spools.map(() => 0);
      counts[s] = (counts[s] as number) + 1;
      ofGroup.set(group, counts);
    }
    if (left.some((room) => room < 0)) continue;
    if (
      options.balanced &&
      [...ofGroup.values()].some((counts) => Math.max(...counts) - Math.min(...counts) > 1)
    )
      continue;
    const score = left.reduce(
      (sum, room, s) => sum + ((taken[s] as number) > 0 ? 1 + (room < options.usableMm ? room : 0) : 0),
      0,
    );
    if (best === undefined || score < best) best = score;
  }
  return best;
}

describe("nesting cuts on spools", () => {
  it("as a whole-number program finds the least waste, as trying every way does", async () => {
    let solved = 0;
    let refused = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.integer({ min: 300, max: 3000 }), { minLength: 1, maxLength: 3 }),
        fc.array(
          fc.integer({ min: 2, max: 9 }).map((n) => n * 100),
          { minLength: 1, maxLength: 6 },
        ),
        fc.array(fc.constantFrom("a", "b"), { minLength: 6, maxLength: 6 }),
        fc.record({
          usableMm: fc.integer({ min: 0, max: 900 }),
          lossMm: fc.constantFrom(0, 10),
          balanced: fc.boolean(),
        }),
        async (rooms, lengths, groups, options) => {
          const [spools, cuts] = [spoolsOf(rooms), cutsOf(lengths, groups)];
          const truth = bruteForce(spools, cuts, options);
          const program = nestingProgram(spools, cuts, options);
          const found = program.ok ? await solveProgram(program.value.text) : undefined;
          if (truth === undefined) {
            refused += 1;
            expect(found === undefined || found.status === "impossible").toBe(true);
            return;
          }
          if (!program.ok || found?.status !== "best") throw new Error("refused what can be done");
          const plan = program.value.read(found.values);
          expect(plan.wasteMm + plan.opened).toBeCloseTo(truth, 6);
          expect(plan.spools.flatMap(({ cuts }) => cuts.map(({ id }) => id)).toSorted()).toEqual(
            cuts.map(({ id }) => id).toSorted(),
          );
          // Taking the longest first never does better, nor worse than its own bound says.
          const quick = nestByBestFit(spools, cuts, options);
          if (quick.ok) {
            expect(quick.value.wasteMm + quick.value.opened).toBeGreaterThanOrEqual(truth - 1e-9);
            expect(quick.value.boundMm).toBeLessThanOrEqual(plan.wasteMm + 1e-9);
            // The plan of least waste may open a spool more than another; none opens fewer than this.
            expect(quick.value.fewest).toBeLessThanOrEqual(plan.opened);
          }
          solved += 1;
        },
      ),
      { numRuns: 40 },
    );
    expect(solved).toBeGreaterThan(10);
    expect(refused).toBeGreaterThan(3);
  }, 60_000);

  it("by the longest first gives every spool its share as well: of four on three, none goes without", () => {
    const plan = nestByBestFit(
      spoolsOf([600, 1000, 300]),
      cutsOf([400, 200, 200, 400], ["b", "b", "b", "b"]),
      {
        ...plain,
        balanced: true,
      },
    );
    expect(plan.ok && plan.value.spools.map(({ cuts }) => cuts.length).toSorted()).toEqual([1, 1, 2]);
  });

  it("by the longest first leaves least on each spool, by hand", () => {
    const plan = nestByBestFit(spoolsOf([1000, 700]), cutsOf([300, 600, 700]), plain);
    if (!plan.ok) throw new Error(JSON.stringify(plan.problems));
    expect(
      plan.value.spools.map(({ cuts, remnantMm }) => [cuts.map(({ lengthMm }) => lengthMm), remnantMm]),
    ).toEqual([
      [[600, 300], 100],
      [[700], 0],
    ]);
  });

  it("says without a solver what no plan can undercut, by hand", () => {
    // 66 cuts of 0.3 m from 2 spools of 10 m: 0.2 m to spare, too short to be used, and neither spool can stay closed.
    const usable = { ...plain, usableMm: 1000 };
    const tight = nestByBestFit(spoolsOf([10_000, 10_000]), cutsOf(Array(66).fill(300)), usable);
    expect(tight).toMatchObject({
      value: { wasteMm: 200, boundMm: 200, opened: 2, fewest: 2, proven: true },
    });
    // With a third spool what is to spare could all stay on it: nothing need be wasted, and 19.8 m still take two.
    const loose = nestByBestFit(spoolsOf([10_000, 10_000, 5000]), cutsOf(Array(66).fill(300)), usable);
    expect(loose).toMatchObject({ value: { boundMm: 0, fewest: 2 } });
  });

  it("refuses what cannot be cut and says how much is wanting", () => {
    expect(nestByBestFit(spoolsOf([1000]), cutsOf([600, 700]), plain)).toMatchObject({
      problems: [
        { code: "SPLICE_SPOOLS", found: "1.00 m", wayOut: "Add a spool with at least 0.30 m, or cut fewer." },
      ],
    });
    expect(nestByBestFit(spoolsOf([500, 500]), cutsOf([600]), plain)).toMatchObject({
      problems: [{ code: "SPLICE_SPOOLS", expected: "room for a cut of 0.60 m" }],
    });
    expect(nestingProgram(spoolsOf([500]), cutsOf([0]), plain)).toMatchObject({
      problems: [{ code: "SPLICE_LENGTH" }],
    });
  });
});

it("what is left of a spool, its mass and price, by hand", () => {
  // 50 − 1.75 − 1.25 − 2 = 45 m; at 20 g/m 0.9 kg; at 3 a metre 135.
  expect(
    restOfSpool({ lengthM: 50, otherUseM: 2, pricePerM: 3 }, { massPerLengthGPerM: 20 }, [
      1750,
      1250,
      undefined,
    ]),
  ).toEqual({
    cuts: 2,
    unmeasured: 1,
    cutM: 3,
    otherUseM: 2,
    leftM: 45,
    leftKg: 0.9,
    leftCost: 135,
  });
  expect(restOfSpool({ otherUseM: 0 }, undefined, [])).toEqual({
    cuts: 0,
    unmeasured: 0,
    cutM: 0,
    otherUseM: 0,
  });
});
