import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { SeriesFindings } from "../../src/findings/mod.ts";
import { keep, type OpenBook, openBrowser, startBook } from "./browser.ts";

// The report of the demo series as somebody has it in twenty years: a file on a disk, no network, scripts off.

let book: OpenBook;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let findings: SeriesFindings;
const asked: string[] = [];
const folder = mkdtempSync(join(tmpdir(), "bitterend-report-"));

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  const [series] = await book.read<{ id: string }[]>("/api/records/series");
  findings = await book.read<SeriesFindings>(`/api/series/${series?.id}/findings`);
  const html = await (await fetch(`${book.url}/api/series/${series?.id}/report`)).text();
  const file = join(folder, "report.html");
  writeFileSync(file, html);
  context = await browser.newContext({
    javaScriptEnabled: false,
    offline: true,
    viewport: { width: 1440, height: 900 },
  });
  page = await context.newPage();
  page.setDefaultTimeout(20_000);
  page.on("request", (request) => asked.push(request.url().slice(0, 60)));
  await page.goto(pathToFileURL(file).href);
}, 60_000);

afterAll(async () => {
  await browser?.close();
  await book?.close();
  rmSync(folder, { recursive: true, force: true });
});

describe("a report from a disk, offline, with scripts off", { timeout: 60_000 }, () => {
  test("has its words, its tables and its figures, and asks for nothing", async () => {
    const sentences = page.locator("#answer ~ .answers .sentence");
    expect(await sentences.count()).toBe(findings.findings.length);
    const rows = page
      .getByRole("region", { name: /^All \d+ pulls, in the order of pulling/ })
      .locator("tbody tr");
    expect(await rows.count()).toBe(findings.pulls.length);
    for (const width of [1440, 390]) {
      await page.setViewportSize({ width, height: 900 });
      const figures = page.locator("figure:has(.wide)");
      expect(await figures.count()).toBeGreaterThan(5);
      for (const figure of await figures.all()) {
        // One drawing of the two, with marks in it, and what it shows.
        expect(await figure.locator("svg:visible").count()).toBe(1);
        const box = await figure.locator("svg:visible").boundingBox();
        expect(box?.height).toBeGreaterThan(80);
        expect(
          await figure.locator("svg:visible").locator("path, circle, line, rect").count(),
        ).toBeGreaterThan(5);
        expect(await figure.locator("figcaption").innerText()).toContain("Source: ");
      }
      expect(await page.locator("html").evaluate((html) => html.scrollWidth - html.clientWidth)).toBe(0);
    }
    await page.setViewportSize({ width: 1440, height: 900 });
    expect(asked.filter((url) => !url.startsWith("file:") && !url.startsWith("data:"))).toEqual([]);
  });

  test("changes its unit, unfolds and hands its data out, all without a script", async () => {
    const first = page.locator("td .kn").first();
    await page.getByLabel("lbf", { exact: true }).check();
    await first.waitFor({ state: "hidden" });
    await page.getByLabel("kN and lbf").check();
    await first.waitFor();
    const marks = page.getByRole("region", { name: "The marks of the figure" });
    expect(await marks.isVisible()).toBe(false);
    await page.getByText("The numbers of the figure, line by line").click();
    await marks.waitFor();
    const figure = page
      .locator("figure")
      .filter({ has: page.locator(".figure-title", { hasText: "Every pull" }) });
    const [saved] = await Promise.all([
      page.waitForEvent("download"),
      figure.getByRole("link", { name: /data of this figure/ }).click(),
    ]);
    const data = readFileSync(await saved.path(), "utf8").split("\r\n");
    expect(data.filter((row) => row.startsWith("pull,")).length).toBe(findings.pulls.length);
  });

  test.each([
    ["A4", 210 - 28],
    ["Letter", 216 - 28],
  ])("prints on %s: nothing runs out of the page, and no name is cut", async (format, widthMm) => {
    keep(`report-${format}.pdf`, await page.pdf({ format }));
    // A page of print is as wide as the paper less its margins, at 96 pixels to the inch.
    await page.setViewportSize({ width: Math.floor((widthMm / 25.4) * 96), height: 1000 });
    await page.emulateMedia({ media: "print" });
    expect(await page.locator("html").evaluate((html) => html.scrollWidth - html.clientWidth)).toBe(0);
    const cut = await page.locator("th.name, td .end").evaluateAll((names) =>
      names
        .filter((name) => {
          const range = document.createRange();
          const words = [...name.childNodes].find((node) => node.nodeType === 3);
          if (words === undefined) return true;
          range.selectNodeContents(words);
          return range.getClientRects().length !== 1;
        })
        .map((name) => name.textContent),
    );
    expect(cut).toEqual([]);
    await page.emulateMedia({ media: "screen" });
    await page.setViewportSize({ width: 1440, height: 900 });
  });
});
