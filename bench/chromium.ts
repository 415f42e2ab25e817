// npm run bench -- --chromium: what the page's user waits for, in a real browser with the built program behind it.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { openBrowser, startBook } from "../test/web/browser.ts";
import { keepRecording, pan } from "./panning.ts";

const data = join(process.cwd(), "node_modules/.cache/bitterend/bench");
const folder = mkdtempSync(join(tmpdir(), "bitterend-chromium-"));
const [book, browser] = await Promise.all([startBook(), openBrowser()]);
const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
const print = (what: string, figure: string) => process.stdout.write(`| ${what} | ${figure} |\n`);
print("what", "figure");
print("---", "--:");
try {
  await firstLoad();
  await drop("rows-1000000.csv", "1,000,000 rows");
  await drop("rows-10000000.csv", "10,000,000 rows");
  await frames("rows-1000000.csv", "1,000,000 samples");
  await frames("rows-10000000.csv", "10,000,000 samples");
  await openPulls(200);
} finally {
  await browser.close();
  await book.close();
  rmSync(folder, { recursive: true, force: true });
}

async function firstLoad(): Promise<void> {
  await page.goto(book.url, { waitUntil: "networkidle" });
  const seen = await page.evaluate(() => {
    const [visit] = performance.getEntriesByType("navigation") as PerformanceNavigationTiming[];
    const parts = performance.getEntriesByType("resource") as PerformanceResourceTiming[];
    const code = parts.filter(({ name }) => /\.(js|css)$/.test(name));
    const paint = performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Number.NaN;
    const bytes = (all: { transferSize: number }[]) => all.reduce((sum, one) => sum + one.transferSize, 0);
    return {
      load: visit?.loadEventEnd ?? Number.NaN,
      paint,
      code: bytes(code),
      all: bytes(parts) + (visit?.transferSize ?? 0),
    };
  });
  print(
    "first load, all that was sent",
    `${(seen.all / 1000).toFixed(0)} kB, of it code and style ${(seen.code / 1000).toFixed(0)} kB`,
  );
  print(
    "first load, to the first paint and to the end of loading",
    `${seen.paint.toFixed(0)} ms, ${seen.load.toFixed(0)} ms`,
  );
}

/** From the moment the file is in the browser's hands to its drawn trace; the least of three. */
async function drop(file: string, rows: string): Promise<void> {
  let least = Number.POSITIVE_INFINITY;
  for (let turn = 0; turn < 3; turn++) {
    await page.goto(book.url);
    await page.locator(".drop").waitFor();
    await page.evaluate(() => {
      const state = { chosen: 0, drawn: 0 };
      Object.assign(globalThis, { state });
      const look = (): void => {
        if (document.querySelector(".trace .curve") === null) requestAnimationFrame(look);
        else state.drawn = performance.now();
      };
      requestAnimationFrame(look);
      const note = () => {
        state.chosen = performance.now();
      };
      document.querySelector(".drop input[type=file]")?.addEventListener("change", note, { capture: true });
    });
    await page.locator(".drop input[type=file]").setInputFiles(join(data, file));
    await page.waitForFunction(() => (globalThis as unknown as Watched).state.drawn > 0, undefined, {
      timeout: 120_000,
    });
    const { chosen, drawn } = await page.evaluate(() => (globalThis as unknown as Watched).state);
    least = Math.min(least, drawn - chosen);
  }
  print(`from drop to drawn trace, ${rows}`, `${least.toFixed(0)} ms`);
}

type Watched = { readonly state: { readonly chosen: number; readonly drawn: number } };

/** Frames while the trace of a kept recording is dragged to and fro for three seconds. */
async function frames(file: string, samples: string): Promise<void> {
  const seen = await pan(page, await keepRecording(book.url, join(data, file)));
  print(
    `frames while panning, ${samples}`,
    `${seen.framesPerSecond.toFixed(0)} a second, in ${(100 * seen.movedShare).toFixed(0)} % of them the picture had moved`,
  );
  print(
    `between two frames while panning, ${samples}`,
    `95 of 100 within ${seen.gap95Ms.toFixed(1)} ms, the longest ${seen.longestGapMs.toFixed(1)} ms`,
  );
  print(`from the last move until the sharp picture stands, ${samples}`, `${seen.restedMs.toFixed(0)} ms`);
}

/** Opens pulls one after another without leaving the page, and says what the page holds before and after. */
async function openPulls(count: number): Promise<void> {
  const { value: all } = (await (await fetch(`${book.url}/api/records/series`)).json()) as {
    value: { id: string }[];
  };
  const pulls: string[] = [];
  for (const { id } of all) {
    const answer = (await (await fetch(`${book.url}/api/series/${id}/overview`)).json()) as {
      value: { pulls: { id: string }[] };
    };
    pulls.push(...answer.value.pulls.map((pull) => `/series/${id}/pull/${pull.id}`));
  }
  await page.goto(book.url, { waitUntil: "networkidle" });
  await visit(page, pulls[0] as string);
  const before = await heapOf(page);
  const from = performance.now();
  for (let at = 0; at < count; at++) await visit(page, pulls[at % pulls.length] as string);
  const each = (performance.now() - from) / count;
  const after = await heapOf(page);
  print(
    `JavaScript heap after opening ${count} pulls, one after another`,
    `${after.toFixed(1)} MB (after the first: ${before.toFixed(1)} MB)`,
  );
  print("a pull opened within the page, to its heading", `${each.toFixed(0)} ms`);
}

async function visit(on: Page, path: string): Promise<void> {
  await on.evaluate((to) => {
    const link = document.createElement("a");
    link.href = to;
    document.body.append(link);
    link.click();
    link.remove();
  }, path);
  await on.waitForFunction(
    (to) => location.pathname === to && document.querySelector("main h1, h1") !== null,
    path,
  );
}

async function heapOf(on: Page): Promise<number> {
  const session = await on.context().newCDPSession(on);
  await session.send("HeapProfiler.collectGarbage");
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  await session.detach();
  return usedSize / 1e6;
}
