import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { DeepReading, PullReading, TraceWindow } from "../../trace/mod.ts";
import { figureTrace, traceMarks, traceScales, valueWithin } from "../mod.ts";

// Asserted against algebra: a mark lies where the figure's own scales put its numbers.

const ramp: TraceWindow = {
  fromRow: 1,
  toRow: 1001,
  x: Array.from({ length: 101 }, (_, i) => i / 10),
  lowN: Array.from({ length: 101 }, (_, i) => 500 + i * 100),
  highN: Array.from({ length: 101 }, (_, i) => 500 + i * 100),
  xIsTime: true,
};

const deep: DeepReading = {
  phases: [
    { name: "rest", fromRow: 1, toRow: 100, fromS: 0, toS: 1 },
    { name: "bedding", fromRow: 100, toRow: 300, fromS: 1, toS: 3 },
    { name: "hold", fromRow: 300, toRow: 500, fromS: 3, toS: 5 },
    { name: "ramp", fromRow: 500, toRow: 1000, fromS: 5, toS: 9.99 },
    { name: "collapse", fromRow: 1000, toRow: 1001, fromS: 9.99, toS: 10 },
  ],
  bedding: { cycles: 3, lowestN: 200, highestN: 2000 },
  hold: {
    fromRow: 300,
    toRow: 500,
    fromS: 3,
    toS: 5,
    startN: 3000,
    endN: 2900,
    settling: {
      perDecade: { value: 0.021, interval: [0.018, 0.024] },
      perDecadeAicc: -10,
      exponent: { value: 0.01, interval: [0.009, 0.011] },
      exponentAicc: -9,
      preferred: "log-time",
    },
  },
  strokes: 0,
  slips: [{ row: 700, timeS: 7, fromN: 7000, toN: 6000 }],
  firstSlipN: 7000,
  peak: { valueN: 9800, standardN: 100, expandedN: 200, parts: [], lowerBound: false },
};
const reading: PullReading = {
  index: 1,
  startRow: 100,
  endRow: 1001,
  startS: 1,
  endS: 10,
  peakN: 10_310,
  peakRow: 1000,
  peakTimeS: 9.9,
  restN: 500,
  drops: [{ row: 700, timeS: 7, fromN: 7500, toN: 6500 }],
  end: "collapse",
  collapse: { row: 1000, timeS: 9.9, fromN: 10_310, toN: 510 },
  noiseN: 5,
  deep,
  warnings: [],
};

const atOnce = (about: Parameters<typeof figureTrace>[1]) => {
  const { plot, x, forceN } = traceScales(ramp, about);
  return {
    svg: figureTrace(ramp, about),
    across: (value: number) => plot.left + ((value - x[0]) / (x[1] - x[0])) * (plot.right - plot.left),
    up: (value: number) =>
      plot.bottom - ((value - forceN[0]) / (forceN[1] - forceN[0])) * (plot.bottom - plot.top),
  };
};

