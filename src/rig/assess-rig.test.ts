import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  assessRig,
  chooseConnectors,
  type PullsOfCell,
  type RigFields,
  rigFields,
  rigForces,
} from "./mod.ts";

const cell: PullsOfCell = {
  seriesId: "ser-1",
  cell: "loop 6 mm",
  pullsN: [30_000, 32_000, 35_000, 31_000, 33_000],
  stopped: [false, false, false, false, false],
  simulated: false,
};
const loop = {
  name: "loop",
  kind: "connector",
  strength: { from: "pulls", seriesId: "ser-1", cell: "loop 6 mm" },
};
const ring = (ratedN: number) => ({
  name: "ring",
  kind: "hardware",
  strength: { from: "rating", ratedN, ratingMeans: "mean minus 3 SD", cv: 0.05, source: "its maker" },
});
const rig = (fields: object): RigFields =>
  rigFields.parse({
    name: "demo",
    load: { kind: "straight pull", loadN: 5000 },
    parts: [loop, ring(60_000)],
    ...fields,
  });
const assess = (fields: object, book: readonly PullsOfCell[] = [cell]) => {
  const answer = assessRig(rig(fields), book);
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
  return answer;
};

describe("a rig is assessed", () => {
  test("the stated strength is the tolerance bound by hand, and the margin its ratio to the force", () => {
    // Mean 32.2 kN, SD 1.923538 kN, k(5; 95/95) = 4.2027: 32.2 − 4.2027 · 1.923538 = 24.1159 kN; over 5 kN: 4.823.
    const { value } = assess({});
    expect(value.parts[0]?.statedN).toBeCloseTo(24_115.9, 0);
    expect(value.parts[0]?.margin).toBeCloseTo(4.8232, 3);
    expect(value.parts[1]?.margin).toBeCloseTo(12, 12);
    expect(value.parts[0]?.chanceFirst).toBeGreaterThan(0.95);
    expect(value.sentences.join(" ")).toContain("“loop” is the likeliest to give way first");
  });

  test("a lift's legs see the spread's factor, what is above them the load", () => {
    const { value } = assess({
      load: { kind: "lift", loadN: 8000, legs: 2, angleFromVerticalDeg: 60 },
      parts: [
        { ...loop, place: "in each leg" },
        { ...ring(60_000), place: "above the legs" },
      ],
    });
    expect(value.parts.map(({ force }) => Math.round(force.highN))).toEqual([8000, 8000]);
    const answer = assessRig(
      rig({ load: { kind: "lift", loadN: 8000, legs: 2, angleFromVerticalDeg: 60 } }),
      [cell],
    );
    expect(answer.ok ? [] : answer.problems.map(({ where }) => where?.field)).toEqual([
      "parts[0].place",
      "parts[1].place",
    ]);
  });

  test("a basket’s tighter leg and a choke’s noose count, each sling once, with what is not in them", () => {
    const parts = [
      { ...loop, place: "in each leg" },
      { ...ring(90_000), place: "above the legs" },
    ];
    const basket = assess({
      load: { kind: "basket", loadN: 10_000, slings: 2, includedAngleDeg: 0, frictionHigh: 0.1 },
      parts,
    }).value;
    // Each of two baskets holds 5 kN; upright legs share it as e^(0.1π) = 1.36911 to 1 (docs/methods/basket.md).
    expect(basket.parts[0]?.force.highN).toBeCloseTo((5000 * 1.36911) / 2.36911, 1);
    expect(basket.parts[1]?.force.highN).toBe(10_000);
    const two = assess({
      load: { kind: "straight pull", loadN: basket.parts[0]?.force.highN },
      parts: [{ ...loop, count: 2 }],
    });
    expect(basket.parts[0]?.chanceFails).toBeCloseTo(two.value.parts[0]?.chanceFails ?? 0, 9);
    const choke = assess({ load: { kind: "choke", loadN: 5000, chokeDeg: 60 }, parts }).value;
    expect(choke.parts[0]?.force.highN).toBeCloseTo(5000 * Math.sqrt(3), 6);
    expect(choke.sentences.join(" ")).toMatch(
      /75 % to 80 % of a straight pull .* 74 % of that at this angle/,
    );
    expect(choke.notConsidered.join(" ")).toContain("bends over its own body");
    expect(basket.notConsidered.join(" ")).toContain("rolls or tilts");
  });

  test("a long line of unknown stiffness gives a range of force, a fall likewise", () => {
    const line = rigForces(
      rig({
        load: {
          kind: "long line",
          spanM: 50,
          lengthM: 50,
          loadN: 800,
          stiffnessLowN: 1e5,
          stiffnessHighN: 3e5,
        },
      }).load,
    );
    const force = line.ok ? line.value.places["in the line"] : undefined;
    // A taut line pulls with the cube root of its stiffness: 3^(1/3) = 1.442 (small sag).
    expect((force?.highN ?? 0) / (force?.lowN ?? 1)).toBeCloseTo(Math.cbrt(3), 1);
    const fallen = rigForces(
      rig({
        load: {
          kind: "fall",
          weightN: 800,
          freeFallM: 2,
          stiffnessLowNPerM: 4000,
          stiffnessHighNPerM: 20_000,
        },
      }).load,
    );
    expect(fallen.ok && fallen.value.places["in the line"]?.lowN).toBeCloseTo(4466.060555964672, 6);
  });

  test("a bend that the pulls did not have, and turns, change what the part holds", () => {
    const bare = assess({}).value.parts[0]?.statedN ?? 0;
    const bent = assess({ parts: [{ ...loop, bendRetention: 0.7 }] }).value.parts[0]?.statedN ?? 0;
    const turned = assess({ parts: [{ ...loop, wraps: 2 }] }).value.parts[0]?.statedN ?? 0;
    expect(bent / bare).toBeCloseTo(0.7, 12);
    // Two turns: 3.142857 legs of four at worst (docs/methods/wraps.md), over the two legs of one turn.
    expect(turned / bare).toBeCloseTo(3.142857 / 2, 6);
  });

  test("a part whose strength nobody knows cannot be left out; nor one whose pulls are not in the book", () => {
    const unknown = assessRig(
      rig({ parts: [loop, { name: "tree", kind: "anchor", strength: { from: "nobody knows" } }] }),
      [cell],
    );
    expect(unknown.ok ? "" : unknown.problems[0]?.message).toContain("“tree”");
    expect(assessRig(rig({}), []).ok).toBe(false);
    expect(assessRig(rig({ parts: [] }), [cell]).ok).toBe(false);
    expect(assessRig(rig({ load: { kind: "straight pull", loadN: 0 } }), [cell]).ok).toBe(false);
  });

  test("two parts of one cell are two of one population, whether told apart or counted", () => {
    const apart = assess({ parts: [loop, { ...loop, name: "other loop" }] }).value;
    const counted = assess({ parts: [{ ...loop, count: 2 }] }).value;
    expect(apart.chanceAny).toBeCloseTo(counted.chanceAny ?? 0, 12);
    // Alike in all, each is the first to fail half of the time.
    expect(apart.parts.map(({ chanceFirst }) => chanceFirst?.toFixed(6))).toEqual(["0.500000", "0.500000"]);
  });

  test("a part in each leg is there as often as legs carry", () => {
    const parts = [{ ...loop, place: "in each leg" }];
    // Two legs at 60 degrees pull 8 kN each: the same as two loops one after the other under 8 kN.
    const legs = assess({ load: { kind: "lift", loadN: 8000, legs: 2, angleFromVerticalDeg: 60 }, parts });
    const chain = assess({ load: { kind: "straight pull", loadN: 8000 }, parts: [{ ...loop, count: 2 }] });
    expect(legs.value.chanceAny).toBeCloseTo(chain.value.chanceAny ?? 0, 12);
  });

  test("too few pulls are refused in the words of the part that rests on them", () => {
    const answer = assessRig(rig({}), [{ ...cell, pullsN: [30_000, 31_000], stopped: [false, false] }]);
    expect(answer.ok ? undefined : answer.problems[0]).toMatchObject({
      code: "STAT_TOO_FEW",
      message: expect.stringMatching(/^“loop”: /),
      where: { field: "parts[0].strength" },
    });
  });

  test("what is not in the numbers is said, people first of all; simulated pulls permit nothing", () => {
    expect(assess({}).value.notConsidered.at(-1)).toMatch(/People: .*licensed practice/);
    const { warnings } = assess({}, [{ ...cell, simulated: true }]);
    expect(warnings.map(({ code }) => code)).toContain("RIG_SIMULATED");
  });

  test("the factor asked for is met or not, part by part, and no sentence says safe", () => {
    expect(assess({ wantedFactor: 4 }).value.sentences.at(-1)).toContain("is met by every part");
    expect(assess({ wantedFactor: 7 }).value.sentences.at(-1)).toContain("is not met by “loop”");
    expect(assess({ wantedFactor: 7 }).value.sentences.join(" ")).not.toMatch(/\bsafe/i);
  });

  test("no sentence counts in powers of ten, however large or sure a figure is", () => {
    const heavy = assess({ load: { kind: "straight pull", loadN: 4_000_000 }, parts: [ring(60_000)] }).value;
    expect(heavy.sentences.join(" ")).toContain("The load of 4000 kN");
    expect(heavy.sentences.join(" ")).toContain("a chance of 100 %");
    const light = assess({ load: { kind: "straight pull", loadN: 20 }, parts: [ring(60_000)] }).value;
    expect(light.sentences.join(" ")).toContain("a factor of 3000");
    expect([...heavy.sentences, ...light.sentences].join(" ")).not.toMatch(/\de[+-]/);
  });

  test("a heavier load never raises a margin, a stronger part never lowers it", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 500, max: 40_000, noNaN: true }),
        fc.double({ min: 1.01, max: 3, noNaN: true }),
        (loadN, times) => {
          const at = (load: number, rated: number) =>
            assess({ load: { kind: "straight pull", loadN: load }, parts: [ring(rated)] }).value;
          const base = at(loadN, 50_000);
          expect(at(loadN * times, 50_000).parts[0]?.margin).toBeLessThan(base.parts[0]?.margin ?? 0);
          expect(at(loadN, 50_000 * times).parts[0]?.margin).toBeGreaterThan(base.parts[0]?.margin ?? 0);
          expect(at(loadN * times, 50_000).chanceAny ?? 0).toBeGreaterThanOrEqual(base.chanceAny ?? 1);
        },
      ),
      { numRuns: 20 },
    );
  });
});

