import { describe, expect, test } from "vitest";
import type { DrawnPull, PeakEstimate, Slip } from "../../src/trace/mod.ts";
import { judgeBoundaries, trueBoundaries } from "./boundaries.ts";
import { force, forceOf, logger, phases, pull, reading } from "./hand-made.ts";
import { judgePull, toleranceOf } from "./judge-pull.ts";

// The matching rules of docs/accuracy.md on a pull that was drawn by hand, so that each answer can be seen by eye.

const known = { logger, force, forceIsTrue: true };
const within = toleranceOf(logger);

describe("boundaries", () => {
  const judge = (text: string, truth: DrawnPull = pull, along = force) =>
    judgeBoundaries(phases(text), trueBoundaries(truth, along, logger), truth, within);
  const wrong = (text: string, truth?: DrawnPull, along = force) =>
    judge(text, truth, along)
      .filter(({ right }) => !right)
      .map(({ name }) => name);

  test("are where load begins and where the collapse begins and ends", () => {
    expect(judge("rest 0, ramp 10, collapse 20, tail 20.03")).toEqual([
      { name: "load begins", offS: 0, right: true },
      { name: "collapse begins", offS: 0, right: true },
      { name: "collapse ends", offS: 0, right: true },
    ]);
  });

  test("a load begins between its first newton and 1 % of the peak: 100 N at 1 kN/s are 0.1 s", () => {
    const [begins] = trueBoundaries(pull, force, logger);
    expect(begins?.fromS).toBe(10);
    expect(begins?.toS).toBeCloseTo(10.11, 9); // the first sample above 100 N
    expect(wrong("rest 0, ramp 9.91, collapse 20, tail 20.03")).toEqual([]);
    expect(wrong("rest 0, ramp 10.2, collapse 20, tail 20.03")).toEqual([]);
    expect(wrong("rest 0, ramp 9.88, collapse 20, tail 20.03")).toEqual(["load begins"]);
    expect(wrong("rest 0, ramp 10.23, collapse 20, tail 20.03")).toEqual(["load begins"]);
  });

  test("0.1 s is allowed, or two samples, or a batch of equal stamps; an averaging amplifier may lag", () => {
    expect(toleranceOf(logger)).toEqual({ before: 0.1, after: 0.1 });
    expect(toleranceOf({ ...logger, rateHz: 10 })).toEqual({ before: 0.2, after: 0.2 });
    expect(toleranceOf({ ...logger, batchS: 0.15 })).toEqual({ before: 0.15, after: 0.15 });
    const lagging = toleranceOf({ ...logger, rateHz: 50, averagedSamples: 6 });
    expect([lagging.before, lagging.after]).toEqual([0.1, 0.2]);
  });

  test("a collapse that was not read is wrong at both its ends", () => {
    expect(wrong("rest 0, ramp 10, tail 20.03")).toEqual(["collapse begins", "collapse ends"]);
  });

  test("a hold that never was is two wrong boundaries, bedding that never was is one", () => {
    expect(wrong("rest 0, ramp 10, hold 13, ramp 14, collapse 20, tail 20.03")).toEqual([
      "hold begins",
      "hold ends",
    ]);
    expect(wrong("rest 0, bedding 10, ramp 13, collapse 20, tail 20.03")).toEqual(["bedding ends"]);
    expect(wrong("rest 0, ramp 10, slip 13, ramp 14, collapse 20, tail 20.03")).toEqual([
      "slips begin",
      "slips end",
    ]);
  });

  test("a hold is judged at both its ends, and its end may be seen when the force has left it by 1 %", () => {
    const held: DrawnPull = {
      ...pull,
      hold: { startS: 12, endS: 15, forceN: 2000, settlingPerDecade: 0, referenceS: 0.1 },
      phases: [{ phase: "hold", startS: 12, endS: 15 }],
    };
    const along = forceOf((s) =>
      s < 10 || s >= 23.01 ? 0 : s < 12 ? 1000 * (s - 10) : s < 15 ? 2000 : 1000 * (s - 13),
    );
    const of = (from: number, to: number) =>
      wrong(`rest 0, set 10, hold ${from}, ramp ${to}, collapse 20, tail 20.03`, held, along);
    expect(of(12, 15)).toEqual([]);
    expect(of(11.9, 15.2)).toEqual([]);
    expect(of(12.12, 15)).toEqual(["hold begins"]);
    expect(of(12, 14.88)).toEqual(["hold ends"]);
    expect(of(12, 15.23)).toEqual(["hold ends"]);
    expect(wrong("rest 0, ramp 10, collapse 20, tail 20.03", held, along)).toEqual([
      "hold begins",
      "hold ends",
    ]);
  });

  test("slips are judged as a stretch only where there are two; it ends when the force is regained", () => {
    const fall = (timeS: number, fromN: number) => ({ timeS, fromN, toN: fromN - 1000 });
    const twice: DrawnPull = {
      ...pull,
      slips: [fall(15, 5000), fall(17, 6000)],
      phases: [
        { phase: "slip", startS: 15, endS: 15.05 },
        { phase: "slip", startS: 17, endS: 17.05 },
      ],
    };
    const along = forceOf((s) => (s < 15 ? 1000 * (s - 10) : s < 17 ? 1000 * (s - 11) : 1000 * (s - 12)));
    const [, begin, end] = trueBoundaries(twice, along, logger);
    expect(begin).toEqual({ name: "slips begin", fromS: 15, toS: 15 });
    expect(end?.fromS).toBe(17.05);
    expect(end?.toS).toBeCloseTo(18, 9); // 6 kN again
    const once = { ...twice, slips: twice.slips.slice(0, 1) };
    expect(trueBoundaries(once, along, logger).map(({ name }) => name)).not.toContain("slips begin");
  });

  test("a stop is judged by where the way up ended, and what is not in the record is not judged", () => {
    const stopped: DrawnPull = { ...pull, outcome: "stopped", endS: 24 };
    const along = forceOf((s) =>
      s < 10 ? 0 : s < 20 ? 1000 * (s - 10) : s < 22 ? 10_000 : Math.max(0, 10_000 - 5000 * (s - 22)),
    );
    expect(wrong("rest 0, ramp 10, tail 21", stopped, along)).toEqual([]);
    expect(wrong("rest 0, ramp 10, tail 22.5", stopped, along)).toEqual(["collapse begins"]);
    const cut: DrawnPull = { ...pull, startCut: true, endCut: true };
    expect(trueBoundaries(cut, force, logger)).toEqual([]);
  });
});

