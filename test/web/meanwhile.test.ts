import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type OpenBook, openBrowser, startBook } from "./browser.ts";

// Two people at one book: what was changed elsewhere meanwhile is shown, and nothing that was typed is lost.

let book: OpenBook;
let browser: Browser;
let page: Page;
let seriesId: string;

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  page.setDefaultTimeout(20_000);
  seriesId = (
    await send<{ id: string }>("POST", "/api/records/series", { title: "Two hands", question: "Which?" })
  ).id;
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

test("a rope goes at the second press, and one that a specimen is made of stays", {
  timeout: 60_000,
}, async () => {
  const rope = await send<{ id: string }>("POST", "/api/records/rope", {
    name: "Spare rope",
    nominalDiameterMm: 8,
  });
  await page.goto(`${book.url}/bench-book`);
  await page.getByRole("button", { name: "take out Spare rope" }).click();
  expect((await fetch(`${book.url}/api/records/rope/${rope.id}`)).status).toBe(200);
  await page.getByRole("button", { name: "for good? take out Spare rope" }).click();
  await page.getByRole("button", { name: "Spare rope", exact: true }).waitFor({ state: "detached" });
  expect((await fetch(`${book.url}/api/records/rope/${rope.id}`)).status).toBe(404);

  await page.getByRole("button", { name: "take out Demo rope 5 mm" }).click();
  await page.getByRole("button", { name: "for good? take out Demo rope 5 mm" }).click();
  await page.getByText("It stays in the book").waitFor();
});

