import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { SeriesOverview, StoredPull, StoredRecord, StoredRecording } from "../../src/app/mod.ts";
import {
  accessFaults,
  dropFiles,
  listenForFaults,
  type OpenBook,
  openBrowser,
  shoot,
  startBook,
} from "./browser.ts";
import { dialects, pullSamples } from "./recordings.ts";

// A recording of the book is read by another layout, its pulls get their bench in one go, and all is read again: what the
// page says is held against what the book keeps. The truth is the peak with which the file was written.

const peakN = 21_000;
let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let series: StoredRecord<"series">;
let bench: StoredRecord<"bench">;
let cell: StoredRecord<"load-cell">;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  series = await send("POST", "/api/records/series", { title: "Read twice", question: "By which layout?" });
  cell = await send("POST", "/api/records/load-cell", { name: "S-beam" });
  bench = await send("POST", "/api/records/bench", { name: "The shed", loadCellId: cell.id });
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
  await page.goto(`${book.url}/series/${series.id}/pull`);
  // Two files of a logger that does not say its unit, both kept at once as kilonewtons.
  await dropFiles(page, [
    { name: "one.csv", text: dialects.semicolons(pullSamples({ peakN, restN: 40 })) },
    { name: "two.csv", text: dialects.semicolons(pullSamples({ peakN: 18_000, restN: 40 })) },
  ]);
  await page.getByRole("button", { name: "kN", exact: true }).click();
  await page.getByLabel("Pulled on").selectOption({ label: "not said" });
  await page.getByRole("button", { name: "Keep all 2 files so" }).click();
  await page.getByRole("heading", { name: "2 recordings" }).waitFor();
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