describe("the peak", () => {
  const peak = (changed: Partial<PeakEstimate>, truth: DrawnPull = pull) => {
    const estimate = { valueN: 10_001, standardN: 2, expandedN: 4, parts: [], lowerBound: false, ...changed };
    return judgePull(truth, reading({ peak: estimate }), known).peak;
  };

  test("is right within its expanded uncertainty, and only as what it is", () => {
    expect(peak({})).toMatchObject({ kind: "point", given: true, right: true, z: 0.5 });
    expect(peak({ valueN: 9996 })?.right).toBe(true);
    expect(peak({ valueN: 9995.9 })?.right).toBe(false);
    expect(peak({ valueN: 10_004.1 })?.right).toBe(false);
    expect(peak({ lowerBound: true })?.right).toBe(false);
  });

  test("is a lower bound where the cell was clipped or the record ends first: said so, and not above the truth", () => {
    for (const truth of [
      { ...pull, clipped: "plainly" as const },
      { ...pull, endCut: true },
    ]) {
      expect(peak({ valueN: 9000, lowerBound: true }, truth)).toMatchObject({
        kind: "lower bound",
        right: true,
      });
      expect(peak({ valueN: 10_005, lowerBound: true }, truth)?.right).toBe(false);
      expect(peak({ valueN: 10_000 }, truth)?.right).toBe(false);
    }
  });

  test("is wrong where the pull was not found", () => {
    expect(judgePull(pull, undefined, known)).toMatchObject({
      found: false,
      peak: { given: false, right: false },
    });
  });
});

