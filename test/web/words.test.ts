import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { accessFaults, listenForFaults, type OpenBook, openBrowser, shoot, startBook } from "./browser.ts";

// Tell: the tester's words with their preview, what a report must state, and the record of a pull, in a real browser.

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let seriesId: string;
let pullId: string;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(30_000);
  faults = listenForFaults(page);
  const [series] = await book.read<{ id: string }[]>("/api/records/series");
  seriesId = series?.id ?? "";
  const { pulls } = await book.read<{ pulls: { id: string; reading?: object }[] }>(
    `/api/series/${seriesId}/overview`,
  );
  pullId = pulls.find(({ reading }) => reading !== undefined)?.id ?? "";
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

const seriesNow = () => book.read<Record<string, unknown>>(`/api/records/series/${seriesId}`);

describe("the tester's words", { timeout: 120_000 }, () => {
  test("are kept as they are typed and stand beneath as the report shows them", async () => {
    await page.goto(`${book.url}/series/${seriesId}/tell`);
    const text = "See [the paper](doi:10.1000/182) and **this**.";
    await page.getByLabel("Sources", { exact: true }).fill(text);
    const shown = page.getByLabel("Sources, as the report shows it");
    await shown.locator("strong", { hasText: "this" }).waitFor();
    expect(await shown.locator("a").getAttribute("href")).toBe("https://doi.org/10.1000/182");
    await expect.poll(async () => (await seriesNow())["sources"]).toBe(text);
    await page.locator("iframe.report-page").scrollIntoViewIfNeeded();
    await page
      .frameLocator("iframe.report-page")
      .locator(".own a[href='https://doi.org/10.1000/182']")
      .waitFor({ state: "attached" });
  });

  test("that are hostile stay text, in the preview and in the report", async () => {
    const evil =
      '<img src=x onerror="document.title=1"><script>document.title=2</script> [x](javascript:alert(1)) \u202Etxt';
    const notes = page.getByLabel("Notes on the series", { exact: true });
    await notes.fill(evil);
    const shown = page.getByLabel("Notes on the series, as the report shows it");
    await shown.getByText("<script>document.title=2</script>").waitFor();
    expect(await shown.locator("img, script, a").count()).toBe(0);
    await expect.poll(async () => (await seriesNow())["notes"]).toBe(evil);
    await page.locator("iframe.report-page").scrollIntoViewIfNeeded();
    const report = page.frameLocator("iframe.report-page");
    await report.getByText("<script>document.title=2</script>").first().waitFor({ state: "attached" });
    expect(await report.locator("script").count()).toBe(0);
    expect(await page.title()).toBe("Tell · Bitter End");
    await notes.fill("");
    await expect.poll(async () => (await seriesNow())["notes"]).toBe("");
  });

  test("cover what a report must state as soon as they are kept", async () => {
    const list = page.locator("#completeness");
    await list.getByText("Missing: where it was tested").waitFor();
    await page.getByLabel("Pulled at", { exact: true }).fill("the shed by the quay");
    await list.getByText("Missing: where it was tested").waitFor({ state: "detached" });
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "words-1440");
  });

  test("give way to nobody: what another changed meanwhile is asked about", async () => {
    const now = await seriesNow();
    const patched = await fetch(`${book.url}/api/records/series/${seriesId}`, {
      method: "PATCH",
      headers: { "content-type": "application/json", origin: book.url },
      body: JSON.stringify({ revision: now["revision"], patch: { customer: "somebody else" } }),
    });
    expect(patched.status).toBe(200);
    await page.getByLabel("For whom", { exact: true }).fill("nobody but the tester");
    await page.getByText("This was changed elsewhere while you typed.").waitFor();
    await page.getByRole("button", { name: "Keep mine over it" }).click();
    await expect.poll(async () => (await seriesNow())["customer"]).toBe("nobody but the tester");
  });

  test("and the tables come as a spreadsheet; nothing of all this was a fault", async () => {
    const coming = page.waitForEvent("download");
    await page.getByRole("link", { name: "The tables as a spreadsheet" }).click();
    expect((await coming).suggestedFilename()).toBe(`${seriesId}.xlsx`);
    // The one refusal that was asked for: somebody else had changed the series.
    expect(faults.filter((fault) => !fault.includes("409 (Conflict)"))).toEqual([]);
  });
});

describe("pages to print", { timeout: 120_000 }, () => {
  test.each(["record", "report"])(
    "the %s opens offline, asks for nothing, and axe finds nothing",
    async (what) => {
      const path = what === "record" ? `/pulls/${pullId}/record` : `/api/series/${seriesId}/report`;
      const html = await (await fetch(`${book.url}${path}`)).text();
      const alone = await browser.newPage({ viewport: { width: 1440, height: 1000 } });
      const asked: string[] = [];
      const wrong = listenForFaults(alone);
      await alone.route("**/*", (route) => {
        asked.push(route.request().url());
        return route.abort();
      });
      // Its own policy would stop axe, which is a script; what the policy forbids is what is counted here.
      await alone.setContent(html.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ""));
      await alone.locator("h1").waitFor();
      expect(await accessFaults(alone)).toEqual([]);
      expect(asked.filter((url) => !url.startsWith("data:"))).toEqual([]);
      expect(wrong).toEqual([]);
      // The unit is chosen without a script: one click, and no kN stands in the table any more.
      await alone.getByLabel("lbf", { exact: true }).check();
      expect(await alone.locator("td .kn:visible").count()).toBe(0);
      expect(await alone.locator("td small.lbf:visible").count()).toBeGreaterThan(0);
      await alone.close();
    },
  );

  test.each(["A4", "Letter"])("the report prints on %s with nothing cut off at the side", async (format) => {
    const html = await (await fetch(`${book.url}/api/series/${seriesId}/report`)).text();
    // The width between the margins of the page's own style sheet (14 mm each), at 96 pixels to the inch.
    const width = Math.floor((((format === "A4" ? 210 : 215.9) - 28) / 25.4) * 96);
    const alone = await browser.newPage({ viewport: { width, height: 1000 } });
    await alone.setContent(html);
    await alone.emulateMedia({ media: "print" });
    const wide = await alone.evaluate(() =>
      [...document.querySelectorAll("body *")]
        .filter((one) => one.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
        .filter((one) => one.tagName === "TABLE" || one.tagName === "svg" || one.tagName === "P")
        .map((one) => `${one.tagName}.${one.className}: ${(one.textContent ?? "").slice(0, 40)}`),
    );
    expect(wide).toEqual([]);
    const pdf = await alone.pdf({ format });
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    await alone.close();
  });
});
