import { describe, expect, test } from "vitest";
import { plainLayout as layout } from "../../test/setup/plain-layout.ts";
import { createRandom } from "../stats/mod.ts";
import { readTrace } from "./read-trace.ts";
import type { PullReading, Reading, Trace } from "./reading.ts";
import { noiseOf } from "./samples/noise.ts";

// Traces here are made of straight pieces, so that every figure is known by algebra.

type Corner = readonly [timeS: number, forceN: number];

/** Straight lines between corners; two corners at one time make a jump. */
function draw(corners: readonly Corner[], rateHz = 100): Trace {
  const last = corners.at(-1)?.[0] ?? 0;
  const rows = Math.round(last * rateHz) + 1;
  const timeS = Float64Array.from({ length: rows }, (_, row) => row / rateHz);
  const forceN = timeS.map((time) => {
    const after = corners.findIndex(([corner]) => corner >= time);
    const [t1, f1] = corners[Math.max(after, 1)] as Corner;
    const [t0, f0] = corners[Math.max(after, 1) - 1] as Corner;
    return t1 === t0 ? f1 : f0 + ((f1 - f0) * (time - t0)) / (t1 - t0);
  });
  return { forceN, timeS, missing: 0 };
}

function withGap(trace: Trace, fromS: number, toS: number): Trace {
  let missing = 0;
  const forceN = trace.forceN.map((force, row) => {
    const time = trace.timeS?.[row] ?? row;
    if (time < fromS || time > toS) return force;
    missing++;
    return Number.NaN;
  });
  return { ...trace, forceN, missing };
}

function read(trace: Trace): Reading {
  return readTrace(trace, { layout });
}

function onlyPull(trace: Trace): PullReading {
  const { pulls } = read(trace);
  expect(pulls.length).toBe(1);
  return pulls[0] as PullReading;
}

const codes = ({ warnings }: { warnings: readonly { code: string }[] }) => warnings.map(({ code }) => code);

/** 5 s of rest at 20 N, a ramp of 500 N/s, a break at 5020 N, 5 s of rest. */
const simple: readonly Corner[] = [
  [0, 20],
  [5, 20],
  [15, 5020],
  [15.01, 20],
  [20, 20],
];