describe("slips", () => {
  const at = (timeS: number, fromN = 6000, toN = 5000): Slip & { timeS: number } => ({
    row: 1,
    timeS,
    fromN,
    toN,
  });
  const truth: DrawnPull = {
    ...pull,
    slips: [at(15), at(17)],
    strandBreaks: [at(19.5)],
    restrokes: [at(13)],
  };
  const judge = (slips: Slip[], of: DrawnPull = truth) => judgePull(of, reading({ slips }), known);

  test("are exact where each was found and no other", () => {
    expect(judge([at(15.05), at(16.95)]).slips).toEqual({ wanted: 2, read: 2, exact: true });
    expect(judge([at(15)]).slips).toEqual({ wanted: 2, read: 1, exact: false });
    expect(judge([at(15), at(16)]).slips).toEqual({ wanted: 2, read: 2, exact: false });
  });

  test("a strand that parts may be read as one, a re-stroke of the jack may not", () => {
    expect(judge([at(15), at(17), at(19.55)])).toMatchObject({ slips: { exact: true }, falseSlips: 0 });
    expect(judge([at(15), at(17), at(13)])).toMatchObject({ slips: { exact: false }, falseSlips: 1 });
  });

  test("are counted where all stand out by five deviations: 5 √(2² + 1²/12) N here, 10.1 N", () => {
    expect(judge([], { ...truth, slips: [at(15, 6000, 5989.8)] }).slips?.wanted).toBe(1);
    expect(judge([], { ...truth, slips: [at(15, 6000, 5990)] }).slips).toBeUndefined();
    expect(judge([], { ...truth, slips: [at(15), at(15.05)] }).slips?.wanted).toBe(2); // five samples apart
    expect(judge([], { ...truth, slips: [at(15), at(15.03)] }).slips).toBeUndefined();
    expect(judge([], { ...truth, clipped: "plainly" }).slips).toBeUndefined();
    expect(judge([], { ...truth, slips: [] }).slips).toBeUndefined();
  });
});

describe("settling and outcome", () => {
  const hold = { startS: 12, endS: 15, forceN: 2000, settlingPerDecade: 0.02, referenceS: 0.1 };
  const held: DrawnPull = { ...pull, hold };
  const settling = (low: number, high: number) =>
    judgePull(
      held,
      reading({
        hold: {
          fromRow: 1,
          toRow: 2,
          startN: 2000,
          endN: 1900,
          settling: {
            perDecade: { value: 0.02, interval: [low, high] },
            perDecadeAicc: 0,
            exponent: { value: 0.01, interval: [0, 1] },
            exponentAicc: 0,
            preferred: "log-time",
          },
        },
      }),
      known,
    ).settling;

  test("settling is inside its interval or not, or not given", () => {
    expect(settling(0.019, 0.021)).toEqual({ given: true, inside: true });
    expect(settling(0.0201, 0.021)).toEqual({ given: true, inside: false });
    expect(judgePull(held, reading(), known).settling).toEqual({ given: false, inside: false });
    expect(judgePull(pull, reading(), known).settling).toBeUndefined();
  });

  test("an outcome is judged where the record holds the end, and never for a bench that gave way", () => {
    expect(judgePull(pull, reading(), known).outcome).toMatchObject({ truth: "broke", likeliest: "broke" });
    expect(judgePull({ ...pull, endCut: true }, reading(), known).outcome).toBeUndefined();
    expect(judgePull({ ...pull, outcome: "void" }, reading(), known).outcome).toBeUndefined();
  });
});
