import type { Browser, CDPSession, Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { SeriesOverview } from "../../src/app/mod.ts";
import { accessFaults, type OpenBook, openBrowser, startBook } from "./browser.ts";

// Hands on the trace of a pull. Truth is algebra: a drag by a share of the plot moves the view by that share of what is
// in view, and what lies under the wheel or between two fingers stays there. What is in view is read from the page's
// own words.

/** The plot within the sheet, in pixels: what is left for words beside it. */
const [leftOf, rightOf] = [62, 16];

let book: OpenBook;
let browser: Browser;
let page: Page;
let address: string;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  const [series] = await book.read<{ id: string }[]>("/api/records/series");
  const { pulls } = await book.read<SeriesOverview>(`/api/series/${series?.id}/overview`);
  const pull = pulls.find(({ reading }) => (reading?.deep?.slips.length ?? 0) > 1);
  address = `${book.url}/series/${series?.id}/pull/${pull?.id}`;
  const context = await browser.newContext({ viewport: { width: 900, height: 700 }, hasTouch: true });
  page = await context.newPage();
  page.setDefaultTimeout(20_000);
});

beforeEach(async () => {
  await page.goto(address);
  await sharp();
  await page.locator(".trace .sheet").scrollIntoViewIfNeeded();
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

const sharp = () => page.locator('.trace:has(.curve) svg[aria-busy="false"]').first().waitFor();
const press = (name: string) => page.getByRole("button", { name, exact: true }).click();

/** What the page says is in view, in seconds. */
async function inView(): Promise<{ from: number; to: number; span: number }> {
  const said = (await page.locator(".trace .how").textContent()) ?? "";
  const [, from, to] = /In view: (?:all of it, )?([\d.−]+) to ([\d.]+) s/.exec(said) ?? [];
  const [low, high] = [Number(from?.replace("−", "-")), Number(to)];
  return { from: low, to: high, span: high - low };
}

async function plot(): Promise<{ left: number; width: number; middle: number }> {
  const box = await page.locator(".trace .sheet").boundingBox();
  if (box === null) throw new Error("no sheet");
  return { left: box.x + leftOf, width: box.width - leftOf - rightOf, middle: box.y + box.height / 2 };
}

/** How far two times are apart, as a share of what is in view. */
const apart = (one: number, other: number, view: { span: number }) => Math.abs(one - other) / view.span;
/** The page's words are rounded to a hundredth of what is in view at most; two of them make a difference, of two views. */
const asTold = 0.021;

describe("hands on the trace", { timeout: 60_000 }, () => {
  test("a drag takes the trace with it, row by row, and back to where it was", async () => {
    await press("Nearer");
    await press("Nearer");
    const [before, { left, width, middle }] = [await inView(), await plot()];
    await page.mouse.move(left + width * 0.5, middle);
    await page.mouse.down();
    await page.mouse.move(left + width * 0.75, middle, { steps: 7 });
    const dragged = await inView();
    expect(apart(dragged.from, before.from - 0.25 * before.span, before)).toBeLessThan(asTold);
    expect(apart(dragged.span, before.span, before)).toBeLessThan(asTold);
    // Far beyond the beginning, and back: the row that was grasped comes back under the hand.
    await page.mouse.move(left + width * 60, middle, { steps: 5 });
    expect((await inView()).from).toBeLessThan(dragged.from);
    await page.mouse.move(left + width * 0.5, middle, { steps: 7 });
    expect(await inView()).toEqual(before);
    await page.mouse.up();
  });

  test("a wheel scrolls the page until the trace is pressed, then changes the size around the pointer", async () => {
    const { left, width, middle } = await plot();
    const at = (view: { from: number; span: number }) => view.from + 0.3 * view.span;
    const before = await inView();
    const top = await page.evaluate(() => scrollY);
    await page.mouse.move(left + width * 0.3, middle);
    await page.mouse.wheel(0, 40);
    await page.waitForFunction((was) => scrollY !== was, top);
    expect(await inView()).toEqual(before);
    const moved = (await plot()).middle;
    await page.mouse.click(left + width * 0.3, moved);
    await page.mouse.wheel(0, -400);
    await expect.poll(async () => (await inView()).span).toBeLessThan(before.span * 0.6);
    const near = await inView();
    // exp(-400 × 0.0016) of what was in view.
    expect(apart(near.span, Math.exp(-0.64) * before.span, before)).toBeLessThan(asTold);
    expect(apart(at(near), at(before), before)).toBeLessThan(asTold);
  });

  test("where all of it is in view, the wheel that turns away from it scrolls the page on", async () => {
    await press("The whole recording");
    await page.locator(".trace .sheet.all").focus();
    const [{ left, width, middle }, top] = [await plot(), await page.evaluate(() => scrollY)];
    await page.mouse.move(left + width / 2, middle);
    await page.mouse.wheel(0, 60);
    await page.waitForFunction((was) => scrollY > was, top);
  });

  test("two fingers spread around what lies between them, one moves it, and up and down scrolls the page", async () => {
    const touch = await page.context().newCDPSession(page);
    const [before, { left, width, middle }] = [await inView(), await plot()];
    const fingers = (apart: number) => [
      { x: left + width * 0.4 - apart / 2, y: middle, id: 1 },
      { x: left + width * 0.4 + apart / 2, y: middle + 1, id: 2 },
    ];
    await send(touch, "touchStart", fingers(100));
    for (const apart of [120, 150, 200]) await send(touch, "touchMove", fingers(apart));
    await send(touch, "touchEnd", []);
    await expect.poll(async () => apart((await inView()).span, before.span / 2, before)).toBeLessThan(asTold);
    const near = await inView();
    expect(apart(near.from + 0.4 * near.span, before.from + 0.4 * before.span, before)).toBeLessThan(asTold);

    const finger = (share: number) => [{ x: left + width * share, y: middle, id: 1 }];
    await send(touch, "touchStart", finger(0.5));
    for (const share of [0.48, 0.44, 0.4]) await send(touch, "touchMove", finger(share));
    await send(touch, "touchEnd", []);
    const onward = near.from + 0.1 * near.span;
    await expect.poll(async () => apart((await inView()).from, onward, near)).toBeLessThan(asTold);

    const kept = await inView();
    const top = await page.evaluate(() => scrollY);
    const up = (by: number) => [{ x: left + width * 0.5, y: middle - by, id: 1 }];
    await send(touch, "touchStart", up(0));
    for (const by of [20, 50, 90]) await send(touch, "touchMove", up(by));
    await send(touch, "touchEnd", []);
    await page.waitForFunction((was) => scrollY > was, top);
    expect(await inView()).toEqual(kept);
  });

  test("keys move it and change its size, and what is in view then is said", async () => {
    const sheet = page.locator(".trace .sheet");
    await sheet.focus();
    const before = await inView();
    await page.keyboard.press("+");
    await expect.poll(async () => apart((await inView()).span, before.span / 2, before)).toBeLessThan(asTold);
    const near = await inView();
    await page.keyboard.press("ArrowRight");
    const later = near.from + 0.15 * near.span;
    await expect.poll(async () => apart((await inView()).from, later, near)).toBeLessThan(asTold);
    await page.keyboard.press("-");
    await expect.poll(async () => apart((await inView()).span, before.span, before)).toBeLessThan(asTold);
    await page.keyboard.press("0");
    await page.getByRole("status").filter({ hasText: "In view: all of it, 0.0 to" }).waitFor();
    // The same stands with the sheet itself for whoever comes to it.
    expect(await sheet.getAttribute("aria-describedby")).toBe(
      await page.locator(".trace .how span").getAttribute("id"),
    );
    expect(await accessFaults(page)).toEqual([]);
  });

  test("while the finer picture is on its way the coarse one stands, and one window is under way at a time", async () => {
    await press("Nearer");
    await press("Nearer");
    await sharp();
    let [underWay, most, asked] = [0, 0, 0];
    let open = (): void => {};
    const gate = new Promise<void>((resolve) => {
      open = resolve;
    });
    await page.route("**/trace?*", async (route) => {
      underWay += 1;
      asked += 1;
      most = Math.max(most, underWay);
      await gate;
      underWay -= 1;
      await route.continue();
    });
    const { left, width, middle } = await plot();
    await page.mouse.move(left + width * 0.1, middle);
    await page.mouse.down();
    await page.mouse.move(left + width * 0.9, middle, { steps: 40 });
    await page.mouse.up();
    await page.locator(".trace .coarse").waitFor({ state: "attached" });
    expect(await page.locator(".trace svg").first().getAttribute("aria-busy")).toBe("true");
    open();
    await sharp();
    await page.locator(".trace .coarse").waitFor({ state: "detached" });
    expect(most).toBe(1);
    // Forty places were passed; fetched were the first that needed it and the one where the hand rests.
    expect(asked).toBe(2);
    await page.unroute("**/trace?*");
  });

  test("the curve goes through the peak that was read, however it came to be in view", async () => {
    for (const way of ["The pull", "Nearer", "Later", "The break", "Farther", "The whole recording"]) {
      await press(way);
      await sharp();
      const pixels = await fromPeakToCurve();
      if (pixels !== undefined) expect(pixels, way).toBeLessThan(1.5);
      if (way === "The break") expect(pixels).toBeDefined();
    }
  });
});

async function send(
  touch: CDPSession,
  type: "touchStart" | "touchMove" | "touchEnd",
  touchPoints: { x: number; y: number; id: number }[],
): Promise<void> {
  await touch.send("Input.dispatchTouchEvent", { type, touchPoints });
}

/** Pixels from the middle of the peak's ring to the nearest corner of the curve; nothing where the peak is not in view. */
function fromPeakToCurve(): Promise<number | undefined> {
  return page.evaluate(() => {
    const ring = document.querySelector<SVGCircleElement>(".trace .peak circle");
    const curve = document.querySelector<SVGPathElement>(".trace .curve");
    const placed = curve?.transform.baseVal.consolidate()?.matrix;
    if (ring === null || placed === undefined) return undefined;
    const [cx, cy] = [ring.cx.baseVal.value, ring.cy.baseVal.value];
    let nearest = Number.POSITIVE_INFINITY;
    for (const [, x, y] of curve?.getAttribute("d")?.matchAll(/([\d.-]+) ([\d.-]+)/g) ?? [])
      nearest = Math.min(nearest, Math.hypot(placed.a * Number(x) + placed.e - cx, Number(y) - cy));
    return nearest;
  });
}
