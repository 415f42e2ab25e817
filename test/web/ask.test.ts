import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { accessFaults, listenForFaults, type OpenBook, openBrowser, shoot, startBook } from "./browser.ts";

// From a question to specimens made in the drawn order, in a real browser against the built program.

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let seriesId: string;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
  const make = async (kind: string, fields: object) => {
    const answer = await fetch(`${book.url}/api/records/${kind}`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(fields),
    });
    return ((await answer.json()) as { value: { id: string } }).value.id;
  };
  const ropeId = await make("rope", { name: "Line 6", nominalDiameterMm: 6, massPerLengthGPerM: 21 });
  for (const name of ["Spool one", "Spool two"])
    await make("spool", { ropeId, name, pricePerM: 2, currency: "EUR" });
  await make("recipe", { name: "Tried loop", kind: "crossed-tail loop", buryFullDiameters: 30, legs: 2 });
  seriesId = await make("series", {
    title: "Which bury is long enough?",
    factors: [{ name: "bury", unit: "d", levels: [40, 50, 60] }],
    pullsPerCell: 2,
  });
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

const section = (title: string) =>
  page.locator("section.section").filter({ has: page.getByRole("heading", { name: title, exact: true }) });

describe("Ask", { timeout: 120_000 }, () => {
  test("says how many pulls a difference takes, and follows what is typed", async () => {
    await page.goto(`${book.url}/series/${seriesId}/ask`);
    const many = section("How many pulls it takes");
    await many.getByLabel("Scatter within a cell, %").fill("10");
    await many.getByLabel("Difference worth knowing").fill("8");
    // Difference 0.8 SD, 80 %: 26 in each group (Cohen 1988, table 2.4.1, from memory).
    await many.getByText("26 pulls in each of two cells").waitFor();
    // ISO 16269-6, one side, 95/95, n = 5: 4.203 (from memory); at 10 % scatter 42.0 % of the mean.
    await many.getByRole("row", { name: "5 4.20 42.0 %", exact: true }).waitFor();
    await many.getByLabel("Difference worth knowing").fill("nothing");
    await many.locator(".wrong").first().waitFor();
    await many.getByLabel("Difference worth knowing").fill("8");
    await many.locator(".wrong").first().waitFor({ state: "detached" });
    // The browser notes the one refusal that was meant.
    expect(faults.splice(0)).toEqual([expect.stringContaining("status of 400")]);
  });

  test("tries the buries on simulated series, and can be stopped", async () => {
    const buries = section("Which buries");
    await buries.getByLabel("Half slip at a bury of, d").fill("34");
    await buries.getByLabel("A shorter bury, d").fill("20");
    await buries.getByText("slip first at").waitFor();
    const start = buries.getByRole("button", { name: "Try the plan on simulated series" });
    await start.click();
    await buries.getByRole("button", { name: "Stop" }).click();
    await start.click();
    // All three levels lie on the plateau of what is assumed: nearly no series can state a bury.
    const row = buries.getByRole("row", { name: /The plan: 40, 50, 60/ });
    await row.waitFor({ timeout: 90_000 });
    const nothing = Number((await row.getByRole("cell").nth(2).innerText()).replace(" %", ""));
    expect(nothing).toBeGreaterThan(80);
    const better = buries.getByRole("row", { name: /Proposed: / });
    expect(Number((await better.getByRole("cell").nth(2).innerText()).replace(" %", ""))).toBeLessThan(
      nothing,
    );
  });

  test("makes the specimens in the drawn order, with spools and makers, all in one go", async () => {
    const order = section("In which order");
    await order.getByLabel(/Spool one/).check();
    await order.getByLabel(/Spool two/).check();
    await order.getByLabel("Makers").fill("Kim, Ola");
    await order.getByLabel("Seed").fill("7");
    const takes = section("What it takes");
    await takes.getByLabel("Recipe").selectOption({ label: "Tried loop" });
    await takes.getByLabel("Finished length, mm").fill("1200");
    await takes.getByLabel("Minutes for each specimen").fill("30");
    await takes.getByText("3.0 h").waitFor();
    await takes.getByText("EUR").waitFor();
    // The drawn order has come once a maker stands in every row.
    await order.getByRole("row", { name: /^6 2 .*(Kim|Ola)$/ }).waitFor();
    await order.getByText("seed 7").waitFor();
    const drawn = await order
      .locator("tbody tr")
      .evaluateAll((rows) => rows.map((row) => [...row.children].map((cell) => cell.textContent ?? "")));
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "ask-planning-1440-light");
    const phone = await browser.newPage({ viewport: { width: 390, height: 844 }, colorScheme: "dark" });
    await phone.goto(`${book.url}/series/${seriesId}/ask`);
    await phone.getByRole("button", { name: "Make these 6 specimens" }).waitFor();
    expect(await accessFaults(phone)).toEqual([]);
    expect(await phone.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
    await shoot(phone, "ask-planning-390-dark");
    await phone.close();

    await order.getByRole("button", { name: "Make these 6 specimens" }).click();
    await order.getByText("Every cell has the specimens that the plan asks for.").waitFor();
    const said = (await (await fetch(`${book.url}/api/series/${seriesId}/overview`)).json()) as {
      value: {
        specimens: {
          label: string;
          plannedOrder: number;
          levels: { bury: number };
          maker: string;
          spoolId: string;
        }[];
        spools: { id: string; name: string }[];
      };
    };
    const { specimens, spools } = said.value;
    expect(
      specimens.map(({ plannedOrder, levels, spoolId, maker }) => [
        String(plannedOrder),
        String(levels.bury),
        spools.find(({ id }) => id === spoolId)?.name,
        maker,
      ]),
    ).toEqual(drawn.map(([place, , bury, spool, maker]) => [place, bury, spool, maker]));
    expect(specimens.map(({ label }) => label)).toEqual(["A1", "A2", "A3", "A4", "A5", "A6"]);
  });

  test("says what a plan changed after a pull does to the answer", async () => {
    await fetch(`${book.url}/api/records/pull`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ seriesId }),
    });
    await page.reload();
    await page.getByLabel("Levels").fill("30, 50, 60");
    await page.getByRole("button", { name: "Keep it" }).click();
    const changed = section("The plan was changed after pulls");
    await changed.getByText("1 level of “bury” dropped: 40; 1 level of “bury” added: 30.").waitFor();
    await changed.getByText("Levels chosen after seeing pulls").waitFor();
    expect(faults).toEqual([]);
  });
});
