import { describe, expect, test } from "vitest";
import { judgeSeries, type PullToJudge } from "../../findings/mod.ts";
import { type Outcome, seriesFields } from "../../series/mod.ts";
import {
  figureClaims,
  figureEffects,
  figureForest,
  figureIntervals,
  figurePlaces,
  figureScatterParts,
} from "../mod.ts";

const series = {
  id: "s",
  ...seriesFields.parse({ title: "Invented", factors: [{ name: "bury", unit: "d", levels: [30, 60] }] }),
};

function pulls(): PullToJudge[] {
  return [48, 49, 50, 51, 54, 55, 56, 57].map((kN, i): PullToJudge => {
    const outcome: Outcome =
      i < 3
        ? { kind: "slipped", place: "bury" }
        : { kind: "broke", place: i < 7 ? "taper end" : "by the <mark>" };
    return {
      pullId: `p${i}`,
      specimenLabel: `A${i}`,
      levels: { bury: i < 4 ? 30 : 60 },
      ropeName: "6 mm",
      ratedStrengthN: 30_000,
      legs: 2,
      maker: i % 2 === 0 ? "Ann" : "Bo",
      outcome,
      strengthN: kN * 1000,
      strengthSource: "typed",
      warnings: [],
    };
  });
}

const about = { id: "f", width: 860 };

describe("intervals", () => {
  test("a value stands on the axis where its tick says", () => {
    const svg = figureIntervals(
      [
        { label: "a", value: 0, interval: [-10, 10] },
        { label: "b", value: 10, interval: [0, 20] },
      ],
      { ...about, title: "t", axis: "%" },
    );
    const centres = [...svg.matchAll(/<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"/g)].map(
      ([, x, width]) => Number(x) + Number(width) / 2,
    );
    const tick = (text: string) =>
      Number(new RegExp(`<text x="([\\d.]+)"[^>]*>${text}</text>`).exec(svg)?.[1]);
    expect(centres[0]).toBeCloseTo(tick("0"), 1);
    expect(centres[1]).toBeCloseTo(tick("10"), 1);
  });

  test("one interval of a hundredfold width does not squeeze the others to a point, and all stays inside", () => {
    const svg = figureIntervals(
      [
        { label: "a", value: 5, interval: [3, 7] },
        { label: "b", value: 4, interval: [3, 6] },
        { label: "c", value: 6, interval: [0, 700] },
      ],
      { ...about, title: "t", axis: "%" },
    );
    const lines = [...svg.matchAll(/<path d="M([\d.]+) [\d.]+L([\d.]+) /g)].map(
      ([, a, b]) => [Number(a), Number(b)] as const,
    );
    expect((lines[0]?.[1] ?? 0) - (lines[0]?.[0] ?? 0)).toBeGreaterThan(60);
    for (const [a, b] of lines) expect(Math.min(a, b) >= 0 && Math.max(a, b) <= 860).toBe(true);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
  });
});

describe("figures of a series", () => {
  const findings = judgeSeries(series, pulls(), {
    claims: [
      {
        id: "c",
        seriesId: "s",
        statement: "bears 85 % <b>",
        source: "x",
        kind: "mean",
        basis: "rated single line",
        share: 1.7,
        levels: {},
        margin: 0.05,
        content: 0.95,
        notes: "",
      },
    ],
    pooled: [
      {
        id: "q",
        seriesId: "s",
        name: "Another <loft>",
        n: 6,
        basis: "rated, all legs",
        meanShare: 0.8,
        sdShare: 0.04,
        otherLevels: {},
        source: "",
        ratedStrengthBasis: "not stated",
        ratedStrengthEnds: "not stated",
        construction: "",
        levels: {},
        notes: "",
      },
    ],
  });

  test("effects: 12 % by hand, the ratio of geometric means", () => {
    const ratio = ((54 * 55 * 56 * 57) / (48 * 49 * 50 * 51)) ** 0.25;
    expect(figureEffects(findings, about)).toContain(
      `bury: 60 d against 30 d (n = 8): ${Number((100 * (ratio - 1)).toPrecision(3))}`,
    );
  });

  test("parts of the scatter name each part", () => {
    const svg = figureScatterParts(findings, about);
    expect(svg).toContain("between: maker");
    expect(svg).toContain("pull to pull");
  });

  test("places: each outcome by its house mark with its count, and free words underneath", () => {
    const svg = figurePlaces(findings.pulls, about) ?? "";
    expect(svg).toContain("<title>3 slipped: bury</title>");
    expect(svg).toContain("<title>4 broke: taper end</title>");
    expect(svg).toContain("Elsewhere: by the &lt;mark&gt; (1)");
    expect(figurePlaces([], about)).toBeUndefined();
  });

  test("claims on all legs: 170 % of a line is 85 %, and the pulls' mean 52.5 of 60 kN", () => {
    const svg = figureClaims(findings, about);
    expect(svg).toContain("bears 85 % &lt;b&gt; (claimed as a mean): 85");
    expect(svg).toContain("(mean, n = 8): 87.5");
  });

  test("a forest has a row for each series and one for all", () => {
    const [pool] = findings.pooled;
    if (pool === undefined) throw new Error("a pool is wanted");
    const svg = figureForest(pool, about);
    expect(svg.match(/class="row"/g)).toHaveLength(3);
    expect(svg).toContain("Another &lt;loft&gt;");
    expect(svg).toContain("the next ");
  });
});
