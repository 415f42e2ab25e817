import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { dropFiles, listenForFaults, type OpenBook, openBrowser, startBook } from "./browser.ts";
import { dialects, pullSamples } from "./recordings.ts";

// A day's files in one drop: what is asked of the first is answered for all that look the same, and what is no recording
// waits until it is looked at.

let book: OpenBook;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  page.setDefaultTimeout(20_000);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

test("twelve files are kept in one go, and the one that is a letter waits", { timeout: 60_000 }, async () => {
  const faults = listenForFaults(page);
  const response = await fetch(`${book.url}/api/records/series`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ title: "A day at the bench" }),
  });
  const { value: series } = (await response.json()) as { value: { id: string } };
  await page.goto(`${book.url}/series/${series.id}/pull`);
  const peaks = Array.from({ length: 12 }, (_, at) => 40_000 + at * 500);
  const files = peaks.map((peakN, at) => ({
    name: `pull-${at + 1}.csv`,
    text: dialects.semicolons(pullSamples({ peakN })),
  }));
  files.splice(5, 0, { name: "letter.txt", text: "Dear all,\nthe loops lie in the loft.\nSee you there.\n" });
  await dropFiles(page, files);

  await page.getByRole("button", { name: "kN", exact: true }).click();
  await page.getByRole("button", { name: "Keep all 13 files so" }).click();
  await page.getByText("Cannot read letter.txt").waitFor();
  await page.getByText("5 files kept, 5 pulls found.").waitFor();
  await page.getByRole("button", { name: "put it away letter.txt" }).click();
  await page.getByText("12 files kept, 12 pulls found.").waitFor();

  const overview = await (await fetch(`${book.url}/api/series/${series.id}/overview`)).json();
  const { pulls } = (overview as { value: { pulls: { reading: { netPeakN: number } }[] } }).value;
  // Within 0.5 % of the peaks that the files were made with: their ripple at rest is 0.04 % of the peak.
  const read = pulls.map((pull) => pull.reading.netPeakN).sort((a, b) => a - b);
  expect(read.map((value, at) => Math.abs(value / (peaks[at] ?? Number.NaN) - 1) < 0.005)).toEqual(
    peaks.map(() => true),
  );
  // The question was asked once and its answer kept once.
  const layouts = (await (await fetch(`${book.url}/api/records/layout`)).json()) as {
    value: { name: string }[];
  };
  expect(layouts.value.map(({ name }) => name)).toContain("Logger of pull-1");
  expect(layouts.value.filter(({ name }) => name.startsWith("Logger of pull-")).length).toBe(1);
  expect(faults).toEqual([]);
});
