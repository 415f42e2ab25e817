import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { SeriesOverview, StoredPull, StoredRecord, StoredRecording } from "../../src/app/mod.ts";
import { accessFaults, listenForFaults, type OpenBook, openBrowser, shoot, startBook } from "./browser.ts";
import { dialects, pullSamples } from "./recordings.ts";

// What a hand does to a reading and to what stands beside it: a set-up tug made a pull, a pull said to be handling, a slip
// added, certificate points pasted, photographs put in and taken out. The book's own answers say what was kept. The
// recording is written here: a tug of 3 kN, then a pull to 24 kN, on whose way the force sags by 400 N in a fifth of a
// second, too slowly to be read as a slip.
const sag = { fromRow: 4702, toRow: 4752 };

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let series: StoredRecord<"series">;
let sha256: string;
let pull: StoredPull;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  series = await send("POST", "/api/records/series", { title: "By hand", question: "What was it?" });
  await send("POST", "/api/records/load-cell", { name: "S-beam 50 kN", capacityN: 50_000 });
  ({ sha256, pull } = await importTugAndPull());
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

async function importTugAndPull() {
  const tug = pullSamples({ peakN: 3000, restN: 30 });
  const after = (tug.at(-1)?.timeS ?? 0) + 1 / 250;
  const real = pullSamples({ peakN: 24_000, restN: 30 }).map(({ timeS, forceN }, at) => {
    const since = at + tug.length + 1 - sag.fromRow;
    // The ramp rises by 12 N a sample; over the sag it falls by 8, and it is back on its way 400 samples later.
    const fallen = since > 0 && since <= 400 ? Math.min(since, sag.toRow - sag.fromRow) * 20 : 0;
    return { timeS: after + timeS, forceN: forceN - fallen };
  });
  const file = new File([dialects.commas([...tug, ...real])], "tug-and-pull.csv");
  const proposal = new FormData();
  proposal.append("file", file);
  const { layout } = await send<{ layout: object }>("POST", "/api/layout-proposals", proposal);
  const form = new FormData();
  form.append("seriesId", series.id);
  form.append("layout", JSON.stringify(layout));
  form.append("file", file);
  const imported = await send<{ recording: StoredRecording; pulls: StoredPull[] }>(
    "POST",
    "/api/recordings",
    form,
  );
  const [found] = imported.pulls;
  if (
    found === undefined ||
    imported.pulls.length !== 1 ||
    imported.recording.reading.otherLoads.length !== 1
  )
    throw new Error(`read as ${imported.pulls.length} pulls`);
  return { sha256: imported.recording.sha256, pull: found };
}

async function send<T>(method: string, path: string, body: unknown): Promise<T> {
  const response = await fetch(
    book.url + path,
    body instanceof FormData
      ? { method, body }
      : { method, headers: { "content-type": "application/json" }, body: JSON.stringify(body) },
  );
  const said = (await response.json()) as { value: T; problems?: unknown };
  if (!response.ok) throw new Error(JSON.stringify(said.problems));
  return said.value;
}

const kept = (id = pull.id) => book.read<StoredPull>(`/api/pulls/${id}`);
const overview = () => book.read<SeriesOverview>(`/api/series/${series.id}/overview`);

/** The page on light and dark paper, wide and narrow: by axe-core, within its width, and kept as pictures. */
async function lookAt(name: string): Promise<void> {
  for (const width of [390, 1440])
    for (const colorScheme of ["dark", "light"] as const) {
      await page.setViewportSize({ width, height: 1000 });
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect([name, width, Math.max(0, over)]).toEqual([name, width, 0]);
      expect(await accessFaults(page)).toEqual([]);
      await shoot(page, `${name}-${width}-${colorScheme}`);
    }
}

/** Moves a grip to a row by keys: by a hundred, by ten with Shift, by one. */
async function moveTo(grip: Locator, row: number): Promise<void> {
  await grip.focus();
  for (;;) {
    const left = row - Number(await grip.getAttribute("aria-valuenow"));
    if (left === 0) return;
    const key =
      Math.abs(left) >= 100
        ? left > 0
          ? "PageUp"
          : "PageDown"
        : `${Math.abs(left) >= 10 ? "Shift+" : ""}${left > 0 ? "ArrowRight" : "ArrowLeft"}`;
    await page.keyboard.press(key);
  }
}