describe("one pull of straight lines", () => {
  test("R-PEAK R-ZERO: peak as recorded, rest, and their difference", () => {
    const pull = onlyPull(draw(simple));
    expect(pull.peakN).toBeCloseTo(5020, 9);
    expect([pull.peakTimeS, pull.peakRow]).toEqual([15, 1501]);
    expect(pull.restN).toBeCloseTo(20, 6);
    expect(pull.netPeakN).toBeCloseTo(5000, 6);
  });

  test("R-PEAK: of equal highest forces the first counts", () => {
    const pull = onlyPull(
      draw([
        [0, 0],
        [5, 0],
        [15, 5000],
        [17, 5000],
        [17.01, 0],
        [22, 0],
      ]),
    );
    expect(pull.peakTimeS).toBe(15);
  });

  test("R-RATE: the ramp's slope, from half to nine tenths of the net peak", () => {
    const pull = onlyPull(draw(simple));
    expect(pull.loadingRateNPerS).toBeCloseTo(500, 6);
    // 50 % of 5000 N is reached 5 s into the ramp, 90 % after 9 s; a sample is 10 ms.
    expect(pull.loadingRateFromS).toBeGreaterThan(9.98);
    expect(pull.loadingRateFromS).toBeLessThan(10.02);
    expect(pull.loadingRateToS).toBeGreaterThan(13.98);
    expect(pull.loadingRateToS).toBeLessThan(14.02);
  });

  test("R-RATE: stamps that occur twice, and a clock far from 0, do not harm the slope", () => {
    const trace = draw(simple);
    const timeS = trace.timeS?.map((_, row) => 1.7e9 + Math.floor(row / 2) / 50);
    const pull = onlyPull({ ...trace, ...(timeS === undefined ? {} : { timeS }) });
    // Half of the samples are stamped 10 ms early: the line's slope stays, to the resolution of the clock.
    expect(pull.loadingRateNPerS).toBeCloseTo(500, 0);
  });

  test("R-RATE: after a re-stroke with a hold at its foot, the last rise alone", () => {
    // Up to 4000 at 400 N/s, down to 3000, held for 5 s, then up at 250 N/s to 5000.
    const pull = onlyPull(
      draw([
        [0, 0],
        [5, 0],
        [15, 4000],
        [15.1, 3000],
        [20, 3000],
        [28, 5000],
        [28.01, 0],
        [33, 0],
      ]),
    );
    expect(pull.loadingRateNPerS).toBeCloseTo(250, 6);
    expect(pull.loadingRateFromS).toBeGreaterThan(20);
  });

  test("R-START R-LOAD: the start is the last sample at rest, the end the first below a twentieth", () => {
    const pull = onlyPull(draw(simple));
    // Half a hundredth of 5000 N is reached 0.05 s into the ramp.
    expect(pull.startS).toBeGreaterThanOrEqual(5);
    expect(pull.startS).toBeLessThanOrEqual(5.05);
    expect([pull.endS, pull.endRow]).toEqual([15.01, 1502]);
  });

  test("R-START: slack that was lifted and let go before the ramp is not in the pull", () => {
    // 150 N (3 %) at 6 s, 50 N (1 %) of slack from 7 to 12 s, then the ramp.
    const pull = onlyPull(
      draw([
        [0, 0],
        [5, 0],
        [6, 150],
        [7, 50],
        [12, 50],
        [22, 5000],
        [22.01, 0],
        [27, 0],
      ]),
    );
    expect(pull.startS).toBeGreaterThan(11.9);
    expect(pull.startS).toBeLessThan(12.3);
  });

  test("R-DROP R-END R-COLLAPSE: a clean break is one drop, and a collapse at the peak", () => {
    const pull = onlyPull(draw(simple));
    expect(pull.end).toBe("collapse");
    expect(pull.drops).toEqual([{ row: 1501, timeS: 15, fromN: pull.peakN, toN: 20 }]);
    expect(pull.collapse).toEqual(pull.drops[0]);
    expect(codes(pull)).toEqual([]);
  });
});

describe("drops", () => {
  // 3 % of 5000 N are 150 N.
  const teeth: readonly Corner[] = [
    ...([
      [0, 0],
      [5, 0],
      [11, 3000],
      [11.2, 2800],
      [13, 4000],
      [13.2, 3860],
      [17, 5000],
      [17.01, 0],
      [22, 0],
    ] as const),
  ];

  test("R-DROP: a fall of more than 3 % of the peak counts, a smaller one does not", () => {
    const pull = onlyPull(draw(teeth));
    expect(pull.drops.map(({ timeS, fromN, toN }) => [timeS, Math.round(fromN), Math.round(toN)])).toEqual([
      [11, 3000, 2800],
      [17, 5000, 0],
    ]);
  });

  test("R-DROP: a drop ends when the force has recovered by the threshold; M starts again there", () => {
    // 4000 to 3000, recovers to 3100 only (less than 150), falls to 2500: one drop to 2500.
    const pull = onlyPull(
      draw([
        [0, 0],
        [5, 0],
        [13, 4000],
        [13.5, 3000],
        [14, 3100],
        [14.5, 2500],
        [19, 5000],
        [19.01, 0],
        [24, 0],
      ]),
    );
    expect(pull.drops.map(({ fromN, toN }) => [Math.round(fromN), Math.round(toN)])).toEqual([
      [4000, 2500],
      [5000, 0],
    ]);
  });

  test("R-COLLAPSE R-DOUBT: a pull that goes on after its peak collapses from less, and says so", () => {
    const pull = onlyPull(
      draw([
        [0, 0],
        [5, 0],
        [15, 5000],
        [15.5, 4000],
        [18, 4750],
        [18.01, 0],
        [23, 0],
      ]),
    );
    expect(pull.peakTimeS).toBe(15);
    expect(pull.collapse?.timeS).toBe(18);
    expect(pull.collapse?.fromN).toBeCloseTo(4750, 6);
    expect(codes(pull)).toEqual(["READING_PEAK_NOT_AT_END"]);
  });
});

