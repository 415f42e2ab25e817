import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { listenForFaults, type OpenBook, openBrowser, startBook } from "./browser.ts";

// Hostile words in every text of every kind of record: no page makes an element of them, runs them or follows them.

const evil =
  "<img src=x onerror=hit=1><script>hit=2</script><svg onload=hit=3>\"'` [x](javascript:hit=4) {{7*7}} \u202Etxt";

/** Where a text stands for one thing of a list, or for another record. */
const listed = new Set(["kind", "figure", "from", "seriesId", "means", "basis"]);

type Stored = { readonly id: string; readonly revision: number } & Readonly<Record<string, unknown>>;

let book: OpenBook;
let browser: Browser;
/** Kind and field of each text that took the words. */
const taken = new Set<string>();

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

async function ask(method: string, path: string, body?: unknown): Promise<Response> {
  return fetch(book.url + path, {
    method,
    ...(body === undefined
      ? {}
      : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) }),
  });
}

/** The same value with the words in place of each text within it that is not one of a list. */
function spoilt(value: unknown, words: string): unknown {
  if (typeof value === "string") return words;
  if (Array.isArray(value)) return value.map((inner) => spoilt(inner, words));
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, inner]) => [name, listed.has(name) ? inner : spoilt(inner, words)]),
  );
}

/** Puts the words into each field that takes them; dates, references and words of a list refuse them, which is right. */
async function spoil(kind: string, record: Stored): Promise<void> {
  for (const [field, value] of Object.entries(record)) {
    for (const words of [evil, "<svg onload=hit=5>"]) {
      const wanted = spoilt(value, words);
      if (JSON.stringify(wanted) === JSON.stringify(value)) break;
      const path = `/api/records/${kind}/${record.id}`;
      const { revision } = await book.read<Stored>(path);
      const answer = await ask("PATCH", path, { revision, patch: { [field]: wanted } });
      if (!answer.ok) continue;
      taken.add(`${kind}.${field}`);
      break;
    }
  }
}

test("hostile words in any field stay words on every page", { timeout: 180_000 }, async () => {
  const [series] = await book.read<Stored[]>("/api/records/series");
  const seriesId = series?.id ?? "";
  const made = async (kind: string, fields: object) => {
    const answer = await ask("POST", `/api/records/${kind}`, { seriesId, ...fields });
    expect(answer.ok, await answer.clone().text()).toBe(true);
  };
  await made("claim", {
    statement: "holds",
    source: "a leaflet",
    kind: "mean",
    basis: "rated, all legs",
    share: 0.9,
  });
  await made("pooled-series", { name: "them", source: "a paper", n: 5, meanShare: 0.9, sdShare: 0.05 });
  const kinds = [
    "rope",
    "spool",
    "recipe",
    "hardware",
    "load-cell",
    "bench",
    "layout",
    "series",
    "specimen",
    "pull",
    "rig",
    "claim",
    "pooled-series",
  ];
  for (const kind of kinds)
    for (const record of (await book.read<Stored[]>(`/api/records/${kind}`)).slice(0, 2))
      await spoil(kind, record);
  // As many texts as a person can type; the list grows with the book.
  expect(taken.size, [...taken].join(" ")).toBeGreaterThan(50);

  const home = `/series/${seriesId}`;
  const [rig] = await book.read<Stored[]>("/api/records/rig");
  const [specimen] = await book.read<Stored[]>(`/api/records/specimen?seriesId=${seriesId}`);
  const [pull] = await book.read<Stored[]>(`/api/records/pull?seriesId=${seriesId}`);
  const paths: readonly (readonly [path: string, there: string])[] = [
    ["/", ".contents li"],
    ["/bench-book", ".contents li"],
    [`${home}/ask`, "form"],
    [`${home}/splice`, ".ledger tbody tr"],
    [`${home}/splice/${specimen?.id}`, "form"],
    [`${home}/pull`, ".pulls > li"],
    [`${home}/pull/${pull?.id}`, ".trace .curve"],
    [`${home}/pull/${pull?.id}/film`, "input[type=file]"],
    [`${home}/judge`, "#pull-by-pull summary"],
    [`${home}/tell`, "#completeness"],
    [`${home}/use`, "table"],
    [`${home}/use/${rig?.id}`, "h1"],
    [`/api${home}/report`, "h1"],
    [`/pulls/${pull?.id}/record`, "h1"],
    [`${home}/cut-sheet`, "h1"],
  ];
  const page = await browser.newPage({ viewport: { width: 1200, height: 900 } });
  page.setDefaultTimeout(20_000);
  const faults = listenForFaults(page);
  page.on("dialog", (dialog) => faults.push(`a dialog: ${dialog.message()}`));
  let seen = 0;
  for (const [path, there] of paths) {
    await page.goto(book.url + path);
    await page.locator(there).first().waitFor();
    const found = await page.evaluate(() => ({
      hit: (globalThis as { hit?: number }).hit,
      made: document.querySelectorAll('img[src="x"], svg[onload], script:not([src]), a[href^="javascript"]')
        .length,
      words: document.documentElement.innerHTML.split("hit=").length - 1,
    }));
    expect([path, found.hit, found.made]).toEqual([path, undefined, 0]);
    seen += found.words;
  }
  // They are there to be read, as words.
  expect(seen).toBeGreaterThan(100);
  // A bound that two pulls cannot give is an answer of 400.
  expect(faults.filter((fault) => !fault.includes("status of 400"))).toEqual([]);
});
