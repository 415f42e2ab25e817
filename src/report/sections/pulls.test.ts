import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { inventedReport } from "../../../test/report/invented-series.ts";
import { judgeSeries, type PullToJudge } from "../../findings/mod.ts";
import { seriesFields } from "../../series/mod.ts";
import { cellsSection } from "./cells.ts";
import { pullsSection } from "./pulls.ts";

const base = inventedReport();

/** A series of one cell with these strengths, in newtons, each broken. */
function seriesOf(strengthsN: readonly number[], fields: object = {}) {
  const series = { id: "ser-test", ...seriesFields.parse({ title: "Invented", ...fields }) };
  const pulls = strengthsN.map(
    (strengthN, at): PullToJudge => ({
      pullId: `pull-${at}`,
      specimenLabel: `A${at}`,
      order: at + 1,
      levels: {},
      ratedStrengthN: 36_000,
      legs: 2,
      outcome: { kind: "broke", place: "" },
      strengthN,
      strengthSource: "reading",
      warnings: [],
    }),
  );
  return { ...base, series, findings: judgeSeries(series, pulls), traces: {}, readings: {} };
}

/** The cells of a column, counted from 1, as a reader of the markup finds them. */
function column(html: string, at: number): string[] {
  const body = html.slice(html.indexOf("<tbody>"), html.indexOf("</tbody>"));
  return body
    .split("<tr")
    .slice(1)
    .map((row) => row.split(/<t[dh]/)[at] ?? "");
}

const strengths = fc.array(fc.double({ min: 500, max: 300_000, noNaN: true }), {
  minLength: 1,
  maxLength: 24,
});

describe("the table of pulls", () => {
  test("two pulls that differ never look equal, and all have the same digits, in both units", () => {
    fc.assert(
      fc.property(strengths, fc.double({ min: 1e-6, max: 1e-2, noNaN: true }), (some, share) => {
        // Each strength again, a little higher: the pairs that rounding would make equal.
        const all = [...some, ...some.map((strengthN) => strengthN * (1 + share))];
        const cells = column(pullsSection(seriesOf(all)).text, 4);
        for (const unit of ["kn", "lbf"]) {
          const shown = cells.map((cell) => new RegExp(`class="${unit}">([\\d.]+)`).exec(cell)?.[1] ?? "");
          expect(new Set(shown).size).toBe(new Set(all.map((one) => one.toPrecision(9))).size);
          expect(new Set(shown.map((figure) => figure.split(".")[1]?.length ?? 0)).size).toBe(1);
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe("the table of bounds", () => {
  test("no bound stands without method, n, content and confidence", () => {
    const methods = ["normal", "lognormal", "weibull", "mean-3sd", "lowest"] as const;
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 20_000, max: 60_000, noNaN: true }), { minLength: 1, maxLength: 12 }),
        fc.constantFrom(...methods),
        fc.constantFrom(0.9, 0.95, 0.99),
        (some, boundMethod, boundContent) => {
          const html = cellsSection(seriesOf(some, { boundMethod, boundContent })).text;
          const bounds = html.match(/<td class="num bound">[\s\S]*?<\/td>/g) ?? [];
          expect(bounds.length).toBeGreaterThan(0); // the lowest of n stands always
          for (const bound of bounds)
            expect(bound).toMatch(
              new RegExp(
                `${boundContent * 100}/[\\d.]+, [^<]*[a-zA-Z−3]+[^<]*, n\u00a0=\u00a0${some.length}<`,
              ),
            );
        },
      ),
      { numRuns: 40 },
    );
  });

  test("pulls that differ by rounding only bound nothing but the lowest", () => {
    const strengths = [20_000.00000000004, 20_000.000000000044];
    const html = cellsSection(seriesOf(strengths, { boundMethod: "weibull", boundContent: 0.9 })).text;
    expect(html.match(/<td class="num bound">[\s\S]*?<\/td>/g)?.length).toBe(1);
    expect(html).toContain("say nothing of scatter");
  });

  test("under mean − 3 SD of five stands what it buys: 85 % confidence for 95 % of specimens", () => {
    // 0.853 by the non-central t, as in docs/methods/coverage.md and by R: pt(3*sqrt(5), 4, qnorm(.95)*sqrt(5)).
    const html = cellsSection(seriesOf([48_000, 50_000, 51_000, 52_000, 53_000])).text;
    expect(html).toContain("95/85, mean − 3 SD, n\u00a0=\u00a05");
    // The lowest of five: 1 − 0.95^5 = 22.6 %.
    expect(html).toContain("95/23, lowest of n, n\u00a0=\u00a05");
  });
});
