import { readFileSync } from "node:fs";
import { createCanvas, loadImage } from "@napi-rs/canvas";
import { unzipSync } from "fflate";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { plainLayout } from "../setup/plain-layout.ts";
import { accessFaults, listenForFaults, type OpenBook, openBrowser, shoot, startBook } from "./browser.ts";

// The film of a pull, in a real browser. The film is made here: a canvas recorded by the browser itself.

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];
let seriesId: string;
let pullId: string;

type Value<T> = { value: T };

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1440, height: 1000 }, colorScheme: "light" });
  page.setDefaultTimeout(30_000);
  faults = listenForFaults(page);
  const [series] = await book.read<{ id: string }[]>("/api/records/series");
  seriesId = series?.id ?? "";
  // A short pull, since a film takes as long to write: 1 s of rest, 2 s of ramp to 20 kN, 1 s of nothing.
  const rows = Array.from({ length: 401 }, (_, at) => {
    const s = at / 100;
    return `${s.toFixed(2)},${(s > 1 && s <= 3 ? (s - 1) * 10 : 0.01 * (at % 2)).toFixed(3)}`;
  });
  const form = new FormData();
  form.append("seriesId", seriesId);
  form.append(
    "layout",
    JSON.stringify({
      ...plainLayout,
      columnNames: ["time_s", "force_kN"],
      force: { ...plainLayout.force, unit: "kN" },
    }),
  );
  form.append("file", new Blob([`time_s,force_kN\n${rows.join("\n")}\n`]), "short.csv");
  const answer = await fetch(`${book.url}/api/recordings`, {
    method: "POST",
    body: form,
    headers: { origin: book.url },
  });
  const said = (await answer.json()) as Value<{ pulls: { id: string }[] }>;
  pullId = said.value.pulls[0]?.id ?? "";
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

/** How much of the overlay is not transparent. */
function inked(): Promise<number> {
  return page.locator(".film canvas").evaluate((canvas) => {
    const { width, height } = canvas as HTMLCanvasElement;
    const data = (canvas as HTMLCanvasElement).getContext("2d")?.getImageData(0, 0, width, height).data ?? [];
    let some = 0;
    for (let at = 3; at < data.length; at += 4) if ((data[at] ?? 0) > 0) some++;
    return some / (width * height);
  });
}

/** The cues of the film's captions, as the browser's own parser of WebVTT has them. */
function cues() {
  return page.locator(".film video").evaluate((film) => {
    const track = (film as HTMLVideoElement).textTracks[0];
    if (track === undefined) return [];
    track.mode = "showing";
    return [...(track.cues ?? [])].map((cue) => ({
      from: cue.startTime,
      to: cue.endTime,
      text: (cue as VTTCue).text,
    }));
  });
}