describe("connectors are chosen", () => {
  const candidates = [
    { name: "thick", pullsN: cell.pullsN, massG: 120, diameterMm: 8 },
    { name: "thin", pullsN: cell.pullsN.map((force) => force / 2), massG: 40, diameterMm: 5 },
    { name: "two pulls", pullsN: [28_000, 33_000], massG: 1 },
  ];

  test("the fewest turns that reach the factor, lightest first, few pulls marked", () => {
    const answer = chooseConnectors({ loadN: 3500, factor: 5, pinDiameterMm: 20, candidates });
    const rows = answer.ok ? answer.value : [];
    // Thick: 24.116 / 3.5 = 6.9 with one turn; thin: 12.058 · 3.142857/2 = 18.95 / 3.5 = 5.4 with two.
    expect(rows.map(({ name, wraps, massG }) => [name, wraps, massG])).toEqual([
      ["thin", 2, 80],
      ["thick", 1, 120],
    ]);
    expect(rows[0]?.pinRatio).toBe(4);
    expect(rows[0]?.factor).toBeCloseTo(5.414, 2);
    expect(rows.every(({ fewPulls }) => !fewPulls)).toBe(true);
    const three = chooseConnectors({
      loadN: 100,
      factor: 5,
      candidates: [{ name: "3", pullsN: [30_000, 31_000, 32_000] }],
    });
    expect(three.ok && three.value[0]?.fewPulls).toBe(true);
  });

  test("none where no turns reach it; a factor below 1 is refused", () => {
    expect(chooseConnectors({ loadN: 1e6, factor: 5, candidates })).toMatchObject({ ok: true, value: [] });
    expect(chooseConnectors({ loadN: 5, factor: 0.5, candidates }).ok).toBe(false);
  });
});