describe("ends", () => {
  test("R-END: a fall over seconds is a decline, also where it is faster than the rise", () => {
    expect(
      onlyPull(
        draw([
          [0, 0],
          [5, 0],
          [15, 5000],
          [17, 0],
          [22, 0],
        ]),
      ).end,
    ).toBe("decline");
  });

  test("R-END: a collapse that the logger's averaging spreads over four samples is one", () => {
    expect(
      onlyPull(
        draw([
          [0, 0],
          [5, 0],
          [15, 5000],
          [15.05, 0],
          [20, 0],
        ]),
      ).end,
    ).toBe("collapse");
  });

  test("R-END R-DOUBT: a record that stops at its highest is cut off", () => {
    const pull = onlyPull(
      draw([
        [0, 0],
        [5, 0],
        [15, 5000],
      ]),
    );
    expect(pull.end).toBe("cut-off");
    expect(pull).not.toHaveProperty("collapse");
    expect(codes(pull)).toEqual(["READING_PEAK_LAST", "READING_ENDS_LOADED"]);
  });
});

describe("rest", () => {
  test("R-REST R-ZERO: a ramp without any rest has no zero, and none is made up", () => {
    const pull = onlyPull(
      draw([
        [0, 0],
        [20, 5000],
        [40, 0],
      ]),
    );
    expect(pull).not.toHaveProperty("restN");
    expect(pull).not.toHaveProperty("netPeakN");
    expect(codes(pull)).toContain("READING_NO_REST");
  });

  test("R-ZERO: a log that starts on a trigger is zeroed on its tail, not on the slack before the pull", () => {
    const pull = onlyPull(
      draw([
        [0, 300],
        [0.5, 0],
        [0.5, 60],
        [4, 60],
        [14, 5000],
        [14.01, 10],
        [24, 10],
      ]),
    );
    expect(pull.restN).toBeCloseTo(10, 6);
    expect(codes(pull)).not.toContain("READING_STARTS_LOADED");
  });

  test("R-REST: a set held at a tenth of the peak is no rest", () => {
    const pull = onlyPull(
      draw([
        [0, 20],
        [3, 20],
        [5, 420],
        [35, 420],
        [45, 5020],
        [45.01, 20],
        [50, 20],
      ]),
    );
    expect(pull.restN).toBeCloseTo(20, 6);
  });

  test("R-DOUBT: a rest that moved is said", () => {
    const pull = onlyPull(
      draw([
        [0, 0],
        [5, 0],
        [15, 5000],
        [15.01, 200],
        [20, 200],
      ]),
    );
    expect(codes(pull)).toContain("READING_REST_MOVED");
    expect(pull.restN).toBeCloseTo(0, 6);
  });
});

