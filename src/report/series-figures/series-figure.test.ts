import { beforeAll, describe, expect, test } from "vitest";
import { inventedReport } from "../../../test/report/invented-series.ts";
import { judgeSeries } from "../../findings/mod.ts";
import {
  overlayCurves,
  type ReportInput,
  type SeriesFigureKind,
  seriesFigure,
  seriesFigureKinds,
  seriesFigures,
  settlingCurves,
  standAlone,
} from "../mod.ts";

const kinds = Object.keys(seriesFigureKinds) as SeriesFigureKind[];

function made(input: ReportInput, kind: SeriesFigureKind, align?: "peak" | "start") {
  const figure = seriesFigure(input, { kind, ...(align === undefined ? {} : { align }) });
  if (!figure.ok) throw new Error(JSON.stringify(figure.problems));
  return figure.value;
}

/** Rows of a CSV by the names in its head; cells may be quoted. */
function rowsOf(csv: string): Record<string, string>[] {
  const cellsOf = (line: string) =>
    [...line.matchAll(/(?:"((?:[^"]|"")*)"|([^,]*))(?:,|$)/g)].map(
      ([, quoted, plain]) => quoted ?? plain ?? "",
    );
  const [head = "", ...lines] = csv.trimEnd().split("\r\n");
  const names = cellsOf(head);
  return lines.map((line) => Object.fromEntries(cellsOf(line).map((cell, i) => [names[i] ?? "", cell])));
}

/** The invented series with a hold read out of each curve, by the law F = F1 [1 − 0.05 log10(1 + 4 t)] that it is drawn by. */
function withHolds(input: ReportInput): ReportInput {
  const readings = Object.fromEntries(
    Object.entries(input.readings ?? {}).map(([id, reading]) => [
      id,
      {
        ...reading,
        deep: {
          phases: [],
          strokes: 0,
          slips: [],
          hold: {
            fromRow: 1,
            toRow: 2,
            fromS: 6,
            toS: 30,
            startN: 0.15 * (reading.netPeakN ?? 0),
            endN: 0,
            settling: {
              perDecade: { value: 0.05, interval: [0.045, 0.055] as const },
              perDecadeAicc: 0,
              exponent: { value: 0.02, interval: [0.01, 0.03] as const },
              exponentAicc: 0,
              preferred: "log-time" as const,
            },
          },
        },
      },
    ]),
  );
  return { ...input, readings };
}

