import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import {
  accessFaults,
  dropFiles,
  listenForFaults,
  type OpenBook,
  openBrowser,
  openFolds,
  shoot,
  startBook,
} from "./browser.ts";
import { dialects, pullSamples } from "./recordings.ts";

// The whole path as a new user goes it, in a real browser against the built program with a new book. The truth is in the
// files themselves: pulls of 52, 55, 61 and 63 kN above their rest, written in three loggers' dialects.

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

describe("a new user", { timeout: 60_000 }, () => {
  test("drops a file on the first page and sees its peak", async () => {
    await page.goto(book.url);
    await dropFiles(page, [{ name: "first.csv", text: dialects.commas(pullSamples({ peakN: 52_000 })) }]);
    await sentence("One pull in 3001 rows: 52.0 kN, the rest level taken off.").waitFor();
    await page.locator(".trace .curve").waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-1-first-file");
  });

  test("begins a series with a question", async () => {
    await page.getByRole("button", { name: "Begin a series", exact: true }).click();
    await page.getByLabel("Title").fill("Does a longer bury hold more?");
    await page
      .getByLabel("What do you want to know?")
      .fill("Does a bury of 45 d hold more than one of 30 d?");
    await page.getByRole("button", { name: "Begin", exact: true }).click();
    await page.getByRole("heading", { level: 1, name: "Ask" }).waitFor();
    await page.getByRole("button", { name: "Vary something" }).click();
    await page.getByLabel("Factor", { exact: true }).fill("bury");
    await page.getByLabel("Unit", { exact: true }).fill("d");
    await page.getByLabel("Levels").fill("30, 45");
    await page.getByLabel("Pulls in each cell").fill("2");
    await page.getByRole("button", { name: "Keep it" }).click();
    await page.getByRole("row", { name: "45 2 0 0 0" }).waitFor();
    await shoot(page, "path-2-ask");
  });

  test("fills the specimen table by keyboard, and makes a rope and a recipe on the way", async () => {
    await page.getByRole("link", { name: "On to the specimens" }).click();
    await page.getByRole("button", { name: "Lay out the 4 specimens that the plan still wants" }).click();
    await page.getByLabel("Rope, A4").waitFor();

    await page.getByLabel("Rope, A1").focus();
    await page.keyboard.type("Grey 6");
    await page.getByRole("option", { name: "Make a new rope" }).click();
    const rope = page.getByRole("dialog", { name: "New rope" });
    expect(await rope.getByLabel("Name", { exact: true }).inputValue()).toBe("Grey 6");
    await rope.getByLabel("Nominal diameter").fill("6 mm");
    await rope.getByLabel("Rated strength").fill("34 kN");
    await rope.getByRole("button", { name: "Keep this rope" }).click();
    await rope.waitFor({ state: "detached" });

    await page.getByLabel("Recipe, A1").focus();
    await page.keyboard.type("Loop");
    await page.getByRole("option", { name: "Make a new recipe" }).click();
    const recipe = page.getByRole("dialog", { name: "New recipe" });
    await recipe.getByRole("button", { name: "Keep this recipe" }).click();
    await recipe.waitFor({ state: "detached" });

    for (const column of ["Rope", "Recipe"]) {
      await page.getByLabel(`${column}, A1`).focus();
      for (let row = 2; row <= 4; row++) {
        await page.keyboard.press("ArrowDown");
        await page.keyboard.press("Control+d");
      }
    }
    // Typed lengths: inches are read, Escape takes back what is typed, Enter goes down.
    await page.getByLabel("Cut, mm, A1").focus();
    await page.keyboard.type("2 ft");
    await page.keyboard.press("Enter");
    await page.keyboard.type("12345");
    await page.keyboard.press("Escape");
    await page.keyboard.type("612");
    await page.keyboard.press("Enter");
    await expect
      .poll(async () => await fieldsOf("specimen", "cutLengthMm"))
      .toEqual([609.6, 612, undefined, undefined]);
    for (const field of ["ropeId", "recipeId"]) {
      await expect
        .poll(async () => new Set(await fieldsOf("specimen", field)).size, { message: field })
        .toBe(1);
      expect((await fieldsOf("specimen", field))[0]).toMatch(/./);
    }
    expect(await page.locator(".problems").count()).toBe(0);
    expect(await fieldsOf("specimen", "levels")).toEqual([
      { bury: 30 },
      { bury: 45 },
      { bury: 30 },
      { bury: 45 },
    ]);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-3-splice");
  });

  test("drops four files in three dialects and is asked for a unit once", async () => {
    await page.getByRole("link", { name: "On to the pulls" }).click();
    await page.getByRole("heading", { level: 1, name: "Pull" }).waitFor();
    await dropFiles(page, [
      { name: "a.csv", text: dialects.commas(pullSamples({ peakN: 52_000, restN: 120 })) },
      { name: "b.csv", text: dialects.semicolons(pullSamples({ peakN: 61_000, restN: -80 })) },
      { name: "c.txt", text: dialects.tabs(pullSamples({ peakN: 55_000 })) },
      { name: "d.csv", text: dialects.semicolons(pullSamples({ peakN: 63_000 })) },
    ]);
    await sentence("One pull in 3001 rows: 52.0 kN").waitFor();
    await page.getByRole("button", { name: "Keep 1 pull" }).click();

    await page.getByRole("group", { name: /In which unit is the force/ }).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-4-unit-asked");
    await page.getByRole("button", { name: "kN", exact: true }).click();
    await sentence("One pull in 3001 rows: 61.0 kN").waitFor();
    await page.getByLabel("Remember this layout for the logger as").fill("Loft logger");
    await page.getByRole("button", { name: "Keep 1 pull" }).click();

    await sentence("One pull in 3001 rows: 55.0 kN").waitFor();
    await page.getByRole("button", { name: "Keep 1 pull" }).click();

    // The fourth is of the second one's logger: nothing is asked.
    await sentence("One pull in 3001 rows: 63.0 kN").waitFor();
    await page.getByRole("button", { name: "Keep 1 pull" }).click();
    await page.getByText("4 files kept, 4 pulls found.").waitFor();
    await page.getByRole("heading", { name: "4 pulls, 4 still to say" }).waitFor();
  });

  test("notices a file that is in the book already", async () => {
    await dropFiles(page, [
      { name: "again.csv", text: dialects.commas(pullSamples({ peakN: 52_000, restN: 120 })) },
    ]);
    await page.getByRole("button", { name: "Keep 1 pull" }).click();
    await page.getByText("these very bytes were in the book already").waitFor();
    expect((await fieldsOf("pull", "id")).length).toBe(4);
  });

  test("says which specimen each pull was and what happened to it, by keyboard", async () => {
    const told = [
      { file: "a.csv", label: "A1", key: "s", place: "bury" },
      { file: "b.csv", label: "A2", key: "b", place: "taper end" },
      { file: "c.txt", label: "A3", key: "s", place: "bury" },
      { file: "d.csv", label: "A4", key: "b", place: "throat" },
    ];
    for (const { file, label, key, place } of told) {
      const row = page.locator(".pulls > li").filter({ hasText: file });
      await row.getByLabel("Specimen", { exact: true }).focus();
      await page.keyboard.type(label);
      await page.keyboard.press("Enter");
      await row.getByRole("radio").first().focus();
      await page.keyboard.press(key);
      await row.getByLabel("Where it failed").fill(place);
      await page.keyboard.press("Tab");
    }
    await page.getByRole("heading", { name: "4 pulls", exact: true }).waitFor();
    // The last place is kept a moment after it was left.
    await expect
      .poll(() => fieldsOf("pull", "outcome"))
      .toEqual(told.map(({ key, place }) => ({ kind: key === "b" ? "broke" : "slipped", place })));
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-5-pulls");
  });

  test("looks at one pull, nearer and farther, by keyboard", async () => {
    await page.getByRole("link", { name: "52.0 kN" }).click();
    await page.getByRole("heading", { level: 1, name: "A1: 52.0 kN" }).waitFor();
    const curve = page.locator(".trace .curve");
    await curve.waitFor();
    const before = await curve.getAttribute("d");
    await page.getByRole("group", { name: /Trace of A1/ }).focus();
    await page.keyboard.press("+");
    await expect.poll(async () => await curve.getAttribute("d")).not.toBe(before);
    await page.keyboard.press("Home");
    expect(await page.getByRole("button", { name: "The whole recording" }).isDisabled()).toBe(true);
    // A photograph of the broken ends: the smallest PNG there is, one grey pixel.
    await page.getByLabel("Caption for the next photograph").fill("Tail drawn out");
    await page.locator('input[type=file][aria-label="Add from a file"]').setInputFiles({
      name: "ends.png",
      mimeType: "image/png",
      buffer: Buffer.from(
        "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==",
        "base64",
      ),
    });
    const photograph = page.getByRole("img", { name: "Tail drawn out" });
    await photograph.scrollIntoViewIfNeeded();
    await expect
      .poll(async () => await photograph.evaluate((img: HTMLImageElement) => img.naturalWidth))
      .toBe(1);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-6-pull");
    await page.getByRole("link", { name: "A2 →" }).first().click();
    await page.getByRole("heading", { level: 1, name: "A2: 61.0 kN" }).waitFor();
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe("H1");
  });

  test("reads what the pulls show", async () => {
    await page
      .getByRole("navigation", { name: /The line/ })
      .getByRole("link", { name: /Judge/ })
      .click();
    await page.locator(".findings .sentence").first().waitFor();
    await page.locator(".figure-from-report svg").first().waitFor();
    await openFolds(page);
    expect(await page.locator(".figure-from-report .mark.slipped").count()).toBeGreaterThanOrEqual(2);
    // Means of 52 and 55, and of 61 and 63, worked by hand.
    const cells = page.getByRole("region", { name: "Statistics of each cell" });
    await cells.getByRole("row", { name: /^30 .* 53\.5 / }).waitFor();
    await cells.getByRole("row", { name: /^45 .* 62\.0 / }).waitFor();
    // No figure of the table is blank: it is a number, or the reason why there is none.
    const blank = await cells
      .locator("tbody td")
      .evaluateAll((all) => all.filter((cell) => cell.textContent === "").length);
    expect(blank).toBe(0);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-7-judge");
  });

  test("publishes, and opens the page", async () => {
    await page.getByRole("link", { name: "On to the report" }).click();
    await page.getByRole("button", { name: "Publish revision 1" }).click();
    const published = page.getByRole("link", { name: "Open revision 1" });
    await published.waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-8-tell");
    const address = await published.getAttribute("href");
    const report = await browser.newPage();
    const reportFaults = listenForFaults(report);
    await report.goto(book.url + address);
    expect(await report.locator("h1").innerText()).toBe("Does a longer bury hold more?");
    expect(await report.locator("body").innerText()).toContain("A4");
    expect(reportFaults).toEqual([]);
    await shoot(report, "path-9-report");
    await report.close();
  });

  test("sees what the numbers permit, divided by a factor of their own", async () => {
    await page
      .getByRole("navigation", { name: /The line/ })
      .getByRole("link", { name: /Use/ })
      .click();
    await page.getByRole("textbox", { name: "Design factor" }).fill("8");
    // The lowest of the first cell, 52 kN, divided by 8.
    await page.getByRole("row", { name: /lowest pulled 2 52\.0 kN 6\.50 kN/ }).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-10-use");
  });

  test("types a peak that was only read off a display", async () => {
    await page
      .getByRole("navigation", { name: /The line/ })
      .getByRole("link", { name: /Pull/ })
      .click();
    await page.getByRole("button", { name: "A pull without a recording" }).click();
    await page.getByLabel("Peak").fill("7600 lbf");
    await page.getByRole("button", { name: "Keep this pull" }).click();
    // 7600 x 4.4482216152605 N, NIST SP 811.
    await page.getByRole("link", { name: "33.8 kN" }).waitFor();
    const row = page.locator(".pulls > li").filter({ hasText: "33.8 kN" });
    await row.getByRole("radio", { name: /Void/ }).check({ force: true });
    await row.getByText("It is kept as soon as you say why.").waitFor();
    await row.getByLabel("Why it is void").fill("the pin bent");
    await page.keyboard.press("Tab");
    await expect
      .poll(async () => (await fieldsOf("pull", "outcome")).at(-1))
      .toEqual({ kind: "void", reason: "the pin bent" });
  });

  test("finds what was said as a line each, and what is being said under the hand", async () => {
    await page.reload();
    await page.getByRole("heading", { name: "5 pulls, 1 still to say" }).waitFor();
    const first = page.locator(".pulls > li").filter({ hasText: "a.csv" });
    await first.getByText("Slipped, bury").waitFor();
    expect(await first.getByRole("radio").count()).toBe(0);
    await first.getByRole("button", { name: "Change A1" }).click();
    expect(await first.getByRole("radio", { name: "Slipped, A1" }).isChecked()).toBe(true);
    await first.getByRole("button", { name: "Fold A1" }).click();
    expect(await first.getByRole("radio").count()).toBe(0);

    await page.getByLabel("Only those still to say").check();
    await expect.poll(() => page.locator(".pulls > li").count()).toBe(1);
    const typed = page.locator(".pulls > li").filter({ hasText: "33.8 kN" });
    await typed.getByLabel("Specimen", { exact: true }).focus();
    await page.keyboard.type("A1");
    await page.keyboard.press("Enter");
    // Nothing is still to say, and what was just said is still there.
    await page.getByRole("heading", { name: "5 pulls", exact: true }).waitFor();
    expect(await typed.getByRole("radio", { name: /Void/ }).isChecked()).toBe(true);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "path-11-said");
  });

  test("meets no error on the way", () => {
    expect(faults).toEqual([]);
  });
});

/** What was found in a file, as the page says it. */
function sentence(text: string): Locator {
  return page.locator(".file-sheet .sentence").getByText(text);
}

/** One field of every record of a kind in the series, in the order in which they were made. */
async function fieldsOf(kind: string, field: string): Promise<unknown[]> {
  const seriesId = /\/series\/([^/]+)/.exec(page.url())?.[1] ?? "";
  const response = await fetch(`${book.url}/api/records/${kind}?seriesId=${seriesId}`);
  const { value } = (await response.json()) as { value: Record<string, unknown>[] };
  return value.map((record) => record[field]);
}
