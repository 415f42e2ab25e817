import { existsSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { bundleCli, makeFolder, runCli } from "./run.ts";

// Figures and the site as processes.

const cli = bundleCli();
const folder = makeFolder();
const book = join(folder.path, "loft.sqlite");
const file = (name: string) => join(folder.path, name);
let seriesId: string;

const run = (...args: string[]) => runCli(cli.script, args, { env: { BITTEREND_BOOK: book } });

beforeAll(async () => {
  const opened = await openSqliteBook(book, { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));
  const idOf = async (made: ReturnType<typeof app.create>) => {
    const answer = await made;
    if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
    return answer.value.id;
  };
  seriesId = await idOf(app.create("series", { title: "Loops" }));
  for (const typedPeakN of [48_000, 50_000, 53_000]) {
    const specimenId = await idOf(app.create("specimen", { seriesId, label: `A${typedPeakN}` }));
    await idOf(
      app.create("pull", { seriesId, specimenId, typedPeakN, outcome: { kind: "broke", place: "throat" } }),
    );
  }
  const published = await app.publishReport(seriesId);
  if (!published.ok) throw new Error(JSON.stringify(published.problems));
  await opened.value.close();
}, 60_000);

afterAll(() => {
  cli.remove();
  rmSync(folder.path, { recursive: true, force: true });
});

test("without a kind the figures are listed that the series has something for", async () => {
  const listed = (await run("figure", seriesId, "--json")).json<{ kind: string }[]>();
  const kinds = listed.map(({ kind }) => kind);
  expect(kinds).toContain("every-pull");
  expect(kinds).toContain("places");
  expect(kinds).not.toContain("overlay"); // nothing was recorded
  expect((await run("figure", seriesId)).out).toContain("where specimens failed");
});

test("the file's ending says as what a figure is written: SVG, its data as CSV, a PNG of two pixels to each", async () => {
  expect(
    (await run("figure", seriesId, "places", "--out", file("p.svg"), "--scheme", "dark", "--width", "600"))
      .code,
  ).toBe(0);
  const svg = readFileSync(file("p.svg"), "utf8");
  expect(svg).toMatch(/^<svg [^>]* width="600"/);
  expect((await run("figure", seriesId, "places", "--out", file("p.csv"))).code).toBe(0);
  expect(readFileSync(file("p.csv"), "utf8")).toBe("place,broke,slipped\r\nthroat,3,0\r\n");
  const painted = await run("figure", seriesId, "places", "--out", file("p.png"), "--width", "600");
  expect(painted.code, painted.err).toBe(0);
  const png = readFileSync(file("p.png"));
  // PNG specification, section 5.2: the signature; 11.2.1: width in bytes 16 to 19.
  expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
  expect(png.readUInt32BE(16)).toBe(1200);
});

test("what cannot be drawn or written is refused with the way out", async () => {
  const nothing = await run("figure", seriesId, "overlay", "--out", file("o.svg"));
  expect([nothing.code, nothing.err]).toEqual([1, expect.stringContaining("recordings with times")]);
  const unknown = await run("figure", seriesId, "pie", "--out", file("o.svg"));
  expect([unknown.code, unknown.err]).toEqual([
    1,
    expect.stringContaining("every-pull, slip-or-break, overlay"),
  ]);
  const ending = await run("figure", seriesId, "places", "--out", file("o.gif"));
  expect([ending.code, ending.err]).toEqual([1, expect.stringContaining(".svg, .png, .csv")]);
  expect((await run("figure", seriesId, "places")).code).toBe(1);
  expect(existsSync(file("o.svg"))).toBe(false);
});

test("a site is made, left alone where nothing changed, and refused where other things lie", async () => {
  const out = file("site");
  const first = (await run("site", "--out", out, "--url", "https://example.org/ropes", "--json")).json<{
    written: number;
  }>();
  expect(first.written).toBeGreaterThan(8);
  for (const name of [
    "index.html",
    "feed.xml",
    "sitemap.xml",
    `reports/${seriesId}/index.html`,
    `reports/${seriesId}/1.html`,
  ])
    expect(existsSync(join(out, name)), name).toBe(true);
  expect(readFileSync(join(out, "sitemap.xml"), "utf8")).toContain(
    `https://example.org/ropes/reports/${seriesId}/1.html`,
  );
  const again = await run("site", "--out", out, "--url", "https://example.org/ropes");
  expect(again.out).toContain("1 report, 1 unchanged; 0 files written, 0 removed");
  const refused = await run("site", "--out", folder.path);
  expect([refused.code, refused.err]).toEqual([1, expect.stringContaining("SITE_FOLDER")]);
  expect(existsSync(file("index.html"))).toBe(false);
});
