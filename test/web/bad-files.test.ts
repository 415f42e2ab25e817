import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import {
  accessFaults,
  dropFiles,
  listenForFaults,
  type OpenBook,
  openBrowser,
  startBook,
} from "./browser.ts";

// What is no recording gets a clear answer in words, nothing is kept, and the page goes on.

let book: OpenBook;
let browser: Browser;
let page: Page;
let faults: string[];

beforeAll(async () => {
  [book, browser] = await Promise.all([startBook(), openBrowser()]);
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  page.setDefaultTimeout(20_000);
  faults = listenForFaults(page);
  await page.goto(book.url);
});

afterAll(async () => {
  await browser?.close();
  await book?.close();
});

const straight = Array.from({ length: 400 }, (_, at) => `${at / 50},${at * 10}`).join("\n");

const bad: readonly { readonly name: string; readonly text: string; readonly code: RegExp }[] = [
  { name: "empty.csv", text: "", code: /TRACE_EMPTY/ },
  { name: "picture.csv", text: "\u0089PNG\r\n\u001a\n\0\0\0\rIHDR\0\0\0\u0001\0\0", code: /TRACE_BINARY/ },
  { name: "header.csv", text: "time_s,force_N\n", code: /TRACE_HEADER_ONLY/ },
  {
    name: "letter.txt",
    text: "Dear all,\nthe loops are done and lie in the loft.\nSee you there.\n",
    code: /TRACE_TEXT/,
  },
  {
    name: "word.csv",
    text: `time_s,force_N\n${straight.replace("4,2000", "4,oops")}\n`,
    code: /TRACE_NUMBER/,
  },
];

describe("a file that is no recording", { timeout: 60_000 }, () => {
  for (const { name, text, code } of bad)
    test(`${name} is refused in words`, async () => {
      await dropFiles(page, [{ name, text }]);
      const sheet = page.getByRole("article", { name });
      const problems = sheet.locator(".problems");
      await problems.waitFor();
      expect(await problems.innerText()).toMatch(code);
      expect(await problems.innerText()).toContain(`Cannot read ${name}`);
      expect(await sheet.getByRole("button", { name: /^Keep/ }).count()).toBe(0);
      expect(await accessFaults(page)).toEqual([]);
    });

  test("does not keep the page from the next one, which is read", async () => {
    const pull = [
      ...Array(100).fill(0),
      ...Array.from({ length: 200 }, (_, at) => at * 100),
      ...Array(100).fill(0),
    ];
    await dropFiles(page, [
      {
        name: "good.csv",
        text: ["time_s,force_N", ...pull.map((force, at) => `${at / 50},${force}`)].join("\n"),
      },
    ]);
    // The highest sample is 19.9 kN, the one after it would have been 20.0 kN: the peak lies between.
    await page
      .locator(".sentence")
      .getByText(/(19\.9|20\.0) kN/)
      .waitFor();
    expect(faults).toEqual([]);
  });
});
