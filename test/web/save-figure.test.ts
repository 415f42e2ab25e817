import { readFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { listenForFaults, type OpenBook, openBrowser, shoot, startBook } from "./browser.ts";

// Figures are saved from where they are shown, over the demo series.

let book: OpenBook;
let browser: Browser;
let seriesId: string;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  const listed = (await (await fetch(`${book.url}/api/records/series`)).json()) as {
    value: { id: string }[];
  };
  seriesId = listed.value[0]?.id ?? "";
}, 60_000);

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

test("Tell lists every figure of the series; one is saved as PNG, dark", async () => {
  const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
  const faults = listenForFaults(page);
  await page.goto(`${book.url}/series/${seriesId}/tell`);
  const link = page.getByRole("link", { name: "PNG, dark for Every pull" });
  await link.waitFor({ timeout: 60_000 });
  const [saved] = await Promise.all([page.waitForEvent("download", { timeout: 60_000 }), link.click()]);
  expect(saved.suggestedFilename()).toBe(`${seriesId}-every-pull-dark.png`);
  // PNG specification, section 5.2.
  expect([...readFileSync(await saved.path()).subarray(0, 4)]).toEqual([137, 80, 78, 71]);
  await shoot(page, "tell-figures-390");
  expect(faults).toEqual([]);
  await page.close();
}, 150_000);

test("Judge has the same under the figure itself; the data of every mark are saved as CSV", async () => {
  const page = await browser.newPage();
  await page.goto(`${book.url}/series/${seriesId}/judge`);
  const link = page.getByRole("link", { name: "data, CSV for every pull as a mark" });
  await link.waitFor({ timeout: 60_000 });
  const [saved] = await Promise.all([page.waitForEvent("download", { timeout: 60_000 }), link.click()]);
  const rows = readFileSync(await saved.path(), "utf8").split("\r\n");
  expect(rows[0]).toContain("outcome_or_n,value,low,high,unit");
  expect(rows.filter((row) => row.startsWith("pull,")).length).toBe(32);
  await page.close();
}, 150_000);
