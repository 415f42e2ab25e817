import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { addBurySeries } from "../app/bury-series.ts";
import { bundleCli, makeFolder, runCli } from "./run.ts";

const cli = bundleCli();
const book = join(makeFolder().path, "loft.sqlite");
let seriesId: string;

const run = (...args: string[]) =>
  runCli(cli.script, ["slip-or-break", ...args], { env: { BITTEREND_BOOK: book } });

beforeAll(async () => {
  const opened = await openSqliteBook(book, { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  ({ seriesId } = await addBurySeries(createApp(nodeEffects(opened.value))));
  await opened.value.close();
});
afterAll(() => cli.remove());

// The lengths are worked by hand from R's survival fit (docs/methods/slip-or-break.md): 37.536 d at 50 %, 44.619 d at 5 %.
test("says the lengths, whose estimates are R's, and what was left out", async () => {
  const { code, out, err } = await run(seriesId, "--growth", "exponential", "--refits", "200");
  expect([code, err]).toEqual([0, ""]);
  expect(out).toMatch(/^ *50 % +37\.5 +\d/m);
  expect(out).toMatch(/^ *5 % +44\.6 +\d/m);
  expect(out).toContain("at most 5 % of such splices slip before they break");
  expect(out).toContain("V1 (void: the pin bent)");
});

test("as JSON: the same seed gives the same bytes, in threads of their own", async () => {
  const [first, again] = await Promise.all([
    run(seriesId, "--refits", "300", "--seed", "9", "--json"),
    run(seriesId, "--refits", "300", "--seed", "9", "--json"),
  ]);
  expect(first.json()).toMatchObject({ asked: { seed: 9, refits: 300 }, answer: { n: 30 } });
  expect(again.out).toBe(first.out);
});

test("refuses what is no chance, and a series that is not there", async () => {
  const odd = await run(seriesId, "--chance", "often");
  expect([odd.code, odd.out]).toEqual([1, ""]);
  expect(odd.err).toContain("chance");
  const nowhere = await run("ser-nowhere");
  expect(nowhere.code).toBe(1);
});