describe("what was read, as marks", () => {
  test("the whisker runs from the least to the greatest that the peak may be, with the rest level added", () => {
    const { svg, up } = atOnce(traceMarks(reading));
    const [, foot, top] =
      /class="whisker" d="M[\d.]+ ([\d.]+)H[\d.]+M[\d.]+ [\d.]+V([\d.]+)M/.exec(svg)?.map(Number) ?? [];
    expect(foot).toBeCloseTo(up(9800 - 200 + 500), 1);
    expect(top).toBeCloseTo(up(9800 + 200 + 500), 1);
    expect(svg).toContain("peak 9.80 ± 0.20 kN");
  });

  test("a peak that is a lower bound has an arrow upward in place of an upper end, and says at least", () => {
    const peak = { valueN: 9800, standardN: 100, expandedN: 200, parts: [], lowerBound: true };
    const { svg, up } = atOnce(traceMarks({ ...reading, deep: { ...deep, peak } }));
    const [, foot, top] =
      /class="whisker" d="M[\d.]+ ([\d.]+)H[\d.]+M[\d.]+ [\d.]+V([\d.]+)M/.exec(svg)?.map(Number) ?? [];
    expect(foot).toBeCloseTo(up(9800 - 200 + 500), 1);
    expect(top).toBeLessThan(up(9800 + 500));
    expect(svg).toContain("peak at least 9.60 kN");
    expect(svg).not.toContain("±");
  });

  test("each phase is a band from its start to its end, with its word in the drawing", () => {
    const { svg, across } = atOnce(traceMarks(reading));
    const bands = [
      ...svg.matchAll(/class="phase"><title>([^<]*)<\/title><rect x="([\d.]+)"[^>]* width="([\d.]+)"/g),
    ];
    expect(bands.map(([, title]) => title)).toEqual([
      "rest",
      "bedding, 3 cycles",
      "hold",
      "ramp",
      "collapse",
    ]);
    const [, , from, wide] = bands[2] ?? [];
    expect(Number(from)).toBeCloseTo(across(3), 1);
    expect(Number(wide)).toBeCloseTo(across(5) - across(3), 1);
    for (const word of ["rest", "bedding, 3 cycles", "hold", "ramp", "collapse"])
      expect(svg).toContain(`>${word}</text>`);
  });

  test("a slip is a tick of its size, the first one named; what was read as a drop is not drawn twice", () => {
    const { svg, across, up } = atOnce(traceMarks(reading));
    expect(svg.match(/class="slip"/g)?.length).toBe(1);
    expect(svg.match(/class="drop"/g)?.length).toBe(1); // the collapse
    const [, x, top, bottom] =
      /class="slip">.*?<path d="M[\d.]+ [\d.]+H[\d.]+M([\d.]+) ([\d.]+)V([\d.]+)/.exec(svg)?.map(Number) ??
      [];
    expect(x).toBeCloseTo(across(7), 1);
    expect(top).toBeCloseTo(up(7500), 1);
    expect(bottom).toBeCloseTo(up(6500), 1);
    expect(svg).toContain("−1.00 kN");
    expect(svg).toContain("first slip at 7.50 kN");
  });

  test("a first slip that began at the peak stands under the peak's own mark", () => {
    const options = traceMarks(reading);
    const { peak } = options;
    if (peak === undefined) throw new Error("the invented pull has a peak");
    expect(atOnce({ ...options, firstSlip: { x: peak.x, forceN: peak.forceN } }).svg).not.toContain(
      'class="first-slip"',
    );
    expect(atOnce(options).svg).toContain('class="first-slip"');
  });

  test("the hold says how long it was and how it settled", () => {
    expect(atOnce(traceMarks(reading)).svg).toContain("hold 2.00 s, settling 2.1 % per decade");
  });

  test("a reading without deeper parts keeps its drops, start and end", () => {
    const { deep: _, ...plain } = reading;
    const marks = traceMarks(plain);
    expect(marks.phases).toBeUndefined();
    expect(marks.drops).toEqual([{ x: 7, fromN: 7500, toN: 6500 }]);
    expect(figureTrace(ramp, marks)).toContain("start of the pull");
  });

  test("words of phases never lie on each other, however many there are and however narrow the figure", () => {
    const length = fc.double({ min: 0.01, max: 3, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(length, { minLength: 1, maxLength: 14 }),
        fc.integer({ min: 260, max: 900 }),
        (long, width) => {
          let from = 0;
          const total = long.reduce((sum, one) => sum + one, 0);
          const phases = long.map((one, i) => {
            const phase = {
              name: ["ramp", "slip", "collapse"][i % 3] as string,
              fromX: from,
              toX: from + (one * 10) / total,
            };
            from = phase.toX;
            return phase;
          });
          const svg = figureTrace(ramp, { width, phases });
          const { plot } = traceScales(ramp, { width, phases });
          const words = [
            ...svg.matchAll(/<text x="([-\d.]+)" y="([\d.]+)" font-size="11"[^>]*>(ramp|slip|collapse)</g),
          ].map(([, x, y, word]) => ({
            from: Number(x),
            to: Number(x) + (word ?? "").length * 11 * 0.54,
            y: Number(y),
          }));
          for (const one of words) {
            expect(one.y).toBeLessThan(plot.top);
            expect(one.from).toBeGreaterThanOrEqual(0);
            expect(one.to).toBeLessThanOrEqual(width);
            for (const other of words)
              if (one !== other && one.y === other.y)
                expect(one.to <= other.from || other.to <= one.from).toBe(true);
          }
        },
      ),
      { numRuns: 100 },
    );
  });
});

// JCGM 100:2008 (GUM) 7.2.6: at most two digits of the uncertainty, the value to the same place.
test.each([
  [34.2149, 0.1512, "34.21 ± 0.15"],
  [34.2149, 1.512, "34.2 ± 1.5"],
  [13_057.4, 131.2, "13057 ± 131"],
  [9.8, 0.2, "9.80 ± 0.20"],
  [0.0996, 0.0999, "0.10 ± 0.10"],
])("%d within %d is written %s", (value, expanded, text) => {
  expect(valueWithin(value, expanded)).toBe(text);
});
