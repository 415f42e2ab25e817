import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { demoWorld, meanLatentStrengths } from "../../src/app/demo/latent-strengths.ts";
import type { SeriesFindings, SeriesSlipOrBreak } from "../../src/findings/mod.ts";
import { normalQuantile } from "../../src/stats/mod.ts";
import {
  accessFaults,
  listenForFaults,
  type OpenBook,
  openBrowser,
  openFolds,
  shoot,
  startBook,
} from "./browser.ts";

// Judge over the demo book: what the page shows is what the API answers, and both agree with the world that the simulator
// made the pulls in (src/app/demo/latent-strengths.ts), where the truth is known.

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let home: string;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  const all = await book.read<{ id: string; title: string }[]>("/api/records/series");
  const series = all.find(({ title }) => title.startsWith("How short a bury?"));
  home = `/series/${series?.id}`;
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

describe("Judge", { timeout: 90_000 }, () => {
  test("says every finding of the API once, each with the pulls it rests on", async () => {
    await openJudge(page);
    const findings = await book.read<SeriesFindings>(`/api${home}/findings`);
    const bury = await book.read<SeriesSlipOrBreak>(`/api${home}/slip-or-break`);
    const wanted = [...findings.findings, ...bury.findings];
    expect(wanted.length).toBeGreaterThan(20);
    const shown = await page
      .locator(".findings > li")
      .evaluateAll((items) =>
        items.map((item) => [
          item.querySelector(".sentence")?.textContent?.replaceAll("\u00a0", " "),
          item.querySelector(".rests-on button")?.textContent ?? "Rests on no pull.",
        ]),
      );
    const byText = (a: readonly unknown[], b: readonly unknown[]) => (String(a) < String(b) ? -1 : 1);
    expect(shown.sort(byText)).toEqual(
      wanted
        .map(({ sentence, pulls }) => [
          sentence,
          pulls.length === 0
            ? "Rests on no pull."
            : `Rests on ${pulls.length} pull${pulls.length === 1 ? "" : "s"}`,
        ])
        .sort(byText),
    );
  });

  test("the bury to state is the API’s, and lies beyond the length that the simulator’s world has", async () => {
    const { answer } = await book.read<SeriesSlipOrBreak>(`/api${home}/slip-or-break`);
    const row = page.getByRole("row", { name: /asked for/ });
    expect(await row.getByRole("rowheader").innerText()).toContain("5 %");
    const [, bound = ""] = await row.getByRole("cell").allInnerTexts();
    const stated = Number(bound.replace(" d", ""));
    expect(stated).toBeGreaterThanOrEqual(answer.length.upper ?? Number.NaN);
    expect(stated - (answer.length.upper ?? Number.NaN)).toBeLessThan(1.001); // rounded up to a diameter at most
    // The shorter of the two truths: levels of splice count together, so no one length is that of both.
    expect(stated).toBeGreaterThan(Math.min(trueBury("crossed-tail loop"), trueBury("straight-bury eye")));
    await page.getByRole("img", { name: /Slip or break/ }).waitFor();
  });

  test("another chance is worked out anew, and its answer is the API’s", async () => {
    await page.getByLabel("At most so many slip first").selectOption("0.5");
    await page.getByRole("row", { name: /50 % asked for/ }).waitFor();
    const { findings } = await book.read<SeriesSlipOrBreak>(`/api${home}/slip-or-break?chance=0.5`);
    await sentence(findings[0]?.sentence ?? "nothing").waitFor();
    expect(new URL(page.url()).searchParams.get("slip-chance")).toBe("0.5");
  });

  test("what is worked out can be stopped, and begun again", async () => {
    // The answer is held back, so that however fast the machine there is something to stop.
    let letGo = (): void => {};
    const held = new Promise<void>((resolve) => {
      letGo = resolve;
    });
    await page.route("**/slip-or-break*", async (route) => {
      await held;
      await route.continue().catch(() => {}); // stopped meanwhile
    });
    const gone = page.waitForEvent("requestfailed", (request) => request.url().includes("slip-or-break"));
    await page.getByLabel("With confidence").first().selectOption("0.9");
    await page.getByRole("progressbar").waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await page.getByRole("button", { name: "Stop", exact: true }).click();
    await gone;
    await page.getByRole("status").filter({ hasText: "Stopped." }).waitFor();
    expect(await page.getByRole("row", { name: /asked for/ }).count()).toBe(0);
    letGo();
    await page.unroute("**/slip-or-break*");
    await page.getByRole("button", { name: "Work it out" }).click();
    await page.getByRole("row", { name: /asked for/ }).waitFor();
    const { findings } = await book.read<SeriesSlipOrBreak>(
      `/api${home}/slip-or-break?chance=0.5&confidence=0.9`,
    );
    await sentence(findings[0]?.sentence ?? "nothing").waitFor();
  });

  test("effects stand as the API has them; in the simulated world bury matters and the splices hardly differ", async () => {
    const { mattered } = await book.read<SeriesFindings>(`/api${home}/findings`);
    const table = page.getByRole("region", { name: "Effects, level against level" });
    for (const { effect } of mattered.effects) {
      if (!effect.ok) throw new Error("every factor of the demo has an effect");
      for (const { from, to, relative } of effect.value.pairs) {
        const row = table.getByRole("row", { name: `${to} against ${from}` });
        const shown = Number((await row.locator("td").first().innerText()).split("%")[0]);
        expect(Math.abs(shown - 100 * relative.value)).toBeLessThan(0.51);
      }
    }
    // 24 d slips at (29/41)^1.25 of its strength at 41 d and breaks never; at 72 d nearly all break (the world's own figures).
    const bury = mattered.effects.find(({ factor }) => factor === "bury")?.effect;
    const longest = bury?.ok === true ? bury.value.pairs.find(({ to }) => to === "72 d") : undefined;
    const truth = meanOfWorld(72) / meanOfWorld(24) - 1;
    expect(longest?.relative.interval[0]).toBeLessThan(truth);
    expect(longest?.relative.interval[1]).toBeGreaterThan(truth);
  });

  test("a press on “rests on” rings the pulls in the figure and marks them in the table, by keyboard too", async () => {
    const { findings, pulls } = await book.read<SeriesFindings>(`/api${home}/findings`);
    const stopped = findings.find(({ id }) => id === "stopped");
    const pull = pulls.find(({ pullId }) => pullId === stopped?.pulls[0]);
    const item = page.locator(".findings > li").filter({ hasText: stopped?.sentence ?? "nothing" });
    const button = item.getByRole("button", { name: "Rests on 1 pull" });
    await button.focus();
    await page.keyboard.press("Enter");
    await item.getByRole("link", { name: pull?.specimenLabel ?? "nothing", exact: true }).waitFor();
    const strip = page.getByRole("region", { name: "Figure: every pull as a mark" });
    await expect.poll(() => strip.locator(".ring").count()).toBe(1);
    const marked = page.locator("tr.marked th");
    await expect
      .poll(() => marked.allInnerTexts())
      .toEqual([expect.stringContaining(pull?.specimenLabel ?? "nothing")]);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "judge-marked");
    await page.keyboard.press("Enter");
    await expect.poll(() => strip.locator(".ring").count()).toBe(0);
    expect(await marked.count()).toBe(0);
  });

  test("a claim that is wrong in this world is entered, contradicted, drawn and taken out", async () => {
    await page.getByRole("button", { name: "Enter a published figure" }).click();
    const form = page.getByRole("dialog", { name: "A published figure" });
    await form.getByLabel("What is claimed").fill("a long bury keeps 60 %");
    await form.getByLabel("Where it stands").fill("a made-up catalogue, page 7");
    await form.getByLabel("The figure").fill("sixty");
    await form.getByLabel("bury, d").selectOption({ label: "72" });
    await form.getByRole("button", { name: "Keep it" }).click();
    await form.getByText("This is not a share in per cent.").waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await form.getByLabel("The figure").fill("60 %");
    await form.getByRole("button", { name: "Keep it" }).click();
    await form.waitFor({ state: "detached" });

    // In this world specimens at 72 d hold some 88 % and more of their legs’ rated strength.
    await sentence("“a long bury keeps 60 %”").waitFor();
    const { claims, findings } = await book.read<SeriesFindings>(`/api${home}/findings`);
    expect(claims.map(({ judged, n }) => [judged.ok && judged.value.verdict, n])).toEqual([
      ["contradicted", 8],
    ]);
    await sentence(findings.find(({ id }) => id.startsWith("claim-"))?.sentence ?? "nothing").waitFor();
    await page.getByRole("img", { name: /Claims against the pulls/ }).waitFor();
    const section = page.locator("#claims");
    await section.scrollIntoViewIfNeeded();
    await shoot(page, "judge-claim");
    await section.getByRole("button", { name: /^take out/ }).click();
    await section.getByRole("button", { name: /^for good\?/ }).click();
    await section.getByText("No published figure has been entered").waitFor();
    expect((await book.read<SeriesFindings>(`/api${home}/findings`)).claims).toEqual([]);
  });

  test("published figures of another bench are pooled, and those of another construction are refused in words", async () => {
    await enterPooled({ name: "Harbour bench", mean: "90 %", construction: "12-strand braid" });
    await enterPooled({ name: "Hill bench", mean: "70 %", construction: "8-strand plait" });
    const { pooled } = await book.read<SeriesFindings>(`/api${home}/findings`);
    expect(pooled.map(({ sources, leftOut }) => [sources.length, leftOut.length])).toEqual([[2, 1]]);
    const section = page.locator("#pooling");
    await section.getByRole("img", { name: /Several series together/ }).waitFor();
    const row = section.getByRole("row", { name: /Harbour bench/ });
    expect((await row.getByRole("cell").first().innerText()).trim()).toBe("6");
    // Student’s t with 5 degrees of freedom, 2.5706 (standard table): 90 ± 2.5706 × 5/√6 = 84.75 to 95.25.
    expect((await row.getByRole("cell").nth(1).innerText()).replace(/\s+/g, " ")).toBe("90 % 85 to 95");
    await section.getByText(/Hill bench: .*construction is another \(8-strand plait/).waitFor();
    expect(await accessFaults(page)).toEqual([]);
    await section.scrollIntoViewIfNeeded();
    await shoot(page, "judge-pooling");
    for (const name of ["Harbour bench", "Hill bench"]) {
      await section.getByRole("button", { name: `take out ${name}` }).click();
      await section.getByRole("button", { name: `for good? take out ${name}` }).click();
      await expect.poll(() => section.locator(".contents > li").filter({ hasText: name }).count()).toBe(0);
    }
    await section.getByText("No other series has been set beside this one.").waitFor();
  });

  test("shows first what is asked first, and folds the rest under a line of what it comes to", async () => {
    const fresh = await browser.newPage({ viewport: { width: 1440, height: 1000 } });
    fresh.setDefaultTimeout(20_000);
    await fresh.goto(`${book.url}${home}/judge`);
    await fresh.getByRole("row", { name: /asked for/ }).waitFor();
    await fresh.locator("#pooling").waitFor();
    const { pulls, cells, outcomes } = await book.read<SeriesFindings>(`/api${home}/findings`);
    const gist = (id: string) => fresh.locator(`#${id} > .fold > summary .gist`).innerText();
    expect(await gist("pull-by-pull")).toContain(`${pulls.length} pulls: ${outcomes.broke} broke`);
    expect(await gist("the-cells-of-the-plan")).toContain(`${cells.length} cells, means from`);
    const isOpen = (id: string) =>
      fresh.locator(`#${id} > .fold`).evaluate((fold) => (fold as HTMLDetailsElement).open);
    expect(await isOpen("slip-or-break")).toBe(true);
    for (const id of [
      "what-mattered",
      "where-it-failed",
      "rate-and-hold",
      "claims",
      "pooling",
      "pull-by-pull",
    ])
      expect(await isOpen(id)).toBe(false);
    // What is folded is on paper all the same, drawn figures among it.
    const seen = () =>
      fresh
        .locator("#where-it-failed .figure-from-report svg, #pull-by-pull tbody tr")
        .evaluateAll((all) => [all.length, all.filter((one) => one.checkVisibility()).length]);
    await expect.poll(async () => (await seen())[0]).toBe(1 + pulls.length + 1); // a row says which are left out
    expect((await seen())[1]).toBe(0);
    await fresh.emulateMedia({ media: "print" });
    expect((await seen())[1]).toBe(pulls.length + 2);
    await fresh.emulateMedia({ media: "screen" });
    await shoot(fresh, "judge-folded");

    // By keyboard, and remembered when the page is opened again.
    await fresh.locator("#rate-and-hold summary").focus();
    await fresh.keyboard.press("Enter");
    await fresh.getByRole("heading", { name: "Settling at the hold" }).waitFor();
    await fresh.reload();
    await fresh.getByRole("heading", { name: "Settling at the hold" }).waitFor();
    expect(await isOpen("what-mattered")).toBe(false);

    // The contents open what they lead to; so does an address that names a place.
    await fresh
      .getByRole("navigation", { name: "On this page" })
      .getByRole("link", { name: "What mattered" })
      .click();
    await fresh.getByRole("region", { name: "Effects, level against level" }).waitFor();
    await fresh.goto("about:blank");
    await fresh.goto(`${book.url}${home}/judge#where-it-failed`);
    await fresh.getByRole("region", { name: "Where it failed, by bury" }).waitFor();
    await expect
      .poll(() =>
        fresh
          .locator("#where-it-failed")
          .evaluate((place) => Math.abs(place.getBoundingClientRect().top) < innerHeight),
      )
      .toBe(true);
    await fresh.close();
  });

  test.each([
    { width: 390, height: 844 },
    { width: 1440, height: 1000 },
  ])(
    "stands by axe-core at $width pixels, on light and dark paper, with hand-sized targets",
    async (viewport) => {
      const narrow = await browser.newPage({ viewport });
      const wrong = listenForFaults(narrow);
      await openJudge(narrow);
      await narrow.getByRole("row", { name: /asked for/ }).waitFor();
      for (const colorScheme of ["light", "dark"] as const) {
        await narrow.emulateMedia({ colorScheme, reducedMotion: "reduce" });
        expect(await accessFaults(narrow)).toEqual([]);
        await shoot(narrow, `judge-all-${viewport.width}-${colorScheme}`);
      }
      expect(await narrow.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBe(0);
      const low = await narrow
        .locator("main :is(button, select, summary, input)")
        .evaluateAll((targets) =>
          targets
            .filter((one) => one.getClientRects().length > 0 && one.getBoundingClientRect().height < 44)
            .map((one) => one.outerHTML.slice(0, 90)),
        );
      expect(low).toEqual([]);
      expect(wrong.filter(unexpected)).toEqual([]);
      await narrow.close();
    },
  );

  test("the browser had nothing to complain of", () => {
    expect(faults.filter(unexpected)).toEqual([]);
  });
});

/** A bound that two pulls cannot give, and a field that was filled in wrongly, are answers of 400. */
function unexpected(fault: string): boolean {
  return !fault.includes("status of 400");
}

async function openJudge(on: Page): Promise<void> {
  await on.goto(`${book.url}${home}/judge`);
  await openFolds(on);
  await on.getByRole("row", { name: /asked for/ }).waitFor();
}

async function enterPooled(typed: {
  readonly name: string;
  readonly mean: string;
  readonly construction: string;
}): Promise<void> {
  await page.getByRole("button", { name: "Set another series beside this one" }).click();
  const form = page.getByRole("dialog", { name: "Another series" });
  await form.getByLabel("Where its figures come from").selectOption("published");
  await form.getByLabel("Who pulled it").fill(typed.name);
  await form.getByLabel("Where it stands").fill("made up for a test");
  await form.getByLabel("Pulls, n").fill("6");
  await form.getByLabel("Mean").fill(typed.mean);
  await form.getByLabel("Standard deviation").fill("5 %");
  await form.getByLabel("Construction").fill(typed.construction);
  await form.getByLabel("bury, d").selectOption({ label: "72" });
  await form.getByRole("button", { name: "Keep it" }).click();
  await form.waitFor({ state: "detached" });
  await page.locator("#pooling .contents > li").filter({ hasText: typed.name }).waitFor();
}

function sentence(text: string): Locator {
  return page.locator(".findings .sentence").filter({ hasText: text });
}

type Splice = keyof typeof demoWorld.splices;
const ofSpecimen = (splice: Splice, buryDiameters: number) =>
  meanLatentStrengths({
    splice,
    lineStrengthN: 1,
    diameterMm: 1,
    buryFullMm: buryDiameters,
    buryTaperMm: 10,
  });

/** The bury at which 1 in 20 slips first, by the world's own law: ln S − ln B is normal, found by halving. */
function trueBury(splice: Splice): number {
  const variance = (scatter: Readonly<Record<string, number>>) =>
    Object.values(scatter).reduce((sum, one) => sum + one ** 2, 0);
  const [slip, rope] = [variance(demoWorld.slipScatter), variance(demoWorld.breakScatter)];
  const margin = (bury: number) => {
    const { slipN, breakN } = ofSpecimen(splice, bury);
    const median = Math.log(slipN) - slip / 2 - (Math.log(breakN) - rope / 2);
    return median / Math.sqrt(slip + rope) - normalQuantile(0.95);
  };
  let [low, high] = [10, 200];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (margin(middle) < 0) low = middle;
    else high = middle;
  }
  return high;
}

/** The weaker of the two mean strengths at a bury, over both splices, in legs × line strength. */
function meanOfWorld(buryDiameters: number): number {
  const splices: readonly Splice[] = ["straight-bury eye", "crossed-tail loop"];
  const shares = splices.map((splice) => {
    const { slipN, breakN } = ofSpecimen(splice, buryDiameters);
    return Math.min(slipN, breakN) / demoWorld.splices[splice].legs;
  });
  return Math.sqrt(shares.reduce((product, share) => product * share, 1));
}
