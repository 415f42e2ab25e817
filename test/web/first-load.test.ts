import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type OpenBook, openBrowser, startBook } from "./browser.ts";

// What each page costs over a network, as the browser counts it, each in a browser that has seen nothing yet: a phone on the
// workshop's wireless waits for these bytes. Bounds are what was measured, and a fifth more.

let book: OpenBook;
let browser: Browser;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

test.each([
  { name: "the first page", path: () => "/", there: ".contents li", atMostKb: 75 },
  { name: "the pulls", path: (home: string) => `${home}/pull`, there: ".pulls > li", atMostKb: 90 },
  { name: "Judge", path: (home: string) => `${home}/judge`, there: ".figure-from-report svg", atMostKb: 140 },
])(
  "$name comes with at most $atMostKb kB of code and style",
  { timeout: 60_000 },
  async ({ path, there, atMostKb }) => {
    const [series] = await book.read<{ id: string }[]>("/api/records/series");
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(book.url + path(`/series/${series?.id}`));
    await page.locator(there).first().waitFor();
    const sent = await page.evaluate(() =>
      (performance.getEntriesByType("resource") as PerformanceResourceTiming[])
        .filter(({ name }) => /\.(js|css)$/.test(name))
        .map(({ name, transferSize, decodedBodySize }) => ({ name, transferSize, decodedBodySize })),
    );
    // What is larger than a packet came packed.
    expect(
      sent.filter((one) => one.decodedBodySize > 1400 && one.transferSize >= one.decodedBodySize),
    ).toEqual([]);
    expect(sent.reduce((sum, { transferSize }) => sum + transferSize, 0) / 1000).toBeLessThan(atMostKb);
    await context.close();
  },
);
