import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { createApp, type StoredReport, type Verification } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { changedZip, fullSeries } from "../bundle/books.ts";
import { bundleCli, makeFolder, runCli } from "./run.ts";

// Bundles as processes: written, verified with exit codes, taken into another book; a report published and withdrawn.

const cli = bundleCli();
const folder = makeFolder();
const path = (name: string) => join(folder.path, name);
let seriesId: string;

const run = (book: string, ...args: string[]) =>
  runCli(cli.script, args, { env: { BITTEREND_BOOK: path(book) } });

beforeAll(async () => {
  for (const name of ["ours.sqlite", "theirs.sqlite"]) {
    const opened = await openSqliteBook(path(name), { create: true });
    if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
    if (name === "ours.sqlite")
      seriesId = (await fullSeries(createApp(nodeEffects(opened.value)), { peaksKn: [2.4, 2.6] })).id;
    await opened.value.close();
  }
}, 60_000);

afterAll(() => {
  cli.remove();
  rmSync(folder.path, { recursive: true });
});

test("a revision is bundled with the same bytes in every time zone, and verified without a book", async () => {
  const published = await run("ours.sqlite", "report", seriesId, "--out", folder.path, "--publish");
  expect(published.code, published.err).toBe(0);
  const bundle = (name: string, zone: string) =>
    runCli(cli.script, ["bundle", seriesId, "--revision", "1", "--out", path(name)], {
      env: { BITTEREND_BOOK: path("ours.sqlite"), TZ: zone },
    });
  const made = await bundle("east.zip", "Pacific/Auckland");
  expect(made.code, made.err).toBe(0);
  expect(made.out).toMatch(/east\.zip: revision 1, \d+ bytes/);
  await bundle("west.zip", "America/Lima");
  expect(readFileSync(path("east.zip")).equals(readFileSync(path("west.zip")))).toBe(true);

  const verified = await run("nowhere.sqlite", "verify", path("east.zip"));
  expect(verified.code, verified.err).toBe(0);
  expect(verified.out).toContain("same numbers");
  const spoilt = changedZip(readFileSync(path("east.zip")), {
    "data/pulls.csv": (text) => text.replace("26100.5", "26900.5"),
  });
  writeFileSync(path("spoilt.zip"), spoilt);
  const differs = await run("nowhere.sqlite", "verify", path("spoilt.zip"));
  expect(differs.code).toBe(1);
  expect(differs.out).toMatch(/\d+ differences:/);
  expect(differs.out).toContain("findings.pulls[C1].strengthN\n    says 26100.5, comes out as 26900.5");
  const json = await run("nowhere.sqlite", "verify", path("spoilt.zip"), "--json");
  expect(json.json<Verification>()).toMatchObject({ same: false, revision: 1 });
  expect((await run("nowhere.sqlite", "verify", path("none.zip"))).code).toBe(1);
  expect((await run("nowhere.sqlite", "verify")).code).toBe(2);
}, 60_000);

test("a bundle is taken into another book once; one that is refused stores nothing", async () => {
  const first = await run("theirs.sqlite", "import-bundle", path("spoilt.zip"), path("east.zip"));
  expect(first.code).toBe(1);
  expect(first.err).toContain("[BUNDLE_HASH]");
  expect(first.out).toMatch(/east\.zip: imported as ser-\w+, “Bury of a loop”/);
  const second = await run("theirs.sqlite", "import-bundle", path("east.zip"), "--json");
  expect(second.code).toBe(0);
  expect(second.json<{ known: boolean }>().known).toBe(true);
  expect((await run("theirs.sqlite", "series", "--json")).out.match(/"ser-/g)).toHaveLength(1);
}, 60_000);

test("a report is listed and withdrawn with its reason; none is withdrawn without", async () => {
  const [report] = (await run("ours.sqlite", "withdraw", "--json")).json<StoredReport[]>();
  const id = report?.id ?? "";
  const mute = await run("ours.sqlite", "withdraw", id);
  expect([mute.code, mute.err.includes("reason")]).toEqual([1, true]);
  const withdrawn = await run("ours.sqlite", "withdraw", id, "--reason", "the cell");
  expect(withdrawn.code, withdrawn.err).toBe(0);
  expect((await run("ours.sqlite", "withdraw")).out).toContain("(withdrawn: the cell)");
  const none = await run("ours.sqlite", "bundle", seriesId, "--revision", "7", "--out", path("x.zip"));
  expect([none.code, none.err.includes("BOOK_NOT_FOUND")]).toEqual([1, true]);
}, 60_000);