describe("somebody else changes the same thing", { timeout: 60_000 }, () => {
  test("the question: both are shown, and mine can be kept over it", async () => {
    await page.goto(`${book.url}/series/${seriesId}/ask`);
    await page.getByLabel("What do you want to know?").fill("My question?");
    await send("PATCH", `/api/records/series/${seriesId}`, {
      revision: 1,
      patch: { question: "Their question?" },
    });
    await page.getByRole("button", { name: "Keep it" }).click();
    const both = page.getByRole("row", { name: "Question My question? Their question?" });
    await both.waitFor();
    expect(await page.getByLabel("What do you want to know?").inputValue()).toBe("My question?");
    await page.getByRole("button", { name: "Keep mine over it" }).click();
    await page.getByText("Kept.", { exact: true }).first().waitFor();
    expect((await book.read<{ question: string }>(`/api/records/series/${seriesId}`)).question).toBe(
      "My question?",
    );
  });

  test("another field of the same record: both changes stand, and nobody is asked", async () => {
    const made = await send<{ id: string }>("POST", "/api/records/specimen", { seriesId, label: "A1" });
    await page.goto(`${book.url}/series/${seriesId}/splice`);
    const maker = page.getByLabel("Maker, A1");
    await maker.waitFor();
    await send("PATCH", `/api/records/specimen/${made.id}`, { revision: 1, patch: { notes: "theirs" } });
    await maker.focus();
    await page.keyboard.type("me");
    await page.keyboard.press("Enter");
    await expect
      .poll(async () => {
        const { maker: by, notes } = await book.read<{ maker: string; notes: string }>(
          `/api/records/specimen/${made.id}`,
        );
        return `${by} ${notes}`;
      })
      .toBe("me theirs");
  });

  test("the same cell of the ledger: asked, and theirs can be taken", async () => {
    const [specimen] = await book.read<{ id: string; revision: number }[]>(
      `/api/records/specimen?seriesId=${seriesId}`,
    );
    const notes = page.getByLabel("Notes, A1");
    // Loaded anew, so that no answer is on its way that would show the other's change before it is met.
    await page.reload();
    await expect.poll(async () => await notes.inputValue()).toBe("theirs");
    await send("PATCH", `/api/records/specimen/${specimen?.id}`, {
      revision: specimen?.revision,
      patch: { notes: "theirs, later" },
    });
    await notes.focus();
    await page.keyboard.type("mine");
    await page.keyboard.press("Enter");
    await page.getByText("Notes: in the book now theirs, later").waitFor();
    expect(await notes.inputValue()).toBe("mine");
    await page.getByRole("button", { name: "Take what is in the book" }).click();
    await expect.poll(async () => await notes.inputValue()).toBe("theirs, later");
  });

  test("a ledger filled faster than the book can answer loses no cell", async () => {
    const rope = await send<{ id: string }>("POST", "/api/records/rope", {
      name: "Slow rope",
      nominalDiameterMm: 6,
    });
    const labels = ["A1", "A2", "A3", "A4"];
    for (const label of labels.slice(1)) await send("POST", "/api/records/specimen", { seriesId, label });
    await page.goto(`${book.url}/series/${seriesId}/splice`);
    await page.getByLabel("Rope, A4").waitFor();
    await page.route("**/api/records/specimen/**", async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 250));
      await route.continue();
    });
    await page.getByLabel("Rope, A1").focus();
    await page.keyboard.type("Slow rope");
    await page.keyboard.press("Escape");
    await page.getByLabel("Maker, A1").focus();
    await page.keyboard.type("me");
    // Each row's rope is still being kept while its maker is filled in, and answered before the next row's is.
    for (const label of labels.slice(1)) {
      await page.getByLabel(`Rope, ${label}`).focus();
      await page.keyboard.press("Control+d");
      await page.getByLabel(`Maker, ${label}`).focus();
      await page.waitForTimeout(120);
      await page.keyboard.press("Control+d");
      await page.keyboard.press("ArrowDown");
      await page.waitForTimeout(120);
    }
    type Filled = { label: string; ropeId?: string; maker?: string };
    await expect
      .poll(async () =>
        (await book.read<Filled[]>(`/api/records/specimen?seriesId=${seriesId}`)).map(
          ({ label, ropeId, maker }) => [label, ropeId, maker],
        ),
      )
      .toEqual(labels.map((label) => [label, rope.id, "me"]));
    await page.unroute("**/api/records/specimen/**");
  });

  test("what is typed and not kept outlives turning the page", async () => {
    await page.goto(`${book.url}/series/${seriesId}/ask`);
    await page.getByLabel("Tester").fill("Somebody");
    await page.getByRole("link", { name: "Help" }).click();
    await page.getByRole("heading", { level: 1, name: "How it works" }).waitFor();
    await page.goBack();
    await expect.poll(async () => await page.getByLabel("Tester").inputValue()).toBe("Somebody");
    await page.getByText("Typed and not yet kept.").waitFor();
  });

  test("the program does not answer: said so, nothing is lost, and it can be tried again", async () => {
    await page.goto(`${book.url}/series/${seriesId}/splice`);
    const cut = page.getByLabel("Cut, mm, A1");
    await cut.waitFor();
    await page.route("**/api/records/**", (route) => route.abort());
    await cut.focus();
    await page.keyboard.type("700");
    await page.keyboard.press("Enter");
    await page.getByText("The program on this computer did not answer.").first().waitFor();
    expect(await cut.inputValue()).toBe("700");
    await page.unroute("**/api/records/**");
    await page.getByRole("button", { name: "Try again" }).click();
    await expect
      .poll(
        async () =>
          (await book.read<{ cutLengthMm?: number }[]>(`/api/records/specimen?seriesId=${seriesId}`))[0]
            ?.cutLengthMm,
      )
      .toBe(700);
    await page.goto(`${book.url}/series/${seriesId}/ask`);
  });

  test("a field that the book refuses says so beside the field, in the book's words", async () => {
    await page.getByLabel("Title").fill("");
    await page.getByRole("button", { name: "Keep it" }).click();
    const title = page.getByLabel("Title");
    await expect.poll(async () => await title.getAttribute("aria-invalid")).toBe("true");
    const refused = await fetch(`${book.url}/api/records/series/${seriesId}`, {
      method: "PATCH",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ revision: 3, patch: { title: "" } }),
    });
    const { problems } = (await refused.json()) as { problems: { message: string }[] };
    expect(problems.length).toBeGreaterThan(0);
    const described = await title.getAttribute("aria-describedby");
    const words = await page.locator(`[id="${described?.split(" ").at(-1)}"]`).innerText();
    expect(words).toContain(problems[0]?.message);
  });
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
