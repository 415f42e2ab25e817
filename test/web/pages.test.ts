import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { accessFaults, listenForFaults, type OpenBook, openBrowser, shoot, startBook } from "./browser.ts";

// Every page of the demo series, on paper and slate, wide and narrow: what axe-core says, what the browser complains of,
// that nothing runs off the page, and that each page has one heading that names it.

const widths = [
  { name: "1440", width: 1440, height: 900 },
  { name: "390", width: 390, height: 844 },
];
const schemes = ["light", "dark"] as const;

let book: OpenBook;
let browser: Browser;
let pages: readonly { readonly name: string; readonly path: string; readonly there: string }[];

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  const read = async <T>(path: string): Promise<T> =>
    ((await (await fetch(book.url + path)).json()) as { value: T }).value;
  const [series] = await read<{ id: string }[]>("/api/records/series");
  const home = `/series/${series?.id}`;
  const { pulls } = await read<{ pulls: { id: string; recordingSha256?: string }[] }>(`/api${home}/overview`);
  const pull = pulls.find((one) => one.recordingSha256 !== undefined);
  pages = [
    { name: "welcome", path: "/", there: ".contents li" },
    { name: "ask", path: `${home}/ask`, there: "form" },
    { name: "splice", path: `${home}/splice`, there: ".ledger tbody tr" },
    { name: "pull", path: `${home}/pull`, there: ".pulls > li" },
    { name: "one-pull", path: `${home}/pull/${pull?.id}`, there: ".trace .curve" },
    { name: "judge", path: `${home}/judge`, there: ".figure-from-report svg" },
    { name: "tell", path: `${home}/tell`, there: "iframe" },
    { name: "use", path: `${home}/use`, there: "table" },
    { name: "bench-book", path: "/bench-book", there: ".contents li" },
    { name: "help", path: "/help", there: ".glossary" },
    { name: "not-found", path: "/no-such-page", there: "h1" },
    { name: "gone", path: "/series/ser-0000000000/judge", there: ".problems" },
  ];
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

describe("every page stands, by axe-core and without a complaint of the browser", () => {
  test.each(widths)("$name pixels wide, on light and dark paper", { timeout: 120_000 }, async (wide) => {
    const context = await browser.newContext({ viewport: { width: wide.width, height: wide.height } });
    const page = await context.newPage();
    const faults = listenForFaults(page);
    const wrong: string[] = [];
    for (const { name, path, there } of pages) {
      await page.goto(book.url + path);
      await page.locator(there).first().waitFor();
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (over > 0) wrong.push(`${name}: runs ${over} pixels off the page`);
      const headings = await page.locator("h1").count();
      if (headings !== 1) wrong.push(`${name}: ${headings} first headings`);
      if (!(await page.title()).endsWith("· Bitter End")) wrong.push(`${name}: the window has no name`);
      for (const colorScheme of schemes) {
        await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
        for (const fault of await accessFaults(page)) wrong.push(`${name}, ${colorScheme}: ${fault}`);
        await shoot(page, `${name}-${wide.name}-${colorScheme}`);
      }
      // A series that is not there is an answer of 404, and a bound that too few pulls cannot give one of 400: the browser
      // counts both as errors of the page.
      const answers: Readonly<Record<string, string>> = { gone: "404", judge: "400" };
      const expected = answers[name];
      wrong.push(
        ...faults
          .splice(0)
          .filter((fault) => expected === undefined || !fault.includes(`status of ${expected}`)),
      );
    }
    await context.close();
    expect(wrong).toEqual([]);
  });
});

test("a page can be walked through by keyboard, and what has the focus is seen", {
  timeout: 60_000,
}, async () => {
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  await page.goto(`${book.url}${pages[3]?.path}`);
  const first = page.locator(".pulls > li").first();
  await first.getByRole("button", { name: /^Change/ }).click();
  await first.getByLabel("Specimen", { exact: true }).waitFor();
  await page.getByRole("heading", { level: 1 }).focus();
  const seen: string[] = [];
  for (let step = 0; step < 40; step++) {
    await page.keyboard.press("Tab");
    seen.push(
      await page.evaluate(() => {
        const active = document.activeElement;
        if (!(active instanceof HTMLElement)) return "nothing";
        // A radio button shows its focus on the label around it.
        const shown = active.matches('input[type="radio"]') ? active.closest("label") : active;
        const outline = shown === null ? "" : getComputedStyle(shown).outlineStyle;
        return outline === "none" || outline === ""
          ? `unseen: ${active.outerHTML.slice(0, 90)}`
          : active.tagName;
      }),
    );
  }
  expect(seen.filter((one) => one.startsWith("unseen") || one === "nothing")).toEqual([]);
  expect(new Set(seen)).toContain("INPUT");
  await page.close();
});

test("targets are large enough for a gloved hand: 44 pixels high", { timeout: 60_000 }, async () => {
  const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
  const small: string[] = [];
  for (const { name, path, there } of pages) {
    await page.goto(book.url + path);
    await page.locator(there).first().waitFor();
    small.push(
      ...(await page.evaluate(
        (pageName) =>
          [
            ...document.querySelectorAll<HTMLElement>(
              "main button, main input:not(.unseen), main select, nav a.station",
            ),
          ]
            .filter((one) => one.offsetParent !== null && one.getBoundingClientRect().height < 44)
            .filter((one) => !one.matches('input[type="checkbox"], input[type="radio"]'))
            .map((one) => `${pageName}: ${one.outerHTML.slice(0, 90)} ${one.getBoundingClientRect().height}`),
        name,
      )),
    );
  }
  expect(small).toEqual([]);
  await page.close();
});
