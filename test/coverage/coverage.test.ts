import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { findCalculation } from "../../src/app/mod.ts";
import { createRandom } from "../../src/stats/mod.ts";
import { runCell } from "./cells.ts";
import { drawing } from "./draw.ts";
import { laws } from "./laws.ts";
import { coverage, readTable, writePage } from "./write.ts";
import { drawPlaces } from "./write-methods.ts";

// The truth is the population that the pulls are drawn from. Draws come from a seed, so a pass stays a pass; the limit of
// four Monte Carlo standard errors would stop one right figure in 16,000 at another seed.

const refuseFaults = (fault: string) => {
  throw new Error(fault);
};

describe("a bound or an interval covers as often as it claims where its assumption holds", () => {
  const exact = [
    ["normal", "normal"],
    ["lognormal", "log-normal"],
    ["weibull", "Weibull 20"],
    ["mean-3sd", "normal"],
    ["lowest", "two modes"],
    ["interval of the mean", "normal"],
  ] as const;
  for (const [subject, law] of exact) {
    for (const n of [5, 12]) {
      test(`${subject}, ${law}, n = ${n}`, () => {
        const rows = runCell({ subject, law, n, share: 0, draws: 800, seed: 41 + n }, refuseFaults);
        expect(rows.length).toBeGreaterThan(0);
        for (const row of rows) {
          const { share, error } = coverage(row);
          expect(row.refused).toBe(0);
          expect(Math.abs(share - row.nominal)).toBeLessThan(4 * error);
        }
      });
    }
  }

  test("hanson-koopmans at least as often as it claims", () => {
    for (const row of runCell(
      { subject: "hanson-koopmans", law: "Weibull 10", n: 5, share: 0, draws: 800, seed: 3 },
      refuseFaults,
    )) {
      const { share, error } = coverage(row);
      expect(share).toBeGreaterThan(row.nominal - 4 * error);
    }
  });
});

test("a bound with the wrong law is seen to fall short", () => {
  // The simulation must be able to fail: a Weibull bound under two modes is far off its 95 %.
  const rows = runCell(
    { subject: "weibull", law: "two modes", n: 12, share: 0, draws: 150, seed: 5 },
    refuseFaults,
  );
  const content90 = rows.find(({ target }) => target === "90 % above");
  expect(content90 && coverage(content90).share).toBeLessThan(0.85);
});

describe("on logarithms the shape of a Weibull law falls out, so one shape stands for all", () => {
  for (const subject of ["weibull", "lognormal"])
    test(subject, () => {
      const counts = ["Weibull 10", "Weibull 20", "Weibull 40"].map((law) =>
        runCell({ subject, law, n: 5, share: 0.2, draws: 60, seed: 9 }, refuseFaults)
          .filter((row) => row.law === law)
          .map(({ covered }) => covered),
      );
      expect(counts[0]).toHaveLength(2);
      expect(counts[1]).toEqual(counts[0]);
      expect(counts[2]).toEqual(counts[0]);
    });
});

describe("pulls are drawn from the population named", () => {
  for (const law of laws) {
    test(`${law.name}: quantiles and distribution function agree, the mean is that of the draws`, () => {
      for (const share of [0.05, 0.1, 0.5, 0.9]) expect(law.cdf(law.quantile(share))).toBeCloseTo(share, 9);
      const random = createRandom(11);
      const draws = Array.from({ length: 20_000 }, () => law.draw(random));
      const mean = draws.reduce((sum, value) => sum + value, 0) / draws.length;
      const sd = Math.sqrt(draws.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (draws.length - 1));
      expect(Math.abs(mean - law.mean)).toBeLessThan((4 * sd) / Math.sqrt(draws.length));
    });

    test(`${law.name}: the share asked for is stopped`, () => {
      const random = createRandom(12);
      const draw = drawing(law, 20_000, 0.4);
      const stopped = draw(random).censored.filter(Boolean).length / 20_000;
      // Four standard errors of a share of 0.4.
      expect(Math.abs(stopped - 0.4)).toBeLessThan(4 * Math.sqrt(0.24 / 20_000));
    });
  }
});

test("the figures on the methods' pages are those of the table", () => {
  const folder = new URL("../../docs/methods/", import.meta.url);
  const read = (name: string) => readFileSync(new URL(name, folder), "utf8");
  const rows = readTable(read("coverage.json"));
  expect(read("coverage.md")).toBe(writePage(rows, 1));
  const pages = readdirSync(folder).filter((name) => name.endsWith(".md"));
  const drawn = pages.filter((name) => read(name).includes("<!-- coverage: "));
  expect(drawn.length).toBeGreaterThan(0);
  expect(drawn.filter((name) => drawPlaces(read(name), rows) !== read(name))).toEqual([]);
  // A table that says otherwise is drawn otherwise.
  const other = rows.map((row) => ({ ...row, covered: 0 }));
  expect(drawn.filter((name) => drawPlaces(read(name), other) === read(name))).toEqual([]);
});

test("what the calculation says of its own intervals is what the table says", () => {
  const table = readFileSync(new URL("../../docs/methods/coverage.json", import.meta.url), "utf8");
  const fits = readTable(table).filter(({ subject }) => subject.startsWith("fit, "));
  const held = (chosen: (row: (typeof fits)[number]) => boolean) => {
    const shares = fits.filter(chosen).map((row) => Math.round(100 * coverage(row).share));
    return [Math.min(...shares), Math.max(...shares)];
  };
  const isCalibrated = ({ subject }: { subject: string }) => subject.includes("calibrated");
  const stopped = held((row) => isCalibrated(row) && row.share > 0 && row.n < 20);
  const few = held((row) => !isCalibrated(row) && row.n === 3);
  const found = findCalculation("fit");
  const said = JSON.stringify(found.ok && found.value.schemas().output);
  expect(said).toContain(`fewer than 20 they hold ${stopped[0]} to ${stopped[1]} times in 100`);
  expect(said).toContain(`they hold ${few[0]} to ${few[1]} times in 100 for 3 values`);
});
