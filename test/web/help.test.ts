import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { listenForFaults, type OpenBook, openBrowser, startBook } from "./browser.ts";

// What help says of the bounds, from docs/methods/coverage.json; help among all pages is looked at in pages.test.ts.

let book: OpenBook;
let browser: Browser;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

test("Judge leads from the choice of a bound to how often such a bound holds", {
  timeout: 60_000,
}, async () => {
  const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
  const faults = listenForFaults(page);
  const { value } = (await (await fetch(`${book.url}/api/records/series`)).json()) as {
    value: readonly { readonly id: string }[];
  };
  await page.goto(`${book.url}/series/${value[0]?.id}/judge?method=lognormal`);
  await page.getByRole("link", { name: "How often such a bound holds" }).click();
  const heading = page.locator("#bound-lognormal");
  await heading.waitFor();
  expect(await heading.textContent()).toBe("Log-normal tolerance bound");
  await expect.poll(() => heading.evaluate((place) => document.activeElement === place)).toBe(true);
  // The place is in sight, at the head of the window.
  const top = await heading.evaluate((place) => place.getBoundingClientRect().top);
  expect(top).toBeGreaterThanOrEqual(0);
  expect(top).toBeLessThan(844 / 2);
  // A bound that few pulls cannot give is answered with 400, which the browser counts as an error.
  expect(faults.filter((fault) => !fault.includes("status of 400"))).toEqual([]);
  await page.close();
});

test("each method says how many of a hundred should hold, and how many did", {
  timeout: 60_000,
}, async () => {
  const page = await browser.newPage();
  await page.goto(`${book.url}/help`);
  await page.locator("table.coverage").first().waitFor();
  const rows = await page
    .locator("table.coverage")
    .evaluateAll((tables) =>
      tables.map((table) =>
        [...table.querySelectorAll("tbody tr")].map((row) =>
          [...row.children].map((cell) => cell.textContent?.trim() ?? ""),
        ),
      ),
    );
  const names = await page.locator("h3[id^=bound-]").evaluateAll((all) => all.map(({ id }) => id.slice(6)));
  const of = (name: string) =>
    new Map(rows[names.indexOf(name)]?.map(([scatter, ...held]) => [scatter, held]));
  expect(names).toHaveLength(7);
  // Algebra: of n values the lowest lies below 95 % of the population with chance 1 - 0.95^n, whatever the scatter.
  const lowest = [3, 5, 8, 12, 20, 30].map((n) => 100 * (1 - 0.95 ** n));
  for (const [scatter, held] of of("lowest"))
    if (!scatter?.includes("stopped"))
      held.forEach((one, i) => {
        expect(Math.abs(Number(one) - (lowest[i] ?? Number.NaN)), `${scatter} ${one}`).toBeLessThan(1.2);
      });
  // The exact bounds hold as often as they say with their own scatter.
  const own = { normal: "normal *", lognormal: "log-normal *", weibull: "Weibull *" };
  for (const [name, scatter] of Object.entries(own))
    expect(of(name).get(scatter)).toEqual(["95", "95", "95", "95", "95", "95"]);
  // 1 - 0.9^29 is the first above 0.95: of the sizes drawn only 30 pulls give a distribution-free bound.
  expect(of("distribution-free").get("normal *")).toEqual(["none", "none", "none", "none", "none", "96"]);
  // What is said in words stands in the table.
  const said = await page.locator("#bound-normal + p").textContent();
  expect(said).toMatch(/^Of 100 such bounds 95 should hold\. With two-mode scatter \d+ did at n = 5/);
  const told = [...(said ?? "").matchAll(/(\d+) did at n = (\d+)/g)];
  expect(told.length).toBeGreaterThan(0);
  for (const [, held, n = ""] of told)
    expect(of("normal").get("two-mode")?.[["3", "5", "8", "12", "20", "30"].indexOf(n)]).toBe(held);
  await page.close();
});