describe("the film of a pull", { timeout: 90_000 }, () => {
  test("plays without the force until its break is marked, then with it, at its place", async () => {
    await page.goto(`${book.url}/series/${seriesId}/pull/${pullId}/film`);
    await page.getByLabel("The film", { exact: true }).waitFor();
    await giveFilm(page);
    await page.locator(".film video").waitFor();
    await page.getByText("Not said yet: the film plays without the force.").waitFor();
    expect(await inked()).toBe(0);
    await page.getByRole("button", { name: "Is what the film shows now" }).click();
    await page.getByText("The break is at 0.00 s of the film.").waitFor();
    // A plate lies over most of the overlay and none of its rim.
    await expect.poll(inked).toBeGreaterThan(0.5);
    expect(await inked()).toBeLessThan(1);
    expect(await accessFaults(page)).toEqual([]);
    await shoot(page, "film-1440");
  });

  test("moves with the film, and its captions are a track that the browser reads", async () => {
    const picture = () =>
      page.locator(".film canvas").evaluate((canvas) => (canvas as HTMLCanvasElement).toDataURL());
    await page.getByLabel("This moment").selectOption("start");
    await page.getByRole("button", { name: "Is what the film shows now" }).click();
    await page.getByText("The first load is at 0.00 s of the film.").waitFor();
    const before = await picture();
    await page.locator(".film video").evaluate(
      (film) =>
        new Promise((resolve) => {
          film.addEventListener("seeked", resolve, { once: true });
          (film as HTMLVideoElement).currentTime = 0.6;
        }),
    );
    await expect.poll(picture).not.toBe(before);
    await expect.poll(async () => (await cues()).length).toBeGreaterThan(10);
    const told = await cues();
    for (const [at, { from, to, text }] of told.entries()) {
      expect(to - from).toBeCloseTo(0.1, 3);
      expect(from).toBeGreaterThanOrEqual((told[at - 1]?.to ?? 0) - 1e-3);
      expect(text).toMatch(/^-?\d+\.\d\d kN/);
    }
    // The load begins at the film's second 0 and grows by 10 kN a second to 20 kN: one second in it is about 10 kN, and the
    // highest that is told is 20 kN, by construction; the reading's start is sure to a few hundredths of a second.
    const forces = told.map(({ from, text }) => ({ from, kN: Number.parseFloat(text) }));
    const second = forces.find(({ from }) => Math.abs(from - 1) < 0.01)?.kN ?? 0;
    expect(Math.abs(second - 10.5)).toBeLessThan(1.5);
    expect(Math.max(...forces.map(({ kN }) => kN))).toBeCloseTo(20, 1);
  });

  test("is written as transparent pictures, as many as the pull has, in a zip", async () => {
    await page.getByLabel("Pictures in a second").fill("2");
    const status = page.getByText(/^\d+ pictures\. A film takes/);
    const count = Number(/\d+/.exec((await status.textContent()) ?? "")?.[0]);
    expect(count).toBeGreaterThan(4);
    await page.getByRole("button", { name: "Write it as pictures (PNG)" }).click();
    const save = page.getByRole("link", { name: /^Save .*overlay\.zip$/ });
    await save.waitFor({ timeout: 60_000 });
    const coming = page.waitForEvent("download");
    await save.click();
    const files = unzipSync(new Uint8Array(readFileSync(await (await coming).path())));
    expect(Object.keys(files).filter((name) => /^frame-\d{5}\.png$/.test(name))).toHaveLength(count);
    expect(new TextDecoder().decode(files["how-to-lay-it-over.txt"])).toContain("2 pictures a second");
    const picture = await loadImage(Buffer.from(files["frame-00002.png"] ?? []));
    const ground = createCanvas(picture.width, picture.height).getContext("2d");
    ground.drawImage(picture, 0, 0);
    const alpha = (x: number, y: number) => ground.getImageData(x, y, 1, 1).data[3];
    // Nothing at the rim, a plate that shows some of the film through it.
    expect(alpha(1, 1)).toBe(0);
    expect(alpha(picture.width >> 1, picture.height >> 1)).toBeGreaterThan(150);
  });

  test("is written as a film, and the page says whether its transparency came through", async () => {
    await page.getByLabel("Pictures in a second").fill("20");
    await page.getByRole("button", { name: "Write it as a film (WebM)" }).click();
    // Chromium records the alpha of a canvas; where another browser does not, other words stand here.
    await page
      .locator("p", { hasText: "Written: a film with transparency, as this browser plays it back." })
      .waitFor({ timeout: 60_000 });
    const coming = page.waitForEvent("download");
    await page.getByRole("link", { name: /^Save .*overlay\.webm$/ }).click();
    const film = readFileSync(await (await coming).path());
    // The head of a Matroska file: EBML's magic number (RFC 8794, 11.2.1).
    expect(film.subarray(0, 4).toString("hex")).toBe("1a45dfa3");
  });

  test("moves with the film where the browser does not say when a picture is shown", async () => {
    const plain = await browser.newPage({ viewport: { width: 390, height: 844 }, colorScheme: "dark" });
    plain.setDefaultTimeout(30_000);
    const wrong = listenForFaults(plain);
    await plain.addInitScript(() => {
      delete (HTMLVideoElement.prototype as { requestVideoFrameCallback?: unknown })
        .requestVideoFrameCallback;
      delete (HTMLVideoElement.prototype as { cancelVideoFrameCallback?: unknown }).cancelVideoFrameCallback;
      // Nor what else says now and then that the film has moved.
      for (const name of ["timeupdate", "seeked"])
        document.addEventListener(name, (event) => event.stopImmediatePropagation(), { capture: true });
    });
    await plain.goto(`${book.url}/series/${seriesId}/pull/${pullId}/film`);
    await plain.getByLabel("The film", { exact: true }).waitFor();
    await giveFilm(plain);
    await plain.locator(".film video").waitFor();
    await plain.getByLabel("This moment").selectOption("start");
    await plain.getByRole("button", { name: "Is what the film shows now" }).click();
    await plain.getByText("The first load is at 0.00 s of the film.").waitFor();
    const picture = () =>
      plain.locator(".film canvas").evaluate((canvas) => (canvas as HTMLCanvasElement).toDataURL());
    const before = await picture();
    await plain.locator(".film video").evaluate(async (film) => {
      const ended = new Promise((resolve) => film.addEventListener("ended", resolve, { once: true }));
      await (film as HTMLVideoElement).play();
      await ended;
    });
    await expect.poll(picture).not.toBe(before);
    for (const colorScheme of ["light", "dark"] as const) {
      await plain.emulateMedia({ colorScheme });
      expect(await accessFaults(plain)).toEqual([]);
      await shoot(plain, `film-390-${colorScheme}`);
    }
    expect(await plain.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBe(0);
    expect(wrong).toEqual([]);
    await plain.close();
  });

  test("is refused where it is no film, and nothing of all this was a fault", async () => {
    await page.getByLabel("The film", { exact: true }).setInputFiles({
      name: "no-film.mp4",
      mimeType: "video/mp4",
      buffer: Buffer.from("this is no film"),
    });
    await page.getByText("This browser cannot play that file.").waitFor();
    expect(faults).toEqual([]);
  });
});

/** A film of one second and a half, recorded by the browser from a canvas, put where a hand would choose it. */
async function giveFilm(to: Page): Promise<void> {
  await to.evaluate(async () => {
    const canvas = document.createElement("canvas");
    canvas.width = 320;
    canvas.height = 180;
    const ground = canvas.getContext("2d");
    const recorder = new MediaRecorder(canvas.captureStream(20), { mimeType: "video/webm;codecs=vp8" });
    const parts: Blob[] = [];
    recorder.ondataavailable = ({ data }) => parts.push(data);
    const stopped = new Promise((resolve) => {
      recorder.onstop = resolve;
    });
    recorder.start();
    for (let frame = 0; frame < 30; frame++) {
      if (ground !== null) {
        ground.fillStyle = `hsl(${frame * 12} 60% 50%)`;
        ground.fillRect(0, 0, 320, 180);
      }
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    recorder.stop();
    await stopped;
    const carried = new DataTransfer();
    carried.items.add(new File(parts, "pull.webm", { type: "video/webm" }));
    const input = document.querySelector<HTMLInputElement>("input[type=file]");
    if (input === null) throw new Error("no place for the film");
    input.files = carried.files;
    input.dispatchEvent(new Event("change", { bubbles: true }));
  });
}