describe("pulls", () => {
  const rest = (fromS: number, toS: number): readonly Corner[] => [
    [fromS, 0],
    [toS, 0],
  ];
  const broken = (fromS: number, peakN: number): readonly Corner[] => [
    [fromS, 0],
    [fromS + 10, peakN],
    [fromS + 10.01, 0],
  ];
  const released = (fromS: number, peakN: number, lastsS = 10): readonly Corner[] => [
    [fromS, 0],
    [fromS + lastsS / 2, peakN],
    [fromS + lastsS, 0],
  ];

  test("R-PULL: two breaks with 5 s of rest between them are two pulls", () => {
    const { pulls } = read(draw([...rest(0, 5), ...broken(5, 5000), ...broken(20, 4000), ...rest(31, 35)]));
    expect(pulls.map(({ index, peakN, peakTimeS }) => [index, Math.round(peakN), peakTimeS])).toEqual([
      [1, 5000, 15],
      [2, 4000, 30],
    ]);
  });

  test("R-PULL: two loads that were let go are two pulls when 20 s and half their length lie between", () => {
    const near = draw([...rest(0, 5), ...released(5, 5000, 20), ...released(40, 4900, 20), ...rest(61, 65)]);
    const far = draw([...rest(0, 5), ...released(5, 5000, 20), ...released(50, 4900, 20), ...rest(71, 75)]);
    expect(read(near).pulls.length).toBe(1);
    expect(read(far).pulls.length).toBe(2);
  });

  test("R-CYCLE: three bedding cycles belong to the pull that follows", () => {
    const pull = onlyPull(
      draw([
        ...rest(0, 5),
        ...released(5, 2000),
        ...released(17, 2000),
        ...released(29, 2000),
        ...broken(41, 5000),
        ...rest(52, 56),
      ]),
    );
    expect(pull.startS).toBeLessThan(5.1);
    expect(pull.peakTimeS).toBe(51);
  });

  test("R-OTHER: a tug at set-up, a transient at the start and handling after the break are other loads", () => {
    const reading = read(
      draw([
        [0, 3500],
        [0.03, 0],
        ...rest(0.04, 3),
        ...released(3, 1200, 1),
        ...rest(4, 7),
        ...broken(7, 5000),
        ...rest(18, 20),
        ...released(20, 900, 2),
        ...rest(22, 26),
      ]),
    );
    expect(reading.pulls.map(({ peakTimeS }) => peakTimeS)).toEqual([17]);
    expect(reading.otherLoads.map(({ peakN }) => Math.round(peakN))).toEqual([3500, 1200, 900]);
  });

  test("R-PULL: a weak specimen that broke far from the others is a pull of its own", () => {
    const { pulls } = read(
      draw([...rest(0, 30), ...broken(30, 1000), ...rest(41, 70), ...broken(70, 5000), ...rest(81, 90)]),
    );
    expect(pulls.map(({ peakN }) => Math.round(peakN))).toEqual([1000, 5000]);
  });

  test("R-PULL: a splice drawn out early and slowly, far from the others, is a pull of its own; a tug is not", () => {
    const { pulls, otherLoads } = read(
      draw([
        ...rest(0, 30),
        ...released(30, 2000, 12),
        ...rest(42, 70),
        ...broken(70, 5000),
        ...rest(81, 110),
        ...released(110, 2000, 3),
        ...rest(113, 120),
      ]),
    );
    expect(pulls.map(({ peakN }) => Math.round(peakN))).toEqual([2000, 5000]);
    expect(otherLoads.length).toBe(1);
  });

  test("R-LOAD: a splice that slips to nothing for a moment and grips again is in one pull", () => {
    const pull = onlyPull(
      draw([...rest(0, 5), [15, 4500], [15.02, 100], [15.3, 100], [22, 5000], [22.01, 0], [27, 0]]),
    );
    expect(pull.drops.length).toBe(2);
  });

  test("R-SEGMENT: a segment column parts the pulls, one in each", () => {
    const trace = draw([...rest(0, 2), ...released(2, 5000), ...released(13, 800), ...rest(24, 26)]);
    const segment = Int32Array.from(trace.timeS ?? [], (time) => (time < 12.5 ? 1 : 2));
    expect(read({ ...trace, segment }).pulls.map(({ peakN }) => Math.round(peakN))).toEqual([5000, 800]);
    expect(read(trace).pulls.length).toBe(1);
  });

  test("R-SEGMENT: a clock that starts again parts the record", () => {
    const one = draw([...rest(0, 5), ...broken(5, 5000), ...rest(16, 20)]);
    const twice = (values: Float64Array | undefined) => Float64Array.of(...(values ?? []), ...(values ?? []));
    const { pulls } = read({ forceN: twice(one.forceN), timeS: twice(one.timeS), missing: 0 });
    expect(pulls.map(({ peakTimeS, peakRow }) => [peakTimeS, peakRow])).toEqual([
      [15, 1501],
      [15, 1501 + one.forceN.length],
    ]);
  });
});

