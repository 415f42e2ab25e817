import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { slowness } from "../slowness.ts";
import { type OpenBook, openBrowser, startBook } from "./browser.ts";

// What the program promises of a large recording: 1e6 samples from drop to picture in under 2 s, with the page at hand
// meanwhile, and a way to stop.

let book: OpenBook;
let browser: Browser;
let page: Page;
const folder = mkdtempSync(join(tmpdir(), "bitterend-large-"));

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  writeFileSync(join(folder, "million.csv"), million(1_000_000));
  writeFileSync(join(folder, "three-million.csv"), million(3_000_000));
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
  rmSync(folder, { recursive: true, force: true });
});

describe("a recording of 1e6 samples", { timeout: 120_000 }, () => {
  test("is drawn in under 2 s from drop to picture, and the page answers meanwhile", async () => {
    // The best of three.
    const slow = slowness();
    let seen = await dropMillion();
    for (let more = 2; more > 0 && !inTime(seen, slow); more--) seen = await dropMillion();
    expect(seen.drawnMs).toBeLessThan(2000 * slow);
    // Below half a second between two frames.
    expect(seen.longestMs).toBeLessThan(500 * slow);
    await page.locator(".sentence").getByText("One pull in 1000000 rows").waitFor();
  });

  test("can be stopped while it is read, and read after all", async () => {
    await page.goto(book.url);
    await page.locator(".drop").waitFor();
    await page.locator(".drop input[type=file]").setInputFiles(join(folder, "three-million.csv"));
    await page.getByRole("button", { name: "Stop" }).click();
    await page.getByText("Stopped; nothing was kept.").waitFor();
    await page.getByRole("button", { name: "Read it after all" }).click();
    await page.getByRole("progressbar").waitFor();
    await page.getByRole("button", { name: /put it away/ }).click();
    await page.getByText("Drop a logger’s file").waitFor();
  });
});

type Seen = { readonly drawnMs: number; readonly longestMs: number };

function inTime({ drawnMs, longestMs }: Seen, slow: number): boolean {
  return drawnMs < 2000 * slow && longestMs < 500 * slow;
}

/** Drops the million samples on a fresh page: the time to the picture, and for how long the page was deaf. */
async function dropMillion(): Promise<Seen> {
  await page.goto(book.url);
  await page.locator(".drop").waitFor();
  // The longest time between two frames says how long the page was deaf.
  await page.evaluate(() => {
    const state = { longest: 0, last: performance.now(), chosen: 0, drawn: 0 };
    Object.assign(globalThis, { state });
    const frame = (): void => {
      const now = performance.now();
      if (state.chosen > 0 && state.drawn === 0) state.longest = Math.max(state.longest, now - state.last);
      state.last = now;
      if (state.drawn === 0 && document.querySelector(".trace .curve") !== null) state.drawn = now;
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
    // Heard before the page hears it: the time from the moment at which the file is in the browser's hands.
    document.querySelector(".drop input[type=file]")?.addEventListener(
      "change",
      () => {
        state.chosen = performance.now();
      },
      { capture: true },
    );
  });
  await page.locator(".drop input[type=file]").setInputFiles(join(folder, "million.csv"));
  await page.locator(".trace .curve").waitFor({ timeout: 20_000 });
  await page.waitForFunction(() => (globalThis as unknown as Watched).state.drawn > 0);
  const { chosen, drawn, longest } = await page.evaluate(() => (globalThis as unknown as Watched).state);
  return { drawnMs: drawn - chosen, longestMs: longest };
}

type Watched = {
  readonly state: { readonly longest: number; readonly chosen: number; readonly drawn: number };
};

/** Rows of time and force: at rest, a ramp to 50 kN over most of the file, a fall, at rest. */
function million(rows: number): string {
  const lines = ["time_s,force_N"];
  const top = Math.round(rows * 0.9);
  for (let row = 0; row < rows; row++) {
    const share = row < rows * 0.1 || row > top ? 0 : (row - rows * 0.1) / (top - rows * 0.1);
    const ripple = row === top ? 0 : 12 * Math.sin(row * 12.9898);
    lines.push(`${(row / 1000).toFixed(3)},${(50_000 * share + ripple).toFixed(1)}`);
  }
  return lines.join("\n");
}
