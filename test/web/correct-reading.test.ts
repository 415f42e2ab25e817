import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { SeriesOverview, StoredPull } from "../../src/app/mod.ts";
import type { SeriesFindings } from "../../src/findings/mod.ts";
import {
  accessFaults,
  listenForFaults,
  type OpenBook,
  openBrowser,
  openFolds,
  shoot,
  startBook,
} from "./browser.ts";

// A reading is corrected by keyboard and by pointer, undone, done again and put back; what the book keeps is asked of the
// book itself. The truth is the row that the hand moved to.

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let home: string;
let pull: StoredPull;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  const [series] = await book.read<{ id: string }[]>("/api/records/series");
  home = `/series/${series?.id}`;
  const { pulls } = await book.read<SeriesOverview>(`/api${home}/overview`);
  const found = pulls.find(
    ({ reading }) =>
      (reading?.deep?.slips.length ?? 0) > 1 && reading?.deep?.phases.some(({ name }) => name === "hold"),
  );
  if (found === undefined) throw new Error("the demo series has no pull with slips and a hold");
  pull = found;
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
  await page.goto(`${book.url}${home}/pull/${pull.id}`);
  await page.locator(".trace .curve").waitFor();
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

const kept = () => book.read<StoredPull>(`/api/pulls/${pull.id}`);
const startOf = (of: StoredPull, phase: string): number | undefined =>
  of.reading?.deep?.phases.find(({ name }) => name === phase)?.fromRow;
/** Asked of the book until it is so: what the page shows may be of a moment ago. */
const holdStart = async () => startOf(await kept(), "hold");

const enabled = (button: "Undo" | "Redo") =>
  page.getByRole("button", { name: button }).and(page.locator(":enabled"));

describe("a reading is corrected by hand", { timeout: 60_000 }, () => {
  test("the curve tells its phases in words, its peak with its uncertainty, and each doubt and figure has its place", async () => {
    const words = await page.locator(".trace svg text").allTextContents();
    for (const word of ["rest", "hold", "ramp", "first slip"]) expect(words).toContain(word);
    expect(words.some((word) => /^peak \d+\.\d+ ± \d+\.\d+ kN$/.test(word))).toBe(true);
    await page.getByText("How sure the peak is, part by part").click();
    await page.getByRole("row", { name: /^together/ }).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "correct-1-as-read");
  });

  test("by keyboard: a boundary moves by a sample, with Shift by ten, and is kept when the keys rest", async () => {
    const before = startOf(pull, "hold") ?? 0;
    await page.getByRole("button", { name: "Correct the phases" }).click();
    const handle = page.getByRole("slider", { name: "start of the hold" });
    await handle.focus();
    for (const key of ["ArrowRight", "ArrowRight", "Shift+ArrowRight", "ArrowLeft"])
      await page.keyboard.press(key);
    expect(await handle.getAttribute("aria-valuenow")).toBe(String(before + 11));
    await page.getByRole("button", { name: "reset to what was read at the start of the hold" }).waitFor();
    await expect.poll(holdStart).toBe(before + 11);
    const now = await kept();
    expect(now.machineReading?.deep?.phases.find(({ name }) => name === "hold")?.fromRow).toBe(before);
    // The machine's boundary stays in the picture as a faint line.
    expect(await page.locator(".trace .as-read").count()).toBe(1);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "correct-2-moved");
  });

  test("undone and done again by keys, and put back to what was read", async () => {
    const before = startOf(pull, "hold") ?? 0;
    await page.locator("h1").click();
    // The page's own news of the pull is slow to come: a hand is faster, and must not be told of another's change.
    await page.route(`**/api/pulls/${pull.id}`, async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 400));
      await route.continue();
    });
    // On a slow machine the keys may have rested on the way, and more than one correction was kept.
    const made = (await kept()).overrides.length;
    const step = async (key: string, then: "Undo" | "Redo", left: number) => {
      await page.keyboard.press(key);
      await expect.poll(async () => (await kept()).overrides.length).toBe(left);
      await enabled(then).waitFor();
    };
    await enabled("Undo").waitFor();
    for (let left = made - 1; left >= 0; left--) await step("Control+z", "Redo", left);
    expect(startOf(await kept(), "hold")).toBe(before);
    for (let left = 1; left <= made; left++) await step("Control+Shift+Z", "Undo", left);
    const back = page.getByRole("button", { name: "reset to what was read at the start of the hold" });
    expect(startOf(await kept(), "hold")).toBe(before + 11);
    await back.click();
    await back.waitFor({ state: "detached" });
    await page.unroute(`**/api/pulls/${pull.id}`);
    const now = await kept();
    expect(startOf(now, "hold")).toBe(before);
    expect(now.overrides).toEqual([]);
  });

  test("by pointer: a grip is dragged to where the hand lets go", async () => {
    const handle = page.getByRole("slider", { name: "start of the hold" });
    await handle.locator(".grip").scrollIntoViewIfNeeded();
    const box = await handle.locator(".grip").boundingBox();
    if (box === null) throw new Error("the grip is not in view");
    const before = startOf(pull, "hold") ?? 0;
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2 + 60, box.y + box.height / 2, { steps: 6 });
    const told = Number(await handle.getAttribute("aria-valuenow"));
    await page.mouse.up();
    expect(told).toBeGreaterThan(before + 50);
    await page.getByRole("button", { name: "reset to what was read at the start of the hold" }).waitFor();
    await expect.poll(holdStart).toBe(told);
    await page.getByRole("button", { name: "Undo" }).click();
    await page
      .getByRole("button", { name: "reset to what was read at the start of the hold" })
      .waitFor({ state: "detached" });
  });

  test("a slip is struck out, and one is added between two handles", async () => {
    const slips = pull.reading?.deep?.slips ?? [];
    await page.getByRole("button", { name: "strike out slip 1" }).click();
    const struck = page.locator("ol.corrections", { hasText: `Slip at row ${slips[0]?.row} struck out` });
    await struck.waitFor();
    await expect.poll(async () => (await kept()).reading?.deep?.slips.length).toBe(slips.length - 1);
    await page.getByRole("button", { name: "Undo" }).click();
    await struck.waitFor({ state: "detached" });

    await page.getByRole("button", { name: "Done correcting" }).click();
    await page.getByRole("button", { name: "Add a slip" }).click();
    await page.getByRole("slider", { name: "top of the new slip" }).waitFor();
    await page.getByRole("slider", { name: "foot of the new slip" }).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await page.getByRole("button", { name: "Leave it" }).click();
    expect((await kept()).reading?.deep?.slips.length).toBe(slips.length);
  });

  test("nothing was complained of by the browser", () => {
    expect(faults).toEqual([]);
  });
});

