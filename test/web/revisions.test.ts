import { readFile } from "node:fs/promises";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { changedZip } from "../bundle/books.ts";
import { accessFaults, listenForFaults, type OpenBook, openBrowser, shoot, startBook } from "./browser.ts";

// A report's life on Tell: published, corrected, added to, withdrawn; and its bundle in another tester's book.

let book: OpenBook;
let theirs: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let seriesId: string;

beforeAll(async () => {
  [book, theirs, browser] = await Promise.all([startBook(), startBook(), openBrowser()]);
  const make = async (kind: string, fields: object) => {
    const answer = await fetch(`${book.url}/api/records/${kind}`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(fields),
    });
    return ((await answer.json()) as { value: { id: string } }).value.id;
  };
  seriesId = await make("series", { title: "Loops on a thin pin", tester: "Loft 7" });
  const ropeId = await make("rope", { name: "Grey 6", nominalDiameterMm: 6, ratedStrengthN: 30_000 });
  const recipeId = await make("recipe", { name: "loop", kind: "crossed-tail loop", legs: 2 });
  for (const [index, typedPeakN] of [48_000, 50_000, 49_000].entries()) {
    const specimenId = await make("specimen", { seriesId, label: `A${index + 1}`, ropeId, recipeId });
    const outcome = { kind: "broke", place: "throat" };
    await make("pull", { seriesId, specimenId, typedPeakN, outcome, order: index + 1 });
  }
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
}, 120_000);

afterAll(async () => {
  await browser?.close();
  await book?.close();
  await theirs?.close();
});

const revision = (number: number) =>
  page
    .locator(".revisions > li")
    .filter({ has: page.getByRole("link", { name: `Revision ${number}`, exact: true }) });

describe("Tell", { timeout: 120_000 }, () => {
  test("publishes, and a later revision says what it changed", async () => {
    await page.goto(`${book.url}/series/${seriesId}/tell`);
    await page.getByRole("button", { name: "Publish revision 1" }).click();
    await revision(1).waitFor();
    const held = await book.read<{ pulls: { id: string; revision: number }[] }>(
      `/api/series/${seriesId}/overview`,
    );
    const [first] = held.pulls;
    const patch = { revision: first?.revision, patch: { typedPeakN: 47_500 } };
    await fetch(`${book.url}/api/records/pull/${first?.id}`, {
      method: "PATCH",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(patch),
    });
    await page.getByLabel("Why this revision").fill("The display of A1 was misread.");
    await page.getByRole("button", { name: "Publish revision 2" }).click();
    await revision(2).getByText("The display of A1 was misread.").waitFor();
    await revision(2).locator("summary").click();
    await revision(2).getByText("strength from 48.00 kN to 47.50 kN").waitFor();
    expect(await page.getByLabel("Why this revision").inputValue()).toBe("");
    const [old] = await Promise.all([
      page.waitForEvent("popup"),
      page.getByRole("link", { name: "Revision 1", exact: true }).click(),
    ]);
    await old.getByText("A later revision stands.").waitFor();
    await old.close();
  });

  test("withdraws with a reason, which the list and the page then say", async () => {
    await revision(1).getByRole("button", { name: "withdraw revision 1" }).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByRole("button", { name: "Withdraw it" }).click();
    await dialog.getByText("Nothing was withdrawn").waitFor();
    await dialog.getByLabel("Why").fill("Misread <display>.");
    await dialog.getByRole("button", { name: "Withdraw it" }).click();
    await dialog.waitFor({ state: "detached" });
    await revision(1).getByText("withdrawn", { exact: true }).waitFor();
    await revision(1).getByText("Misread <display>.").waitFor();
    expect(
      await revision(1)
        .getByRole("button", { name: /withdraw/ })
        .count(),
    ).toBe(0);
    const shown = await browser.newPage();
    const id = (await book.read<{ id: string; number: number }[]>("/api/reports")).find(
      ({ number }) => number === 1,
    )?.id;
    await shown.goto(`${book.url}/reports/${id}`);
    await shown
      .getByText(/^Withdrawn on/)
      .first()
      .waitFor();
    expect(await shown.title()).toBe("Withdrawn: Loops on a thin pin");
    await shown.close();
  });

  test("looks right by day and by night, wide and narrow, and axe finds nothing", async () => {
    for (const width of [1440, 390])
      for (const colorScheme of ["light", "dark"] as const) {
        await page.setViewportSize({ width, height: width === 390 ? 844 : 1000 });
        await page.emulateMedia({ colorScheme });
        await page.getByRole("heading", { name: "Publish" }).scrollIntoViewIfNeeded();
        await shoot(page, `tell-revisions-${width}-${colorScheme}`);
      }
    await page.emulateMedia({ colorScheme: "light" });
    await page.setViewportSize({ width: 1440, height: 1000 });
    expect(await accessFaults(page)).toEqual([]);
  });

  test("gives its bundle to another book, which verifies it, takes it in, and knows it the second time", async () => {
    const id = (await book.read<{ id: string; number: number }[]>("/api/reports")).find(
      ({ number }) => number === 2,
    )?.id;
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      revision(2)
        .getByRole("link", { name: /the bundle/ })
        .click(),
    ]);
    const bytes = await readFile((await download.path()) ?? "");
    expect(download.suggestedFilename()).toBe(`${seriesId}-2.zip`);
    expect(id).toBeDefined();

    const other = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
    other.setDefaultTimeout(20_000);
    const otherFaults = listenForFaults(other);
    const choose = async (name: string, buffer: Buffer) => {
      await other.goto(theirs.url);
      await other
        .getByLabel("Another tester’s bundle")
        .setInputFiles({ name, mimeType: "application/zip", buffer });
    };
    const spoilt = changedZip(bytes, { "data/pulls.csv": (text) => text.replace("47500", "57500") });
    await choose("spoilt.zip", Buffer.from(spoilt));
    await other.getByRole("button", { name: "Verify its numbers" }).click();
    await other.getByRole("row", { name: /A1.*strengthN.*47500.*57500/ }).waitFor();
    await shoot(other, "bundle-differences");
    expect(await accessFaults(other)).toEqual([]);
    await other.getByRole("button", { name: "Take it into the book" }).click();
    await other.getByText("Nothing was stored").waitFor();
    expect(otherFaults.splice(0).every((fault) => fault.includes("400"))).toBe(true);

    await choose("theirs.zip", bytes);
    await other.getByRole("button", { name: "Verify its numbers" }).click();
    await other.getByRole("dialog").getByText("Same numbers.").waitFor();
    await other.getByRole("button", { name: "Take it into the book" }).click();
    await other.getByRole("button", { name: "Open the series" }).click();
    await other.getByRole("heading", { level: 1, name: /Ask/ }).waitFor();
    const imported = new URL(other.url()).pathname.split("/")[2];
    expect(imported).not.toBe(seriesId);
    await other.goto(`${theirs.url}/series/${imported}/tell`);
    await other.getByText(/came from a bundle of Loft 7, “Loops on a thin pin”, revision 2/).waitFor();
    await choose("again.zip", bytes);
    await other.getByRole("button", { name: "Take it into the book" }).click();
    await other.getByText(/It was in the book before/).waitFor();
    expect(otherFaults).toEqual([]);
    await other.close();
  });

  test("complains of nothing", () => {
    // The refused withdrawal is the one that was provoked.
    expect(faults.filter((fault) => !fault.includes("400"))).toEqual([]);
  });
});