describe("a reading by hand", { timeout: 120_000 }, () => {
  test("a slip is added between two grips moved by keys, kept with its forces, and undone", async () => {
    await page.goto(`${book.url}/series/${series.id}/pull/${pull.id}`);
    await page.locator(".trace .curve").waitFor();
    const before = pull.reading?.deep?.slips.length ?? 0;
    await page.getByRole("button", { name: "Add a slip" }).click();
    const top = page.getByRole("slider", { name: "top of the new slip" });
    const foot = page.getByRole("slider", { name: "foot of the new slip" });
    await foot.waitFor();
    await moveTo(top, sag.fromRow);
    await moveTo(foot, sag.toRow);
    await page.getByRole("button", { name: `Keep the slip from row ${sag.fromRow} to ${sag.toRow}` }).click();
    const list = page.locator("ol.corrections li");
    await list.waitFor();
    const now = await kept();
    expect(now.overrides).toMatchObject([{ what: "add slip", ...sag }]);
    expect(now.reading?.deep?.slips).toHaveLength(before + 1);
    const [slip] = now.reading?.deep?.slips ?? [];
    // 50 samples of 8 N, give or take the ripple of 9.6 N at either end.
    expect(Math.abs((slip?.fromN ?? 0) - (slip?.toN ?? 0) - 400)).toBeLessThan(20);
    expect(now.machineReading?.deep?.slips).toHaveLength(before);
    await page.getByRole("table", { name: /^Slips from which the splice gripped again/ }).waitFor();
    await lookAt("hand-1-slip");
    await page.getByRole("button", { name: "Undo" }).click();
    await list.waitFor({ state: "detached" });
    expect(await kept()).toMatchObject({ overrides: [], reading: pull.reading });
  });

  test("undone while the outcome was kept a moment before: both stand, and nobody is told of another's change", async () => {
    await page.getByRole("button", { name: "Redo" }).click();
    await page.locator("ol.corrections li").waitFor();
    // The page hears late of the outcome that is kept: its next correction goes by an older revision.
    await page.route("**/overview", async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 1500));
      // Let go of meanwhile, it has gone on already.
      await route.continue().catch(() => {});
    });
    await page.getByRole("radio", { name: /^Broke/ }).check();
    await expect.poll(async () => (await kept()).outcome?.kind).toBe("broke");
    await page.getByRole("button", { name: "Undo" }).click();
    await page.locator("ol.corrections li").waitFor({ state: "detached" });
    await page.unroute("**/overview");
    expect(await kept()).toMatchObject({ overrides: [], outcome: { kind: "broke" } });
    expect(await page.getByText("Not kept").count()).toBe(0);
    // The book refused the older revision once, which the browser counts as an error of the page.
    faults.splice(0, faults.length, ...faults.filter((fault) => !fault.includes("status of 409")));
  });

  test("a boundary moved on while it is being kept is kept where it comes to rest", async () => {
    await page.getByRole("button", { name: "Correct the phases" }).click();
    // The sheet still shows the place of the slip.
    await page.getByRole("button", { name: "The pull", exact: true }).click();
    const handle = page.getByRole("slider", { name: "start of the ramp" });
    const before = Number(await handle.getAttribute("aria-valuenow"));
    let held: (() => void) | undefined;
    await page.route("**/overrides", async (route) => {
      if (held === undefined) await new Promise<void>((resolve) => (held = resolve));
      await route.continue();
    });
    await handle.focus();
    await page.keyboard.press("ArrowRight");
    await expect.poll(() => held !== undefined).toBe(true);
    await page.keyboard.press("Shift+ArrowRight");
    held?.();
    await expect
      .poll(async () => (await kept()).reading?.deep?.phases.find(({ name }) => name === "ramp")?.fromRow)
      .toBe(before + 11);
    await page.unroute("**/overrides");
    expect((await kept()).overrides.map(({ what }) => what)).toEqual(["boundary", "boundary"]);
    await page.getByRole("button", { name: "reset to what was read at the start of the ramp" }).click();
    await page.locator("ol.corrections").waitFor({ state: "detached" });
    expect((await kept()).overrides).toEqual([]);
    await page.getByRole("button", { name: "Done correcting" }).click();
  });

  test("a set-up tug is made a pull of its own, once, however often it is pressed", async () => {
    await page.getByText("1 other load in this recording").click();
    const make = page.getByRole("button", { name: /^This was a pull/ });
    // Twice before the page can answer: a second press by the mouse might already meet the next page.
    await make.evaluate((button) => {
      (button as HTMLElement).click();
      (button as HTMLElement).click();
    });
    await page.waitForURL((url) => !url.pathname.endsWith(pull.id));
    const { pulls } = await overview();
    expect(pulls).toHaveLength(2);
    const made = pulls.find(({ id }) => id !== pull.id);
    expect(page.url()).toContain(made?.id ?? "nowhere");
    expect(made).toMatchObject({ recordingSha256: sha256, overrides: [{ what: "pull" }] });
    // The tug as it was written: 3 kN above the rest.
    expect(made?.reading?.netPeakN).toBeCloseTo(3000, -1);
    await page.getByRole("heading", { level: 1, name: /3\.00 kN/ }).waitFor();
    await page.locator(".trace .curve").waitFor();
    await lookAt("hand-2-tug");
  });

  test("a pull that was handling is said to be so, left out with the reason, and taken back", async () => {
    await page.goto(`${book.url}/series/${series.id}/pull/${pull.id}`);
    await page.getByText("1 other load in this recording").click();
    await page.getByRole("button", { name: "This load was no pull, but handling" }).click();
    await page.getByText("Somebody said that this load was no pull.", { exact: false }).waitFor();
    expect((await kept()).overrides).toMatchObject([{ what: "other load" }]);
    const { pulls } = await book.read<{ pulls: { pullId: string; use: string; leftOutAs?: string }[] }>(
      `/api/series/${series.id}/findings`,
    );
    expect(pulls.find(({ pullId }) => pullId === pull.id)).toMatchObject({
      use: "left out",
      leftOutAs: "no pull",
    });
    await lookAt("hand-3-no-pull");
    await page.getByRole("button", { name: /^take it back/ }).click();
    await page.locator("ol.corrections").waitFor({ state: "detached" });
    expect((await kept()).overrides).toEqual([]);
  });

  test("photographs are put in with a caption, shown, and taken out at the second press", async () => {
    const [width, height] = [64, 48];
    const bytes = await page.evaluate(
      async ([w, h]) => {
        const canvas = new OffscreenCanvas(w ?? 1, h ?? 1);
        const pen = canvas.getContext("2d");
        if (pen === null) throw new Error("nothing to draw with");
        pen.fillStyle = "#dd7524";
        pen.fillRect(0, 0, w ?? 1, h ?? 1);
        return [...new Uint8Array(await (await canvas.convertToBlob({ type: "image/png" })).arrayBuffer())];
      },
      [width, height],
    );
    await page.getByLabel("Caption for the next photograph").fill("Glazed tail");
    await page
      .locator('input[type="file"][aria-label="Add from a file"]')
      .setInputFiles([{ name: "tail.png", mimeType: "image/png", buffer: Buffer.from(bytes) }]);
    const shown = page.getByRole("img", { name: "Glazed tail" });
    await shown.scrollIntoViewIfNeeded();
    await expect.poll(() => shown.evaluate((one: HTMLImageElement) => one.naturalWidth)).toBe(width);
    expect(await page.getByLabel("Caption for the next photograph").inputValue()).toBe("");
    expect((await overview()).pictures).toMatchObject([
      { subject: { kind: "pull", id: pull.id }, caption: "Glazed tail", mediaType: "image/png" },
    ]);
    // No picture, whatever it is called: refused, and its caption stays for the second try.
    await page.getByLabel("Caption for the next photograph").fill("Second");
    await page
      .locator('input[type="file"][aria-label="Add from a file"]')
      .setInputFiles([{ name: "no.png", mimeType: "image/png", buffer: Buffer.from("not a picture") }]);
    await page.getByText("The photograph was not kept").waitFor();
    expect(await page.getByLabel("Caption for the next photograph").inputValue()).toBe("Second");
    await lookAt("hand-4-photographs");
    await page.getByRole("button", { name: "take out Glazed tail" }).click();
    expect((await overview()).pictures).toHaveLength(1);
    await page.getByRole("button", { name: "for good? take out Glazed tail" }).click();
    await shown.waitFor({ state: "detached" });
    expect((await overview()).pictures).toEqual([]);
    // A picture that is refused is an answer of 400, which the browser counts as an error of the page.
    faults.splice(0, faults.length, ...faults.filter((fault) => !fault.includes("status of 400")));
  });

  test("certificate points are pasted into a load cell, drawn, and kept once with the cell", async () => {
    await page.goto(`${book.url}/bench-book`);
    await page.getByRole("button", { name: "S-beam 50 kN", exact: true }).click();
    const dialog = page.getByRole("dialog");
    await dialog.getByText("Paste them from a spreadsheet or CSV").click();
    await dialog.getByLabel("Table of the certificate").fill("applied;shown\n10;10,2\n20;20,4\n40;40,8");
    const take = dialog.getByRole("button", { name: "Read them in place of those above" });
    await take.click();
    // The heading does not say the unit: asked for, never guessed.
    await dialog.getByText("Not read").waitFor();
    await dialog.getByLabel("Forces in it are in").selectOption("kN");
    await take.click();
    await expect.poll(() => dialog.getByLabel("Shown, point 3").inputValue()).toBe("40.8 kN");
    await dialog.locator(".certificate svg").waitFor();
    await lookAt("hand-5-certificate");
    await dialog.getByRole("button", { name: "Keep the changes" }).dblclick();
    await dialog.waitFor({ state: "detached" });
    const [cell] = (await book.read<StoredRecord<"load-cell">[]>("/api/records/load-cell")).filter(
      ({ name }) => name === "S-beam 50 kN",
    );
    expect(cell).toMatchObject({
      revision: 2,
      calibrationPoints: [
        { appliedN: 10_000, indicatedN: 10_200 },
        { appliedN: 20_000, indicatedN: 20_400 },
        { appliedN: 40_000, indicatedN: 40_800 },
      ],
    });
    // Opened again at once, while the list is slow to come: as it was kept.
    await page.getByRole("button", { name: "S-beam 50 kN", exact: true }).click();
    expect(await dialog.getByLabel("Shown, point 3").inputValue()).toBe("40.8 kN");
    await dialog.getByRole("button", { name: "Leave it" }).click();
    faults.splice(0, faults.length, ...faults.filter((fault) => !fault.includes("status of 400")));
  });

  test("nothing was complained of by the browser", () => {
    expect(faults).toEqual([]);
  });
});