describe("a lower bound", { timeout: 60_000 }, () => {
  test("is worked out by the method that was chosen, which the address keeps", async () => {
    await page.goto(`${book.url}${home}/judge`);
    await openFolds(page);
    await page.getByLabel("Method").selectOption("lowest");
    await page.waitForURL(/method=lowest/);
    await page
      .getByText(/^The lowest of 2 values: that at least 95 % of the population lie above it/)
      .first()
      .waitFor();
    await page.getByLabel("Of the specimens").selectOption("0.9");
    await page.waitForURL(/content=0.9&/);
    await page.goto(page.url());
    expect(await page.getByLabel("Method").inputValue()).toBe("lowest");
    // 1 − 0.9² = 19 %, whatever the distribution: algebra of the lowest of two.
    await page
      .getByText(/at least 90 % of the population lie above it holds with (19|18.9) % confidence/)
      .first()
      .waitFor();
    await page.getByLabel("Method").selectOption("distribution-free");
    await page
      .getByText(/needs 29 values, has 2/)
      .first()
      .waitFor(); // ln 0.05 / ln 0.9 = 28.4
    await shoot(page, "bounds");
  });

  test("is kept for the series, and findings and report then state it", async () => {
    await page.goto(`${book.url}${home}/judge?method=weibull&content=0.9&confidence=0.95`);
    await page.getByRole("button", { name: "State the one shown here instead" }).click();
    await page
      .getByText(/^This is the bound that findings and report of the series state: 90\/95 Weibull/)
      .waitFor();
    const { statedBy } = await book.read<SeriesFindings>(`/api${home}/findings`);
    expect(statedBy).toMatchObject({ method: "weibull", content: 0.9, confidence: 0.95 });
    // Without a choice in the address the page shows what the series keeps.
    await page.goto(`${book.url}${home}/judge`);
    await page
      .getByText(/if the values follow a Weibull distribution/)
      .first()
      .waitFor();
    expect(await page.getByLabel("Method").inputValue()).toBe("weibull");
    expect(await accessFaults(page)).toEqual([]);
    const report = await (await fetch(`${book.url}/api${home}/report`)).text();
    expect(report).toContain("Stated: 90/95 Weibull bound");
    expect(report).toContain("if the values follow a Weibull distribution");
    await shoot(page, "bound-kept");
  });
});
