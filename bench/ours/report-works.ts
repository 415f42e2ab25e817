import { mkdirSync, mkdtempSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { folderAt } from "../../src/cli/commands/site.ts";
import { judgeSeries, type PullToJudge } from "../../src/findings/mod.ts";
import type { Result } from "../../src/problem/mod.ts";
import { figureStrip, type ReportInput, renderReport } from "../../src/report/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { inventedReport } from "../../test/report/invented-series.ts";

type Doing = () => readonly number[] | Promise<readonly number[]>;

/** The marks of a file, one pull each: bury in diameters, kilonewtons, and whether it broke. */
function reportOfMarks(file: string): ReportInput {
  const input = inventedReport();
  const rows = readFileSync(file, "utf8").trim().split("\n");
  const pulls = rows.map((row, at): PullToJudge => {
    const [bury = 0, kN = 0, broke = 0] = row.split(" ").map(Number);
    return {
      pullId: `pull-${at}`,
      specimenLabel: `S${at}`,
      order: at + 1,
      levels: { bury },
      ropeName: "6 mm braid",
      recipeName: "crossed-tail loop",
      nominalDiameterMm: 6,
      ratedStrengthN: 20_000,
      legs: 2,
      outcome: broke === 1 ? { kind: "broke", place: "throat" } : { kind: "slipped", place: "bury" },
      strengthN: kN * 1000,
      strengthSource: "reading",
      warnings: [],
    };
  });
  const series = { ...input.series, factors: [{ name: "bury", unit: "d", levels: [20, 30, 45, 60] }] };
  return {
    ...input,
    series,
    findings: judgeSeries(series, pulls),
    traces: {},
    readings: {},
    pullDetails: {},
  };
}

export function figure(file: string, count: number): Doing {
  const { series, findings } = reportOfMarks(file);
  return () => [marksIn(times(count, () => figureStrip(series, findings, { width: 860 })))];
}

export function reportOf(file: string, count: number): Doing {
  const input = reportOfMarks(file);
  return () => [times(count, () => renderReport(input)).length];
}

/** Sites of so many reports of twelve typed pulls, from a book that is made once; again is a second run over the same folder. */
export async function site(count: number, again: boolean): Promise<Doing> {
  const app = await bookOf(count);
  const to = join(folder(), "site");
  const build = async () => {
    const built = value(await app.site(folderAt(to), { url: "https://example.org/" }));
    return [built.reports, built.written];
  };
  mkdirSync(to, { recursive: true });
  if (again) await build();
  return build;
}

const books = new Map<number, Promise<ReturnType<typeof createApp>>>();

function bookOf(count: number) {
  const known = books.get(count);
  if (known !== undefined) return known;
  const made = makeBook(count);
  books.set(count, made);
  return made;
}

async function makeBook(count: number) {
  const app = createApp(nodeEffects(value(await openSqliteBook(":memory:", { create: true }))));
  for (let at = 0; at < count; at++) {
    const series = value(
      await app.create("series", {
        title: `Series ${at}`,
        tester: "The bench",
        factors: [{ name: "bury", unit: "d", levels: [30, 45] }],
      }),
    );
    for (let pull = 0; pull < 12; pull++) {
      const specimen = value(
        await app.create("specimen", {
          seriesId: series.id,
          label: `S${pull}`,
          levels: { bury: pull < 6 ? 30 : 45 },
        }),
      );
      value(
        await app.create("pull", {
          seriesId: series.id,
          specimenId: specimen.id,
          order: pull + 1,
          typedPeakN: 20_000 + 800 * ((pull * 7 + at) % 12),
          outcome: { kind: "broke", place: "throat" },
        }),
      );
    }
    value(await app.publishReport(series.id));
  }
  return app;
}

function folder(): string {
  const beside = join(process.cwd(), "node_modules/.cache/bitterend/bench/written");
  mkdirSync(beside, { recursive: true });
  return mkdtempSync(join(beside, "s-"));
}

/** Draws so often, and gives the last. */
function times(count: number, draw: () => string): string {
  let drawn = "";
  for (let at = 0; at < count; at++) {
    drawn = draw();
    // Asking for a character lays a text that was put together out of pieces into one.
    drawn.charCodeAt(0);
  }
  return drawn;
}

/** The marks of pulls, which say whose they are; those of the key stand in no group of marks. */
function marksIn(drawing: string): number {
  const groups = drawing.match(/<g class="marks [^>]*>.*?<\/g>/g) ?? [];
  return groups.join("").match(/<title>/g)?.length ?? 0;
}

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}
