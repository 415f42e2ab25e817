import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/stats/mod.ts";
import { type Layout, parseRecording, readTrace, type Trace } from "../../src/trace/mod.ts";
import { plainLayout } from "../setup/plain-layout.ts";

// Traces of straight pieces with white noise: what they hold is known by algebra.

const layout: Layout = { ...plainLayout, force: { column: 2, unit: "N" } };

const rateHz = 50;

function record(
  lastS: number,
  forceAt: (timeS: number) => number,
  options: { sd?: number; stepN?: number } = {},
) {
  const { sd = 2, stepN = 0 } = options;
  const noise = createRandom(7);
  const timeS = Float64Array.from({ length: lastS * rateHz + 1 }, (_, row) => row / rateHz);
  const forceN = timeS.map((time) => {
    const newton = forceAt(time) + sd * noise.normal();
    return stepN > 0 ? Math.round(newton / stepN) * stepN : newton;
  });
  return { timeS, forceN, missing: 0 };
}

/** Rest to 5 s, 500 N/s to a break of 5000 N at 15 s. */
const broke = (time: number) => (time < 5 || time > 15 ? 0 : 500 * (time - 5));

const read = (trace: Trace) => {
  const reading = readTrace(trace, { layout });
  const codes = [...reading.warnings, ...reading.pulls.flatMap(({ warnings }) => warnings)].map(
    ({ code }) => code,
  );
  return { reading, codes, pull: reading.pulls[0] };
};

describe("rest", () => {
  test("R-REST: a cell that drifts by 20 N/s, up or down, still rests, and its peak is free of the drift", () => {
    for (const slope of [20, -20]) {
      const { pull, codes } = read(record(22, (time) => broke(time) + 60 + slope * time));
      const peak = pull?.deep?.peak;
      expect(Math.abs((peak?.valueN ?? 0) - 5000)).toBeLessThan(20);
      // Ten seconds of drift lie between the two rests: 200 N, 4 % of the peak.
      expect(codes).toContain("READING_REST_MOVED");
      expect(codes).not.toContain("READING_STARTS_LOADED");
    }
  });

  test("R-DOUBT: a rest that leans is told where no rest on the other side says how the drift went on", () => {
    // At 13 s the force falls to 600 N, where the record ends: 10.5 s from the middle of the rest, 210 N of 4000 by then.
    for (const [slope, told] of [
      [20, true],
      [-20, true],
      [0, false],
    ] as const) {
      const { codes } = read(record(14, (time) => (time > 13 ? 600 : broke(time)) + slope * time));
      expect(codes.includes("READING_REST_MOVED"), `${slope} N/s`).toBe(told);
    }
  });

  test("R-REST R-ZERO: a rest ends where the logger paused: what the cell showed before does not count after", () => {
    // Twenty seconds at 0 N, a pause of a minute, five at 12 N (the cell has moved by a quarter of a per cent), the pull.
    const moved = record(42, (time) => (time < 20 ? 0 : 12 + broke(time - 20)));
    const timeS = moved.timeS.map((time) => (time < 20 ? time : time + 60));
    const { pull, codes } = read({ ...moved, timeS });
    // 250 samples of 2 N of noise: a mean is known to 0.13 N, and five of those are allowed.
    expect(Math.abs((pull?.restN ?? 0) - 12)).toBeLessThan(0.65);
    expect(Math.abs((pull?.deep?.peak?.valueN ?? 0) - 5000)).toBeLessThan(20);
    expect(codes).toContain("READING_CLOCK_GAP");
    expect(codes).not.toContain("READING_REST_MOVED");
  });

  test("R-REST: the soft foot of a ramp goes into no rest, though it is nearly as long as the rest before it", () => {
    // Force with the square of time, as a soft toe has it: 20 N after 4 s, half of the 1 % within which blocks are one run.
    const toe = (time: number) =>
      time < 5 ? 0 : time > 20 ? 0 : 1.25 * (time - 5) ** 2 + 0.9 * (time - 5) ** 3;
    const { pull } = read(record(26, toe));
    expect(Math.abs(pull?.restN ?? Number.NaN)).toBeLessThan(1);
  });

  test("R-ZERO: the pauses of a hand pump at 2 % and 4 % of the peak are not taken for the rest before them", () => {
    const pumped = (time: number) => {
      if (time < 4) return 0;
      if (time < 7) return time < 5.5 ? 100 : 200;
      return time > 16.6 ? 0 : 200 + 500 * (time - 7);
    };
    const { pull, codes } = read(record(22, pumped));
    expect(Math.abs(pull?.restN ?? Number.NaN)).toBeLessThan(2);
    expect(codes).not.toContain("READING_REST_MOVED");
  });

  test("R-REST R-DOUBT: a record that begins in a pause under load says so, and rests where it rests after it", () => {
    const loaded = (time: number) => (time < 2 ? 600 : time > 11 ? 0 : 600 + 500 * (time - 2));
    const { pull, codes } = read(record(18, loaded));
    expect(codes).toContain("READING_STARTS_LOADED");
    expect(codes).not.toContain("READING_REST_MOVED");
    expect(Math.abs(pull?.restN ?? Number.NaN)).toBeLessThan(2);
  });
});