async function send<T>(method: string, path: string, body: unknown): Promise<T> {
  const response = await fetch(book.url + path, {
    method,
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  const said = (await response.json()) as { value: T; problems?: unknown };
  if (!response.ok) throw new Error(JSON.stringify(said.problems));
  return said.value;
}

const kept = () => book.read<SeriesOverview>(`/api/series/${series.id}/overview`);
const one = async (): Promise<StoredPull> => {
  const { pulls, recordings } = await kept();
  const { sha256 } = recordings.find(({ fileName }) => fileName === "one.csv") ?? { sha256: "" };
  const found = pulls.find(({ recordingSha256 }) => recordingSha256 === sha256);
  if (found === undefined) throw new Error("the series has no pull of one.csv");
  return found;
};

describe("the recordings of a series", { timeout: 90_000 }, () => {
  test("are listed with how each is read, and all their pulls get a bench in one go", async () => {
    await page.getByText("Recording by recording").click();
    await page
      .getByText(/force from “Load” in kN/)
      .first()
      .waitFor();
    await page.getByLabel("All of them pulled on").selectOption({ label: "The shed" });
    await expect
      .poll(async () => (await kept()).pulls.map(({ benchId }) => benchId))
      .toEqual([bench.id, bench.id]);
    await expect.poll(() => page.getByLabel("Pulled on, one.csv").inputValue()).toBe(bench.id);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "again-1-recordings");
  });

  test("one is read by another layout: seen first, then kept, and the pull stays the same pull", async () => {
    const before = await one();
    await page.getByRole("button", { name: "Read by another layout one.csv" }).click();
    const sheet = page.getByRole("article", { name: "one.csv" });
    await sheet.getByText("This is how it is read now.", { exact: false }).waitFor();
    expect(await sheet.getByRole("button", { name: "Read it so from now on" }).isDisabled()).toBe(true);
    await sheet.getByLabel("Unit of force").selectOption("lbf");
    // Seen, and not yet kept: 21 pounds-force are 93 N (4.4482216152605 N to the pound-force, NIST SP 811).
    await sheet
      .getByText(/^One pull in 3001 rows: 93\.[45] N, the rest level taken off\.$/)
      .first()
      .waitFor();
    expect((await one()).reading?.peakN).toBe(before.reading?.peakN);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "again-2-other-layout");

    await sheet.getByRole("button", { name: "Read it so from now on" }).click();
    await page.getByText("Kept. 1 pull read by the other layout: 1 came out otherwise.").last().waitFor();
    const now = await one();
    expect([now.id, now.benchId]).toEqual([before.id, bench.id]);
    expect(now.reading?.peakN).toBeCloseTo(((peakN + 40) / 1000) * 4.4482216152605, 6);
    const changes = page.getByRole("region", { name: "What came out otherwise" });
    await changes.getByRole("row", { name: /^Highest sample 21\.0 kN 93\.6 N$/ }).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "again-3-kept");

    // And back, which is another layout again.
    await sheet.getByLabel("Unit of force").selectOption("kN");
    await sheet.getByRole("button", { name: "Read it so from now on" }).and(page.locator(":enabled")).click();
    await expect.poll(async () => (await one()).reading?.peakN).toBe(before.reading?.peakN);
    await sheet.getByRole("button", { name: "put it away one.csv" }).click();
    await sheet.waitFor({ state: "detached" });
  });

  test("are read again: nothing changes where nothing changed", async () => {
    const again = page.getByRole("button", { name: "Read again to compare this series" });
    await again.click();
    await page
      .getByText("2 recordings read to compare: nothing would come out otherwise.")
      .and(page.locator(".sentence"))
      .waitFor();
  });

  test("are read again where a reading is out of date: compared first, kept at the second press", async () => {
    const recording = await book.read<StoredRecording>(`/api/recordings/${(await one()).recordingSha256}`);
    // As a book would be whose readings an older program made: its rest lies 10 N lower.
    await page.route("**/api/reread", async (route) => {
      const answer = await route.fetch();
      const said = (await answer.json()) as { value: { changes: object[] } };
      const pull = await one();
      const about = { recordingSha256: recording.sha256, fileName: "one.csv", pullId: pull.id };
      said.value.changes = [
        { ...about, field: "restN", from: 30, to: 40, fromMethod: "1", toMethod: "2" },
        { ...about, field: "deep.hold.fromRow", from: 5, to: 6, fromMethod: "1", toMethod: "2" },
      ];
      await route.fulfill({ response: answer, json: said });
    });
    await page.getByRole("button", { name: "Read again to compare" }).click();
    await page
      .getByText("2 recordings read to compare: 1 would come out otherwise. Nothing is stored yet.")
      .and(page.locator(".sentence"))
      .waitFor();
    await page.getByText("method 1 before, 2 now").waitFor();
    await page.getByRole("row", { name: /^Rest level 30\.0 N 40\.0 N$/ }).waitFor();
    await page.getByText("And 1 figure beneath these").click();
    await page.getByRole("row", { name: /^Hold, fromRow 5 6$/ }).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "again-4-would-change");
    const asked = page.waitForRequest((request) => request.url().endsWith("/api/reread"));
    await page.getByRole("button", { name: "Read again and keep it" }).click();
    expect((await asked).postDataJSON()).toEqual({ seriesId: series.id, dryRun: false });
    await page
      .getByText("2 recordings read again and kept: 1 came out otherwise.")
      .and(page.locator(".sentence"))
      .waitFor();
    await page.unroute("**/api/reread");
  });

  test("of the whole book are read again from the bench book, series by series, and can be stopped", async () => {
    await page.goto(`${book.url}/bench-book`);
    let reads = 0;
    await page.route("**/api/reread", async (route) => {
      reads += 1;
      // The second series stays under way until it is stopped.
      if (reads > 1) return;
      await route.continue();
    });
    const again = page.getByRole("button", {
      name: "Read again to compare the whole book",
    });
    await again.click();
    await page.getByText(/^Reading, to compare: .+ …$/).waitFor();
    await expect.poll(() => reads).toBe(2);
    await page.getByRole("button", { name: "Stop" }).click();
    await page
      .getByText(/^Stopped\. \d+ recordings? read to compare: nothing would come out otherwise\.$/)
      .and(page.locator(".sentence"))
      .waitFor();
    await page.unroute("**/api/reread");
    await again.click();
    // The demo's recordings and the two of this test.
    const all = (
      await Promise.all(
        (
          await book.read<{ id: string }[]>("/api/records/series")
        ).map(
          async ({ id }) => (await book.read<SeriesOverview>(`/api/series/${id}/overview`)).recordings.length,
        ),
      )
    ).reduce((sum, n) => sum + n, 0);
    await page
      .getByText(`${all} recordings read to compare: nothing would come out otherwise.`)
      .and(page.locator(".sentence"))
      .waitFor({ timeout: 60_000 });
    expect(await accessFaults(page)).toEqual([]);
  });

  test("nothing was complained of by the browser", () => {
    expect(faults).toEqual([]);
  });
});
