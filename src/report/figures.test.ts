import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { judgeSeries, type PullToJudge } from "../findings/mod.ts";
import { type Outcome, seriesFields } from "../series/mod.ts";
import type { TraceWindow } from "../trace/mod.ts";
import { drawRope, figureStrip, figureTrace, thinWindow, traceScales } from "./mod.ts";

const outcomes: readonly Outcome[] = [
  { kind: "broke", place: "throat" },
  { kind: "slipped", place: "bury" },
  { kind: "stopped", reason: "limit" },
  { kind: "void", reason: "pin" },
];

function strip(
  strengthsKn: readonly number[],
  levels = [30, 60],
  simulated = false,
  ringed?: ReadonlySet<string>,
): string {
  const series = {
    id: "ser-test",
    ...seriesFields.parse({ title: "Invented", factors: [{ name: "bury", unit: "d", levels }], simulated }),
  };
  const pulls: PullToJudge[] = strengthsKn.map((kN, i) => ({
    pullId: `p${i}`,
    specimenLabel: `S${i}`,
    levels: { bury: levels[i % levels.length] as number },
    outcome: outcomes[i % 4] as Outcome,
    strengthN: kN * 1000,
    strengthSource: "typed",
    warnings: [],
  }));
  return figureStrip(series, judgeSeries(series, pulls), ringed === undefined ? {} : { ringed });
}

/** Dots of pulls that broke, in the cells of the plan. */
function brokeAt(svg: string): { x: number; y: number }[] {
  return [...markGroups(svg, "broke").matchAll(/<circle cx="([-\d.]+)" cy="([-\d.]+)"/g)].map(([, x, y]) => ({
    x: Number(x),
    y: Number(y),
  }));
}

/** All marks of one outcome, out of the group of each cell. */
function markGroups(svg: string, kind: string): string {
  return [...svg.matchAll(new RegExp(`<g class="marks ${kind}"[^>]*>(.*?)</g>`, "g"))]
    .map(([, inside]) => inside)
    .join("");
}

/** The height of a tick of the left axis, by its text. */
function tickHeight(svg: string, text: string): number {
  const found = new RegExp(`<text x="[\\d.]+" y="([\\d.]+)"[^>]*text-anchor="end"[^>]*>${text}</text>`).exec(
    svg,
  );
  return Number(found?.[1]) - 4; // labels sit 4 below their tick
}

