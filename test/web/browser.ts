import { type ChildProcess, spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import axe from "axe-core";
import { type Browser, chromium, type Page } from "playwright-core";

/** The built program; `BITTEREND_DIST` names another build. */
const dist = process.env["BITTEREND_DIST"] ?? join(import.meta.dirname, "..", "..", "dist");
const shots = join(import.meta.dirname, "..", ".shots");

/** The program as a user starts it, with a new book of its own. */
export type OpenBook = {
  readonly url: string;
  /** The value that an address of the API answers. */
  read<T>(path: string): Promise<T>;
  close(): Promise<void>;
};

/** Starts the built program on a free port with a new book, which then holds the demo series. */
export async function startBook(): Promise<OpenBook> {
  const folder = mkdtempSync(join(tmpdir(), "bitterend-web-"));
  const args = [
    join(dist, "cli.js"),
    "start",
    "--port",
    String(await freePort()),
    "--book",
    join(folder, "book.db"),
  ];
  const program = spawn(process.execPath, args, { stdio: ["ignore", "pipe", "pipe"] });
  // A test that ends before it closes its book leaves no program behind.
  process.once("exit", () => program.kill());
  const url = await addressOf(program);
  return {
    url,
    read: async <T>(path: string) => {
      const answer = (await (await fetch(url + path)).json()) as { value?: T };
      if (answer.value === undefined) throw new Error(`${path}: ${JSON.stringify(answer)}`);
      return answer.value;
    },
    close: async () => {
      const gone = new Promise((resolve) => program.once("exit", resolve));
      program.kill("SIGTERM");
      await gone;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function addressOf(program: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = "";
    const hear = (text: Buffer): void => {
      said += text.toString();
      const url = /https?:\/\/[\w.:-]+/.exec(said)?.[0];
      if (url !== undefined) resolve(url.replace(/\/$/, ""));
    };
    program.stdout?.on("data", hear);
    program.stderr?.on("data", (text: Buffer) => {
      said += text.toString();
    });
    program.once("exit", (code) => reject(new Error(`The program ended with ${code}: ${said}`)));
  });
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once("error", reject);
    probe.listen(0, "127.0.0.1", () => {
      const address = probe.address();
      probe.close(() =>
        typeof address === "object" && address !== null
          ? resolve(address.port)
          : reject(new Error("no port")),
      );
    });
  });
}

const usualPlaces = [
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];

export function openBrowser(): Promise<Browser> {
  const executablePath =
    process.env["BITTEREND_CHROMIUM"] ??
    usualPlaces.find((path) => existsSync(path)) ??
    chromium.executablePath();
  return chromium.launch({
    executablePath,
    args: [
      "--no-sandbox",
      "--headless",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** Everything that a page complains of, violations of its content security policy among it. */
export function listenForFaults(page: Page): string[] {
  const faults: string[] = [];
  page.on("pageerror", (error) => faults.push(`${page.url()}: ${error.message}`));
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(`${page.url()}: ${message.text()}`);
  });
  return faults;
}

/** What axe-core finds wrong with a page, a line each, by the rules of WCAG 2.2 A and AA and its best practices. */
export async function accessFaults(page: Page): Promise<string[]> {
  await page.evaluate(axe.source);
  return page.evaluate(async () => {
    const { axe: checker } = globalThis as unknown as { axe: typeof axe };
    // Colours are judged once they have come to rest, not on their way from light to dark.
    const ending = document
      .getAnimations()
      .filter((one) => one.effect?.getComputedTiming().endTime !== Infinity);
    await Promise.allSettled(ending.map((one) => one.finished));
    // What a report says of itself is tested with the report; its frame is sandboxed and runs nothing, not even this.
    const found = await checker.run({ exclude: ["iframe"] }, { iframes: false });
    return found.violations.flatMap((rule) =>
      rule.nodes.map((node) => `${rule.id}: ${node.html.slice(0, 160)} ${node.failureSummary ?? ""}`),
    );
  });
}

/** Opens all that is folded on Judge, once all of it is there. */
export async function openFolds(page: Page): Promise<void> {
  await page.locator("#pooling").waitFor();
  await page.getByRole("button", { name: "Open all" }).click();
  await page.getByRole("button", { name: "Fold all" }).waitFor();
}

/** Keeps a picture of the page in test/.shots, which git leaves out. */
export async function shoot(page: Page, name: string): Promise<void> {
  mkdirSync(shots, { recursive: true });
  await page.screenshot({ path: join(shots, `${name}.png`), fullPage: true, animations: "disabled" });
}

/** Keeps bytes beside the pictures, such as a print. */
export function keep(name: string, bytes: Uint8Array): void {
  mkdirSync(shots, { recursive: true });
  writeFileSync(join(shots, name), bytes);
}

/** Drops files on the page as a hand does. */
export async function dropFiles(
  page: Page,
  files: readonly { readonly name: string; readonly text: string }[],
): Promise<void> {
  await page.locator(".drop").waitFor();
  await page.evaluate((dropped) => {
    const carried = new DataTransfer();
    for (const { name, text } of dropped) carried.items.add(new File([text], name, { type: "text/csv" }));
    document
      .querySelector(".drop")
      ?.dispatchEvent(new DragEvent("drop", { bubbles: true, cancelable: true, dataTransfer: carried }));
  }, files);
}