describe("the figures of a series", () => {
  let input: ReportInput;
  beforeAll(() => {
    input = withHolds(inventedReport());
  });

  test("are listed where the series has something for them, and refused with what is missing where it has not", () => {
    const listed = seriesFigures(input).map(({ asked }) => asked.kind);
    expect(listed).toContain("every-pull");
    expect(listed).toContain("overlay");
    expect(listed).toContain("settling");
    expect(listed).not.toContain("forest");
    for (const kind of kinds) {
      const figure = seriesFigure(input, { kind });
      expect(figure.ok).toBe(listed.includes(kind));
      if (!figure.ok) expect(figure.problems[0]?.code).toBe("REPORT_FIGURE");
    }
    const none = { ...input, findings: judgeSeries(input.series, []), traces: {}, readings: {} };
    expect(seriesFigures(none)).toEqual([]);
  });

  test("every pull: the data are peak over legs times rated strength, the bound over the same", () => {
    const rows = rowsOf(made(input, "every-pull").csv);
    for (const pull of input.findings.pulls) {
      const row = rows.find(({ name }) => name === (pull.specimenLabel ?? pull.pullId));
      if (pull.outcome === undefined) expect(row).toBeUndefined();
      else
        expect(Number(row?.["value"])).toBeCloseTo(
          (pull.strengthN ?? 0) / (2 * (pull.ratedStrengthN ?? 0)),
          9,
        );
    }
    const stated = input.findings.cells.filter(({ bound }) => bound.ok && bound.value.boundN > 0);
    expect(stated.length).toBeGreaterThan(3);
    for (const cell of stated) {
      const row = rows.find(({ what, name }) => what === input.findings.statedBy.name && name === cell.label);
      const rated = cell.levels["diameter"] === 6 ? 34_000 : 59_000;
      expect(Number(row?.["value"])).toBeCloseTo(
        (cell.bound.ok ? cell.bound.value.boundN : 0) / (2 * rated),
        9,
      );
    }
  });

  test("every pull: a bound is drawn as far below the mean as its figure says", () => {
    const svg = made(input, "every-pull").drawing;
    const cell = input.findings.cells.find(({ bound, n }) => bound.ok && bound.value.boundN > 0 && n === 4);
    if (cell === undefined || !cell.bound.ok || !cell.meanN.ok)
      throw new Error("a cell with a bound is wanted");
    const floor = new RegExp(
      `<path class="bound" d="M[\\d.]+ ([\\d.]+)L[^>]*><title>95/95 normal bound, ${cell.label}<`,
    );
    const line = new RegExp(
      `<line class="mean" x1="[\\d.]+" y1="([\\d.]+)"[^>]*><title>mean, ${cell.label}<`,
    );
    // All panels of a row share their axis: two gridlines give its scale.
    const ticks = [...svg.matchAll(/<text x="40" y="([\d.]+)"[^>]*>(\d+)<\/text>/g)].slice(0, 2);
    const [[y0, v0] = [], [y1, v1] = []] = ticks.map(([, y, value]) => [Number(y), Number(value)]);
    const perPixel = ((v1 ?? 0) - (v0 ?? 0)) / ((y1 ?? 0) - (y0 ?? 0));
    const drawn = (Number(floor.exec(svg)?.[1]) - Number(line.exec(svg)?.[1])) * perPixel;
    const rated = cell.levels["diameter"] === 6 ? 34_000 : 59_000;
    // Half a hundredth of a pixel at either end is what rounding may do.
    expect(drawn).toBeCloseTo((100 * (cell.bound.value.boundN - cell.meanN.value)) / (2 * rated), 1);
  });

  test("overlay: at the peak all marks stand over one moment, at the start each where its own peak was", () => {
    const markPlaces = (svg: string) =>
      [...svg.matchAll(/<circle class="mark broke" cx="([\d.]+)" cy="[\d.]+" r="[\d.]+"[^>]*><title>/g)].map(
        ([, x]) => x,
      );
    const peak = markPlaces(made(input, "overlay").drawing);
    expect(peak.length).toBe(
      input.findings.pulls.filter(({ outcome, pullId }) => outcome?.kind === "broke" && input.traces[pullId])
        .length,
    );
    expect(new Set(peak).size).toBe(1);
    const [first] = overlayCurves(input, "start");
    const reading = input.readings?.[first?.pullId ?? ""];
    expect(first?.peak.timeS).toBeCloseTo((reading?.peakTimeS ?? 0) - (reading?.startS ?? 0), 9);
    expect(made(input, "overlay", "start").title).toContain("start of the load");
  });

  test("overlay: forces are net of the rest, and a recording without times has no curve", () => {
    const curves = overlayCurves(input, "peak");
    for (const { pullId, peak } of curves)
      expect(peak.forceN).toBeCloseTo((input.readings?.[pullId]?.peakN ?? 0) - 60, 9);
    const [id = ""] = Object.keys(input.traces);
    const window = input.traces[id];
    if (window === undefined) throw new Error("a curve is wanted");
    const timeless = { ...input, traces: { ...input.traces, [id]: { ...window, xIsTime: false } } };
    expect(overlayCurves(timeless, "peak").length).toBe(curves.length - 1);
  });

  test("settling: the drawn shares follow the law that the curves were made by, and stop with the hold", () => {
    const curves = settlingCurves(input);
    expect(curves.length).toBe(Object.keys(input.traces).length);
    for (const { sinceS, low, high } of curves) {
      expect(sinceS.at(-1)).toBeLessThan(24);
      for (const [i, since] of sinceS.entries()) {
        const middle = ((low[i] ?? 0) + (high[i] ?? 0)) / 2;
        // A span is 0.2 s long and its sample stands at its start: at most 0.1 s beside its middle, where the law is steepest.
        const most = 1 - 0.05 * Math.log10(1 + (since - 0.1) * 4);
        expect(middle).toBeCloseTo(most, 2);
      }
    }
  });

  test("hold no number but finite ones, say when they are simulated, and are named and described", () => {
    for (const { asked } of seriesFigures(input)) {
      const { drawing, csv } = made(input, asked.kind);
      expect(drawing).not.toMatch(/NaN|Infinity|undefined/);
      expect(csv).not.toMatch(/NaN|Infinity|undefined/);
      expect(drawing).toContain(">Simulated: ");
      expect(drawing).toMatch(/role="img" aria-labelledby="([\w-]+)-title \1-desc"/);
      expect(csv.split("\r\n").length).toBeGreaterThan(2);
    }
  });
});