describe("the top", () => {
  const standsAt = (stepN: number) => (time: number) =>
    // Let off over 2 s after 0.8 s in which the force settles by less than a coarse step.
    time < 15
      ? broke(time)
      : time < 15.8
        ? 5000 - 10 * (time - 15)
        : time > 17.8
          ? 0
          : (5000 - 0.1 * stepN) * 0.5 * (1 + Math.cos((Math.PI * (time - 15.8)) / 2));

  test("R-CLIP: a stop that is hidden in one coarse step is no limit; a top that is cut off at one is", () => {
    expect(read(record(24, standsAt(40), { sd: 1, stepN: 40 })).codes).not.toContain("READING_CLIPPED");
    const cut = (time: number) => Math.min(4500, standsAt(40)(time));
    const { codes, pull } = read(record(24, cut, { sd: 0.01, stepN: 4 }));
    expect(codes).toContain("READING_CLIPPED");
    expect(pull?.deep?.peak?.lowerBound).toBe(true);
  });

  test("R-CLIP: it is found where the peak is first reached, on a cell that drifts as well", () => {
    const drifting = (time: number) => Math.min(4000, broke(time) + 150 - 7 * time);
    const { codes, pull } = read(record(24, drifting, { sd: 0.01, stepN: 0.1 }));
    expect(codes).toContain("READING_CLIPPED");
    expect(pull?.peakTimeS ?? 0).toBeLessThan(14);
  });
});

describe("sign", () => {
  const bytesOf = ({ timeS, forceN }: { timeS: Float64Array; forceN: Float64Array }) =>
    new TextEncoder().encode(
      `time_s,force_N\n${[...timeS].map((time, row) => `${time.toFixed(2)},${(forceN[row] as number).toFixed(1)}`).join("\n")}\n`,
    );
  const upright = record(22, broke);
  const down = { ...upright, forceN: upright.forceN.map((newton) => -newton) };
  const parse = (trace: typeof down, inverted?: boolean) => {
    const force = { ...layout.force, ...(inverted === undefined ? {} : { inverted }) };
    const parsed = parseRecording(bytesOf(trace), { ...layout, force });
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    return readTrace(parsed.value.trace, { layout: { ...layout, force } });
  };

  test("R-SIGN: a record upside down is turned round where nobody said its sign, and the reading says so", () => {
    const reading = parse(down);
    expect(reading.sign).toBe("turned round");
    expect(reading.warnings.map(({ code }) => code)).toContain("READING_INVERTED");
    expect(Math.abs((reading.pulls[0]?.deep?.peak?.valueN ?? 0) - 5000)).toBeLessThan(20);
    const other = parse(upright);
    expect(other.sign).toBe("as in the file");
    expect(other.warnings.map(({ code }) => code)).not.toContain("READING_INVERTED");
  });

  test("R-SIGN: it is told from the end at rest where the record begins under load, or ends under it", () => {
    const from = (fromS: number, toS: number) => {
      const rows = (values: Float64Array) => values.slice(fromS * rateHz, toS * rateHz);
      return { timeS: rows(down.timeS), forceN: rows(down.forceN), missing: 0 };
    };
    expect(parse(from(8, 22)).sign).toBe("turned round");
    expect(parse(from(0, 13)).sign).toBe("turned round");
  });

  test("R-SIGN: what a person said of the sign stands, with a doubt and the way to the other reading", () => {
    const reading = parse(down, false);
    expect(reading.sign).toBe("as in the file");
    const doubt = reading.warnings.find(({ code }) => code === "READING_INVERTED");
    expect(doubt?.wayOut).toContain("--inverted yes");
    expect(parse(upright, true).warnings.find(({ code }) => code === "READING_INVERTED")?.wayOut).toContain(
      "--inverted no",
    );
  });
});