function numbers(svg: string): string[] {
  return [...svg.matchAll(/(?<![\w#.])-?\d+\.\d+/g)].map(([number]) => number);
}

describe("the strip figure", () => {
  test("rings the pulls that are asked for, each about its own mark, and no others", () => {
    const strengths = [50, 40, 60, 10, 52];
    expect(strip(strengths)).not.toContain('class="ring"');
    const svg = strip(strengths, [30, 60], false, new Set(["p0", "p4", "of another series"]));
    const rings = [...svg.matchAll(/<circle class="ring" cx="([-\d.]+)" cy="([-\d.]+)"/g)];
    // The pulls p0 and p4 are the two that broke.
    expect(rings.map(([, x, y]) => ({ x: Number(x), y: Number(y) }))).toEqual(brokeAt(svg));
  });

  test("has one mark a pull, each in the shape of its outcome", () => {
    const svg = strip([50, 40, 60, 10, 52, 41, 61, 11, 49]);
    const counts = ["broke", "slipped", "stopped", "void"].map(
      (kind) => markGroups(svg, kind).split("<title>").length - 1,
    );
    expect(counts).toEqual([3, 2, 2, 2]);
  });

  test("puts a mark where its axis says: 45 kN lies midway between 40 and 50", () => {
    const svg = strip([45, 20, 20, 20, 50], [30]);
    const [mark] = brokeAt(svg);
    const midway = (tickHeight(svg, "40") + tickHeight(svg, "50")) / 2;
    expect(Math.abs((mark?.y ?? 0) - midway)).toBeLessThan(0.02); // two roundings to 0.01
  });

  test("stands numbers to scale: 45 lies midway between 30 and 60", () => {
    const svg = strip([50, 0, 0, 0, 50, 0, 0, 0, 50], [30, 45, 60]);
    const [a, b, c] = brokeAt(svg)
      .map(({ x }) => x)
      .sort((one, other) => one - other);
    expect(Math.abs((b ?? 0) - ((a ?? 0) + (c ?? 0)) / 2)).toBeLessThan(0.02);
  });

  test("does not lay marks on each other", () => {
    const svg = strip(
      Array.from({ length: 12 }, (_, i) => (i % 4 === 0 ? 50 : 0)),
      [30],
    );
    const places = brokeAt(svg).map(({ x, y }) => `${x} ${y}`);
    expect(new Set(places).size).toBe(3);
  });

  test("says so where its axis does not start at zero, and only there", () => {
    expect(strip([50, 51, 52])).toContain("not at zero");
    expect(strip([50, 5, 52])).not.toContain("not at zero");
  });

  test("says that it is simulated, in the title and in the drawing", () => {
    const svg = strip([50, 51], [30], true);
    expect(svg).toContain(">SIMULATED</text>");
    expect(svg).toContain('<title id="strip-title">Simulated: ');
    expect(strip([50, 51])).not.toMatch(/simulated/i);
  });

  test("holds for any strengths: no number but finite ones with at most two decimals", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.001, max: 5000, noNaN: true }), { maxLength: 24 }),
        (strengths) => {
          const svg = strip(strengths);
          expect(svg).not.toMatch(/NaN|Infinity|undefined/);
          expect(
            numbers(svg.replace(/>[^<]*</g, "><")).filter(
              (number) => (number.split(".")[1] ?? "").length > 2,
            ),
          ).toEqual([]);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe("the trace figure", () => {
  const ramp: TraceWindow = {
    fromRow: 1,
    toRow: 1000,
    x: Array.from({ length: 101 }, (_, i) => i / 10),
    lowN: Array.from({ length: 101 }, (_, i) => i * 100),
    highN: Array.from({ length: 101 }, (_, i) => i * 100),
    xIsTime: true,
  };

  test("rings the peak where the scales put it", () => {
    const about = { peak: { x: 10, forceN: 10_000 }, width: 500, height: 300 };
    const { plot, x, forceN } = traceScales(ramp, about);
    const svg = figureTrace(ramp, about);
    const ring = /class="peak"[\s\S]*?<circle cx="([\d.]+)" cy="([\d.]+)"/.exec(svg);
    expect(Number(ring?.[1])).toBeCloseTo(
      plot.left + ((10 - x[0]) / (x[1] - x[0])) * (plot.right - plot.left),
      1,
    );
    expect(Number(ring?.[2])).toBeCloseTo(
      plot.bottom - ((10_000 - forceN[0]) / (forceN[1] - forceN[0])) * (plot.bottom - plot.top),
      1,
    );
  });

  test("marks start, end, drops and phases, each with its words", () => {
    const svg = figureTrace(ramp, {
      start: 1,
      end: 9,
      drops: [{ x: 5, fromN: 5000, toN: 4000 }],
      phases: [{ name: "hold", fromX: 2, toX: 3 }],
    });
    for (const title of [
      "start of the pull",
      "end of the pull",
      "drop from 5.00 kN to 4.00 kN at 5 s",
      "hold",
    ])
      expect(svg).toContain(`<title>${title}</title>`);
  });

  test("leaves gaps in the recording gaps: two stretches make two subpaths", () => {
    const holed = {
      ...ramp,
      lowN: ramp.lowN.map((v, i) => (i === 50 ? null : v)),
      highN: ramp.highN.map((v, i) => (i === 50 ? null : v)),
    };
    const subpaths = (window: TraceWindow) =>
      (/class="curve" d="([^"]*)"/.exec(figureTrace(window))?.[1] ?? "").split("M").length - 1;
    expect(subpaths(ramp)).toBe(1);
    expect(subpaths(holed)).toBe(2);
  });

  test("counts in rows where the recording has no time", () => {
    expect(figureTrace({ ...ramp, xIsTime: false })).toContain("row of the recording");
    expect(figureTrace(ramp)).toContain("time, s");
  });

  test("an empty window gives axes and says so", () => {
    const svg = figureTrace({ fromRow: 1, toRow: 1, x: [], lowN: [], highN: [], xIsTime: true });
    expect(svg).toContain("no samples to draw");
    expect(svg).not.toMatch(/NaN|Infinity/);
  });
});

test("thinning keeps every extreme: the greatest and the least of all spans stay", () => {
  const value = fc.option(fc.double({ min: -1e5, max: 1e5, noNaN: true }), { nil: null });
  fc.assert(
    fc.property(
      fc.array(value, { minLength: 1, maxLength: 300 }),
      fc.integer({ min: 1, max: 80 }),
      (values, columns) => {
        const window: TraceWindow = {
          fromRow: 1,
          toRow: values.length,
          x: values.map((_, i) => i),
          lowN: values,
          highN: values,
          xIsTime: true,
        };
        const thin = thinWindow(window, columns);
        const known = (list: readonly (number | null)[]) => list.filter((one) => one !== null);
        expect(thin.x.length).toBeLessThanOrEqual(columns);
        expect(Math.max(...known(thin.highN))).toBe(Math.max(...known(values)));
        expect(Math.min(...known(thin.lowN))).toBe(Math.min(...known(values)));
      },
    ),
  );
});

describe("the drawn rope", () => {
  test.each(["upright", "lying"] as const)("%s stays within its length and width", (orientation) => {
    const rope = drawRope({ length: 200, width: 20, orientation });
    const [across, along] = orientation === "upright" ? [20, 200] : [200, 20];
    const strands = [...rope.matchAll(/<path d="([^"]*)" fill="var/g)].map(([, d]) => d ?? "").join("");
    const points = [...strands.matchAll(/([-\d.]+) ([-\d.]+)/g)].map(
      ([, x, y]) => [Number(x), Number(y)] as const,
    );
    expect(points.length).toBeGreaterThan(200);
    for (const [x, y] of points) {
      expect(x).toBeGreaterThanOrEqual(-0.01);
      expect(x).toBeLessThanOrEqual(across + 0.01);
      expect(y).toBeGreaterThanOrEqual(-0.01);
      expect(y).toBeLessThanOrEqual(along + 0.01);
    }
  });

  test("has tucks that are filled or not, and nothing where there is no rope", () => {
    const rope = drawRope({
      length: 200,
      width: 20,
      orientation: "upright",
      tucks: [
        { at: 50, filled: true },
        { at: 150, filled: false },
      ],
    });
    expect(rope.match(/class="tuck filled"/g)?.length).toBe(1);
    expect(rope.match(/class="tuck"/g)?.length).toBe(1);
    expect(drawRope({ length: 0, width: 20, orientation: "upright" })).toBe("");
  });
});