describe("a figure that stands by itself", () => {
  const hostile = "<script>alert(1)</script></desc> var(--ink) currentColor \u202e ]]> \"'&";
  const base = inventedReport();
  const input: ReportInput = {
    ...base,
    findings: judgeSeries(
      base.series,
      base.findings.pulls.map(({ use: _, ...pull }, i) => ({
        ...pull,
        specimenLabel: i % 2 === 0 ? hostile : `S${i}`,
        outcome: { kind: "broke" as const, place: hostile },
      })),
    ),
  };

  test.each(["light", "dark"] as const)(
    "%s: keeps hostile words as text and needs no style sheet",
    (scheme) => {
      for (const { asked } of seriesFigures(input)) {
        const { drawing, title, csv } = made(input, asked.kind);
        const svg = standAlone(drawing, { title, of: hostile, source: hostile, csv, scheme });
        const { tags, texts } = wellFormed(svg);
        expect(tags.filter((tag) => /script|foreignObject|image|use|style/i.test(tag.name))).toEqual([]);
        expect(tags.filter((tag) => /var\(|currentColor|href|url\(/.test(tag.attributes))).toEqual([]);
        expect(texts.join("\n")).toContain("<script>alert(1)</script>");
        expect(texts.join("\n")).not.toContain("\u202e");
        expect(texts.join("\n")).toContain("currentColor");
      }
    },
  );

  test("carries its data, word for word but for the ends of lines", () => {
    const { drawing, title, csv } = made(base, "places");
    const svg = standAlone(drawing, {
      title,
      of: base.series.title,
      source: "Source: these tests.",
      csv,
      scheme: "light",
    });
    const metadata = /<metadata>([^<]*)<\/metadata>/.exec(svg)?.[1];
    expect(metadata).toBe(csv);
    expect(svg).toContain(">Where it failed</text>");
    expect(svg).toContain(">Source: these tests.</text>");
  });

  test("has the same bytes each time", () => {
    const once = () => {
      const { drawing, title, csv } = made(inventedReport(), "every-pull");
      return standAlone(drawing, { title, of: "x", source: "y", csv, scheme: "dark" });
    };
    expect(once()).toBe(once());
  });
});

/** A strict reader of what SVG files here use of XML 1.0: elements with quoted attributes, text with the five entities. */
function wellFormed(xml: string) {
  const tags: { name: string; attributes: string }[] = [];
  const texts: string[] = [];
  const open: string[] = [];
  const piece = /<\/([\w:]+)>|<([\w:]+)((?:\s[\w:-]+="[^"<]*")*)(\/?)>|([^<]+)/gy;
  let at = 0;
  for (const found of xml.matchAll(piece)) {
    if (found.index !== at) break;
    at += found[0].length;
    const [, closed, opened, attributes = "", alone, text] = found;
    if (closed !== undefined) expect(open.pop()).toBe(closed);
    if (opened !== undefined) {
      tags.push({ name: opened, attributes });
      if (alone === "") open.push(opened);
    }
    if (text !== undefined) {
      expect(text).not.toMatch(/&(?!(?:amp|lt|gt|quot|#39);)/);
      texts.push(
        text
          .replace(/&lt;/g, "<")
          .replace(/&gt;/g, ">")
          .replace(/&quot;/g, '"')
          .replace(/&#39;/g, "'")
          .replace(/&amp;/g, "&"),
      );
    }
  }
  expect(xml.slice(at)).toBe("");
  expect(open).toEqual([]);
  return { tags, texts };
}
