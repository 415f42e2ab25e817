import { describe, expect, test } from "vitest";
import { drawRecording } from "../../src/trace/mod.ts";
import { force, logger, pull, reading } from "./hand-made.ts";
import { judgePull } from "./judge-pull.ts";
import {
  type JudgedRecording,
  judgeFaults,
  judgeRecording,
  judgeSeed,
  matchPulls,
  readAsUser,
} from "./judge-recording.ts";
import { printTally } from "./print.ts";
import { tally } from "./tally.ts";

describe("pulls", () => {
  const truth = (startS: number) => ({ startS, endS: startS + 10, peakTimeS: startS + 8 });
  const read = (peakTimeS: number) => ({ peakTimeS });

  test("belong together where the peak was read within the true pull", () => {
    const [a, b] = [read(8), read(108)];
    expect(matchPulls([truth(0), truth(100)], [a, b])).toEqual([a, b]);
    expect(matchPulls([truth(0), truth(100)], [b])).toEqual([undefined, b]);
    expect(matchPulls([truth(0)], [read(2), a])).toEqual([a]);
    expect(matchPulls([truth(0)], [read(11)])).toEqual([undefined]);
  });
});

describe("faults", () => {
  const codes = (...said: string[]) => new Set(said);

  test("are told by any of their codes; a mild one need not be", () => {
    expect(judgeFaults([{ kind: "spikes" }], codes("READING_LONE_PEAK"), false)).toEqual({
      faults: [{ kind: "spikes", told: true }],
      alarms: [],
    });
    expect(judgeFaults([{ kind: "drift" }], codes(), false).faults).toEqual([{ kind: "drift", told: false }]);
    expect(judgeFaults([{ kind: "drift", mild: true }], codes(), false).faults).toEqual([]);
  });

  test("a code of a fault that is not there is a false alarm, unless the one that is looks like it", () => {
    expect(judgeFaults([], codes("READING_CLIPPED"), false).alarms).toEqual(["READING_CLIPPED"]);
    expect(judgeFaults([{ kind: "drift", mild: true }], codes("READING_REST_MOVED"), false).alarms).toEqual(
      [],
    );
    expect(judgeFaults([{ kind: "clock-batched" }], codes("READING_CLOCK_GAP"), false).alarms).toEqual([]);
    expect(judgeFaults([], codes("READING_FEW_SAMPLES", "READING_COARSE_PEAK"), false).alarms).toEqual([]);
  });

  test("a position may be told by a refusal", () => {
    expect(judgeFaults([{ kind: "position" }], codes("TRACE_FORCE_ASKED"), true).faults[0]?.told).toBe(true);
    expect(judgeFaults([{ kind: "spikes" }], codes("TRACE_FORCE_ASKED"), true).faults[0]?.told).toBe(false);
  });
});

describe("the table", () => {
  const known = { logger, force, forceIsTrue: true };
  const judged = (seed: number, valueN: number, broke: number): JudgedRecording => ({
    seed,
    rows: 3001,
    pulls: {
      wanted: 1,
      read: 1,
      exact: seed !== 3,
      each: [
        judgePull(
          pull,
          reading({
            peak: { valueN, standardN: 2, expandedN: 4, parts: [], lowerBound: false },
            outcome: {
              probabilities: { broke, slipped: 1 - broke, stopped: 0 },
              likeliest: broke > 0.5 ? "broke" : "slipped",
              reasons: [],
            },
          }),
          known,
        ),
      ],
    },
    faults: [{ kind: "spikes", told: seed !== 2 }],
    alarms: seed === 1 ? ["READING_CLIPPED"] : [],
    readS: 0,
  });
  const sums = tally([
    judged(1, 10_001, 0.8),
    judged(2, 10_009, 0.8),
    judged(3, 10_002, 0.8),
    judged(4, 9999, 0.3),
  ]);
  const line = (what: string) => sums.lines.find((one) => one.what.startsWith(what));

  test("has shares, what they are of, and the seeds in which it failed", () => {
    expect(line("pulls counted")).toMatchObject({ share: 0.75, of: 4, failed: [3], met: false });
    expect(line("true peak")).toMatchObject({ share: 0.75, of: 4, failed: [2], met: false });
    expect(line("phase boundaries")).toMatchObject({ share: 1, of: 12, failed: [], met: true });
    expect(line("likeliest")).toMatchObject({ share: 0.75, failed: [4] });
    expect(line("planted faults")).toMatchObject({ share: 0.75, failed: [2] });
    expect(line("recordings with a false alarm")).toMatchObject({ share: 0.25, failed: [1], met: false });
    expect(sums.alarms).toEqual({ READING_CLIPPED: 1 });
  });

  test("an uncertainty that is too wide misses its target as well", () => {
    const wide = tally(Array.from({ length: 8 }, (_, at) => judged(at + 10, 10_001, 0.9)));
    expect(wide.lines.find(({ what }) => what.startsWith("true peak"))).toMatchObject({
      share: 1,
      met: false,
    });
  });

  test("what a reading does not give is not met and says so", () => {
    const nothing = {
      ...judged(1, 10_000, 0.9),
      pulls: { wanted: 1, read: 0, exact: false, each: [judgePull(pull, undefined, known)] },
    };
    const none = tally([nothing]);
    const slips = none.lines.find(({ what }) => what.startsWith("pulls by hand jack"));
    expect(slips).toMatchObject({ met: false });
    expect(slips?.share).toBeUndefined();
    expect(printTally(none, { list: false }).join("\n")).toMatch(/phase boundaries.*not given.*NOT MET/);
  });

  test("Brier's score by hand: three times 0.2² + 0.2², once 0.7² + 0.7², over four", () => {
    // G. W. Brier, Verification of forecasts expressed in terms of probability, Mon. Weather Rev. 78 (1950), eq. 2.
    expect(sums.brier).toBeCloseTo((3 * (0.04 + 0.04) + (0.49 + 0.49)) / 4, 12);
    const often = sums.reliability.find(({ from }) => from === 0.8);
    expect(often).toMatchObject({ count: 3, was: 1 });
    expect(often?.said).toBeCloseTo(0.8, 12);
    expect(sums.reliability.reduce((sum, { count }) => sum + count, 0)).toBe(12);
  });

  test("the errors of the peak over their uncertainty have mean and SD", () => {
    // z = 0.5, 4.5, 1, −0.5
    expect(sums.z?.mean).toBeCloseTo(1.375, 12);
    expect(sums.z?.deviation).toBeCloseTo(
      Math.sqrt((0.875 ** 2 + 3.125 ** 2 + 0.375 ** 2 + 1.875 ** 2) / 3),
      12,
    );
  });
});

describe("a drawn recording", () => {
  test("is read from its bytes, with only what is asked answered", () => {
    for (const seed of [11, 12, 13, 14, 15, 16]) {
      const drawn = drawRecording(seed);
      const read = readAsUser(drawn);
      if (!read.ok) throw new Error(JSON.stringify(read.problems));
      expect(read.value.layout.force).toMatchObject({
        column: drawn.layout.force.column,
        unit: drawn.layout.force.unit,
      });
      expect(read.value.rows).toBeLessThanOrEqual(drawn.trueForce.timeS.length);
    }
  });

  test("is judged the same each time", () => {
    const judgedOnce = judgeSeed(21, () => 0);
    expect(judgeSeed(21, () => 0)).toEqual(judgedOnce);
    const drawn = drawRecording(21);
    expect(judgeRecording(drawn, readAsUser(drawn))).toEqual(judgedOnce);
  });
});