describe("what a file may lack", () => {
  test("R-ROWS: without time there are rows, and not one figure in seconds", () => {
    const { forceN } = draw(simple);
    const reading = read({ forceN, missing: 0 });
    const pull = reading.pulls[0] as PullReading;
    expect([pull.peakRow, pull.startRow <= 506, pull.endRow]).toEqual([1501, true, 1502]);
    const keys = [...Object.keys(reading), ...Object.keys(pull), ...Object.keys(pull.drops[0] ?? {})];
    expect(keys.filter((key) => /S$/.test(key))).toEqual([]);
    expect(codes(reading)).toContain("READING_NO_TIME");
  });

  test("R-GAP: missing values are left out and counted, and the rows keep their numbers", () => {
    const reading = read(withGap(draw(simple), 10, 12));
    const pull = reading.pulls[0] as PullReading;
    expect([reading.missing, pull.peakRow, pull.peakTimeS]).toEqual([201, 1501, 15]);
    expect(pull.loadingRateNPerS).toBeCloseTo(500, 6);
    expect(codes(reading)).toEqual(["READING_MISSING"]);
    expect(codes(pull)).toEqual([]);
  });

  test("R-GAP R-DOUBT: missing values next to the peak are said with the pull", () => {
    const pull = onlyPull(withGap(draw(simple), 14.96, 14.975));
    expect(codes(pull)).toContain("READING_MISSING_NEAR_PEAK");
  });

  test("a record of noise has no pull, and says so", () => {
    const forceN = Float64Array.from({ length: 5000 }, (_, row) => Math.sin(row * row));
    const reading = read({ forceN, missing: 0 });
    expect(reading.pulls).toEqual([]);
    expect(codes(reading)).toContain("READING_NO_PULL");
  });

  test.each([[[]], [[1]], [[Number.NaN, Number.NaN, Number.NaN]], [[5, 5, 5, 5, 5, 5]]])(
    "%j has no pull",
    (values) => {
      const forceN = Float64Array.from(values);
      const missing = values.filter(Number.isNaN).length;
      expect(codes(read({ forceN, missing }))).toContain("READING_NO_PULL");
    },
  );
});

describe("doubts", () => {
  test("R-DOUBT: a record that starts under load", () => {
    const pull = onlyPull(
      draw([
        [0, 1000],
        [8, 5000],
        [8.01, 0],
        [15, 0],
      ]),
    );
    expect(codes(pull)).toContain("READING_STARTS_LOADED");
  });

  test("R-DOUBT: samples too far apart for the peak", () => {
    // 500 N/s at 10 samples a second: 50 N, 1 % of the peak, from sample to sample.
    const pull = onlyPull(
      draw(
        [
          [0, 0],
          [5, 0],
          [15, 5000],
          [15.1, 0],
          [20, 0],
        ],
        10,
      ),
    );
    expect(codes(pull)).toContain("READING_COARSE_PEAK");
    expect(codes(onlyPull(draw(simple, 100)))).not.toContain("READING_COARSE_PEAK");
  });

  test("R-DOUBT R-SPIKE: few samples on the way, and a sample that stands alone: flagged, and not the peak", () => {
    const trace = draw(
      [
        [0, 0],
        [5, 0],
        [6, 5000],
        [6.1, 0],
        [11, 0],
      ],
      10,
    );
    expect(codes(onlyPull(trace))).toContain("READING_FEW_SAMPLES");
    const spiked = draw([
      [0, 0],
      [5, 0],
      [15, 5000],
      [17, 0],
      [22, 0],
    ]);
    spiked.forceN[1200] = 9000;
    const reading = read(spiked);
    expect(codes(reading)).toContain("READING_SPIKES");
    expect(reading.pulls[0]?.peakN).toBe(5000);
    expect(spiked.forceN[1200]).toBe(9000);
  });
});

test("R-NOISE: the scatter of normal noise on a ramp is its standard deviation", () => {
  const count = 20_000;
  const random = createRandom(7);
  const force = Float64Array.from({ length: count }, (_, row) => row * 0.5 + 7 * random.normal());
  // The MAD's standard error is 1.17 / √n of σ (from memory): 0.8 % here; four of them are allowed.
  expect(noiseOf(force)).toBeGreaterThan(7 * 0.967);
  expect(noiseOf(force)).toBeLessThan(7 * 1.033);
});
