import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { SiteFolder } from "../../src/app/mod.ts";
import { add, openApp, valueIn } from "../app/open-app.ts";
import { accessFaults, listenForFaults, openBrowser, shoot } from "./browser.ts";

const base = "/a/base/path/";

/** The site as a host serves it under a path of its own: bytes by their ending, nothing else. */
function serve(root: string): Promise<Server> {
  const types: Readonly<Record<string, string>> = {
    html: "text/html; charset=utf-8",
    svg: "image/svg+xml",
    xml: "application/atom+xml",
  };
  const server = createServer((request, reply) => {
    const path = (request.url ?? "").split("?")[0] ?? "";
    try {
      if (!path.startsWith(base)) throw new Error("elsewhere");
      const bytes = readFileSync(join(root, path.slice(base.length)));
      reply.writeHead(200, {
        "content-type": types[path.split(".").at(-1) ?? ""] ?? "application/octet-stream",
      });
      reply.end(bytes);
    } catch {
      reply.writeHead(404).end();
    }
  });
  return new Promise((resolve) => server.listen(0, "127.0.0.1", () => resolve(server)));
}

function folderAt(root: string): SiteFolder {
  return {
    isEmpty: async () => readdirSync(root).length === 0,
    read: async () => undefined,
    sizeOf: async (path) => statSync(join(root, path)).size,
    write: async (path, bytes) => {
      mkdirSync(dirname(join(root, path)), { recursive: true });
      writeFileSync(join(root, path), bytes);
    },
    remove: async (path) => rmSync(join(root, path)),
  };
}

describe("the site in a browser", () => {
  const root = mkdtempSync(join(tmpdir(), "bitterend-site-"));
  let browser: Browser;
  let server: Server;
  let origin: string;
  let loops: string;

  beforeAll(async () => {
    const { app } = await openApp();
    for (const [title, place] of [
      ["Loops of grey rope", "throat"],
      ["Eyes, <b>blue</b> rope", "<img src=x onerror=alert(1)>"],
    ] as const) {
      const series = await add(app, "series", {
        title,
        tester: "Invented Loft",
        factors: [{ name: "diameter", unit: "mm", levels: [5, 6] }],
      });
      if (place === "throat") loops = series.id;
      const rope = await add(app, "rope", { name: "Braid", nominalDiameterMm: 6, ratedStrengthN: 30_000 });
      const recipe = await add(app, "recipe", { name: "Loop", kind: "crossed-tail loop", legs: 2 });
      for (const [i, kN] of [48, 50, 53, 41, 44, 45].entries()) {
        const specimen = await add(app, "specimen", {
          seriesId: series.id,
          label: `A${i + 1}`,
          ropeId: rope.id,
          recipeId: recipe.id,
          levels: { diameter: i < 3 ? 6 : 5 },
        });
        await add(app, "pull", {
          seriesId: series.id,
          specimenId: specimen.id,
          typedPeakN: kN * 1000,
          outcome: { kind: "broke", place },
        });
      }
      const report = valueIn(await app.publishReport(series.id));
      if (place !== "throat") valueIn(await app.withdrawReport(report.id, { reason: "Wrong rope." }));
      else valueIn(await app.publishReport(series.id, { note: "Read again." }));
    }
    valueIn(await app.site(folderAt(root)));
    [browser, server] = await Promise.all([openBrowser(), serve(root)]);
    origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  }, 60_000);

  afterAll(async () => {
    await browser?.close();
    server?.close();
    rmSync(root, { recursive: true, force: true });
  });

  /** A page that may ask for nothing but the site itself; what it asks for besides is a fault. */
  async function openPage(options: Parameters<Browser["newContext"]>[0] = {}) {
    const context: BrowserContext = await browser.newContext({
      viewport: { width: 1440, height: 900 },
      ...options,
    });
    const page: Page = await context.newPage();
    const faults = listenForFaults(page);
    await page.route("**/*", (route) => {
      const address = route.request().url();
      if (address.startsWith(`${origin}${base}`) || address.startsWith("file:")) return route.continue();
      faults.push(`asked for ${address}`);
      return route.abort();
    });
    return { page, faults, close: () => context.close() };
  }

  test.each([
    ["light", 1440],
    ["dark", 390],
  ] as const)(
    "is without faults of access in %s, %i wide, and asks for nothing foreign",
    async (colorScheme, width) => {
      const { page, faults, close } = await openPage({ colorScheme, viewport: { width, height: 900 } });
      for (const path of [
        "index.html",
        `reports/${loops}/index.html`,
        `reports/${loops}/1.html`,
        `reports/${loops}/figures/every-pull.html`,
      ]) {
        await page.goto(`${origin}${base}${path}`);
        expect(await accessFaults(page)).toEqual([]);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        expect(wide, path).toBeLessThanOrEqual(width);
        await shoot(
          page,
          `site-${path.replaceAll(/[/.]/g, "-").replace(loops, "loops")}-${width}-${colorScheme}`,
        );
      }
      expect(faults).toEqual([]);
      await close();
    },
  );

  test("is searched with scripts on: all words, and how many hold them", async () => {
    const { page, faults, close } = await openPage();
    await page.goto(`${origin}${base}index.html`);
    const items = page.locator("#reports > li");
    expect(await items.count()).toBe(2);
    await page.getByLabel("Search the reports").fill("rope GREY");
    await page.getByText("1 report", { exact: true }).waitFor();
    expect(await page.locator("#reports > li:visible").count()).toBe(1);
    await page.getByRole("link", { name: "Loops of grey rope" }).click();
    await page.getByRole("heading", { level: 1, name: "Loops of grey rope" }).waitFor();
    await page.getByRole("link", { name: "Read revision 1" }).click();
    await page.getByText("A later revision stands.").waitFor();
    expect(faults).toEqual([]);
    await close();
  });

  test("shows its list with scripts off, and no field to search", async () => {
    const { page, close } = await openPage({ javaScriptEnabled: false });
    await page.goto(`${origin}${base}index.html`);
    expect(await page.locator("#reports > li:visible").count()).toBe(2);
    expect(await page.locator("#search").isVisible()).toBe(false);
    expect(await page.getByText("Withdrawn", { exact: true }).isVisible()).toBe(true);
    await close();
  });

  test("works from a disk, pictures and search as well", async () => {
    const { page, faults, close } = await openPage({ colorScheme: "dark" });
    await page.goto(pathToFileURL(join(root, "index.html")).href);
    await page.getByLabel("Search the reports").fill("nothing of the kind");
    await page.getByText("0 reports").waitFor();
    await page.getByLabel("Search the reports").fill("");
    await page.getByRole("link", { name: "Loops of grey rope" }).click();
    const picture = page.locator(".shown img").first();
    await picture.scrollIntoViewIfNeeded();
    await page.waitForFunction(
      () => (document.querySelector<HTMLImageElement>(".shown img")?.naturalWidth ?? 0) > 0,
    );
    // In the dark the dark file is taken.
    expect(await picture.evaluate((one: HTMLImageElement) => one.currentSrc)).toMatch(/-dark\.svg$/);
    expect(faults).toEqual([]);
    await close();
  });

  test("gives a figure that another page can show in a frame", async () => {
    const { page, faults, close } = await openPage();
    await page.setContent(
      `<title>Elsewhere</title><iframe src="${origin}${base}reports/${loops}/figures/every-pull.html" title="Every pull" width="600" height="500"></iframe>`,
    );
    const figure = page.frameLocator("iframe").getByRole("img", { name: /^Every pull/ });
    await figure.waitFor();
    expect(faults).toEqual([]);
    await close();
  });
});
