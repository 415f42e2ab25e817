// Frames while a hand drags a long trace, in a real browser: the recording is kept in the book, its pull opened and made
// four times as large, and the mouse drags it to and fro for three seconds.
import { openAsBlob } from "node:fs";
import { basename } from "node:path";
import type { Page } from "playwright-core";

export type Panning = {
  readonly framesPerSecond: number;
  /** The share of frames before which the picture had moved. */
  readonly movedShare: number;
  readonly gap95Ms: number;
  readonly longestGapMs: number;
  /** From the last move of the hand until nothing of the picture changes any more. */
  readonly restedMs: number;
};

const dragMs = 3000;

/** Keeps a file in a series of its own and gives the address of its first pull. */
export async function keepRecording(url: string, path: string): Promise<string> {
  const file = await openAsBlob(path);
  const head = form({ totalBytes: String(file.size) }, file.slice(0, 65_536), basename(path));
  const { layout } = await told<{ layout: unknown }>(`${url}/api/layout-proposals`, head);
  const series = await told<{ id: string }>(`${url}/api/records/series`, { title: basename(path) });
  const whole = form({ seriesId: series.id, layout: JSON.stringify(layout) }, file, basename(path));
  const { pulls } = await told<{ pulls: { id: string }[] }>(`${url}/api/recordings`, whole);
  return `${url}/series/${series.id}/pull/${pulls[0]?.id}`;
}

function form(fields: Readonly<Record<string, string>>, file: Blob, name: string): FormData {
  const data = new FormData();
  for (const [field, value] of Object.entries(fields)) data.append(field, value);
  data.append("file", file, name);
  return data;
}

async function told<T>(address: string, body: FormData | object): Promise<T> {
  const sent =
    body instanceof FormData
      ? { body }
      : { body: JSON.stringify(body), headers: { "content-type": "application/json" } };
  const answer = (await (await fetch(address, { method: "POST", ...sent })).json()) as { value?: T };
  if (answer.value === undefined) throw new Error(`${address}: ${JSON.stringify(answer)}`);
  return answer.value;
}

/** Drags the trace of a pull to and fro, by as much as the sheet is wide, and counts frames. */
export async function pan(page: Page, address: string): Promise<Panning> {
  await page.goto(address, { waitUntil: "networkidle" });
  await page.locator(".trace .curve").first().waitFor();
  for (let turn = 0; turn < 2; turn++) await page.getByRole("button", { name: "Nearer" }).click();
  const sheet = await page.locator(".trace .sheet").boundingBox();
  if (sheet === null) throw new Error("The trace is not on the page.");
  const [x, y] = [sheet.x + sheet.width / 2, sheet.y + sheet.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await drag(page, { x, y, across: sheet.width * 0.45, forMs: dragMs });
  await page.waitForFunction(() => {
    const { panned } = globalThis as unknown as Watched;
    return performance.now() - Math.max(panned.lastMove, panned.lastChange) > 800;
  });
  // Before the hand lets go, for that is shown as well.
  const { frames, moved, lastMove, lastChange } = await page.evaluate(
    () => (globalThis as unknown as Watched).panned,
  );
  await page.mouse.up();
  const gaps = frames.slice(1).map((at, before) => at - (frames[before] as number));
  gaps.sort((a, b) => a - b);
  const whole = (frames.at(-1) as number) - (frames[0] as number);
  return {
    framesPerSecond: (1000 * gaps.length) / whole,
    movedShare: moved / gaps.length,
    gap95Ms: gaps[Math.floor(0.95 * gaps.length)] as number,
    longestGapMs: gaps.at(-1) as number,
    restedMs: Math.max(0, lastChange - lastMove),
  };
}

type Watched = {
  readonly panned: { frames: number[]; moved: number; lastMove: number; lastChange: number };
};

/**
 * Moves the hand that holds the trace before each frame, as a browser does that hands on a mouse's moves, and notes each
 * frame and each change of the picture. Moved from outside, a page on a slow computer would wait for the script instead.
 */
async function drag(
  page: Page,
  hand: { x: number; y: number; across: number; forMs: number },
): Promise<void> {
  await page.evaluate(
    ({ x, y, across, forMs }) =>
      new Promise<void>((resolve) => {
        const panned = { frames: [] as number[], moved: 0, lastMove: 0, lastChange: 0 };
        Object.assign(globalThis, { panned });
        let changed = false;
        const picture = document.querySelector(".trace .sheet") as Element;
        new MutationObserver(() => {
          changed = true;
          panned.lastChange = performance.now();
        }).observe(picture, { subtree: true, childList: true, attributes: true, characterData: true });
        const frame = (at: number): void => {
          const first = panned.frames[0] ?? at;
          panned.frames.push(at);
          if (changed) panned.moved += 1;
          changed = false;
          if (at - first > forMs) {
            resolve();
            return;
          }
          const clientX = x + across * Math.sin(((at - first) / 1000) * Math.PI);
          const move = { pointerId: 1, clientX, clientY: y, bubbles: true };
          picture.dispatchEvent(new PointerEvent("pointermove", move));
          panned.lastMove = performance.now();
          requestAnimationFrame(frame);
        };
        requestAnimationFrame(frame);
      }),
    hand,
  );
}
