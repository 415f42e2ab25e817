import { HtmlValidate } from "html-validate";
import { beforeAll, describe, expect, test } from "vitest";
import type { App, SiteFolder } from "../../src/app/mod.ts";
import { add, openApp, problemOf, type TestApp, valueIn } from "./open-app.ts";

// The validator is an implementation of the HTML standard that is not ours.
const validator = new HtmlValidate({ extends: ["html-validate:standard"], rules: { "no-dup-id": "error" } });

/** A folder in memory that counts what is written to it. */
function memory() {
  const files = new Map<string, Uint8Array>();
  const writes: string[] = [];
  const folder: SiteFolder = {
    isEmpty: async () => files.size === 0,
    read: async (path) => {
      const bytes = files.get(path);
      return bytes === undefined ? undefined : new TextDecoder().decode(bytes);
    },
    sizeOf: async (path) => files.get(path)?.length,
    write: async (path, bytes) => {
      writes.push(path);
      files.set(path, bytes);
    },
    remove: async (path) => {
      files.delete(path);
    },
  };
  const text = (path: string) => {
    const bytes = files.get(path);
    if (bytes === undefined)
      throw new Error(`there is no ${path}; there are ${[...files.keys()].join(", ")}`);
    return new TextDecoder().decode(bytes);
  };
  return { folder, files, writes, text };
}

/** A series with three typed pulls of loops of 30 kN rope. */
async function addSeries(
  app: App,
  about: { readonly title: string; readonly tester?: string },
): Promise<string> {
  const series = await add(app, "series", about);
  const rope = await add(app, "rope", { name: "Blue", nominalDiameterMm: 6, ratedStrengthN: 30_000 });
  const recipe = await add(app, "recipe", { name: "Loop", kind: "crossed-tail loop", legs: 2 });
  for (const [i, kN] of [48, 50, 53].entries()) {
    const specimen = await add(app, "specimen", {
      seriesId: series.id,
      label: `A${i + 1}`,
      ropeId: rope.id,
      recipeId: recipe.id,
    });
    await add(app, "pull", {
      seriesId: series.id,
      specimenId: specimen.id,
      typedPeakN: kN * 1000,
      outcome: { kind: "broke", place: "throat" },
    });
  }
  return series.id;
}

async function openWithClock(): Promise<TestApp & { readonly passDay: () => void }> {
  let day = 1;
  const opened = await openApp({ now: () => `2024-05-${String(day).padStart(2, "0")}T08:00:00.000Z` });
  return {
    ...opened,
    passDay: () => {
      day += 1;
    },
  };
}

const hostile = `<script>alert(1)</script> & "quoted" ]]> \u202e`;

describe("a site of published reports", () => {
  const place = memory();
  let opened: Awaited<ReturnType<typeof openWithClock>>;
  let first: string;
  let second: string;
  const url = "https://example.org/ropes/";

  beforeAll(async () => {
    opened = await openWithClock();
    const { app, passDay } = opened;
    first = await addSeries(app, { title: "Loops", tester: "Invented Loft" });
    second = await addSeries(app, { title: hostile, tester: hostile });
    valueIn(await app.publishReport(first));
    passDay();
    valueIn(await app.publishReport(second));
    passDay();
    const { revision } = valueIn(await app.get("series", first));
    valueIn(await app.change("series", first, revision, { conclusions: "They hold." }));
    valueIn(await app.publishReport(first, { note: "With our conclusions." }));
    valueIn(await app.site(place.folder, { url }));
  });

  test("has valid pages", async () => {
    const pages = [...place.files.keys()].filter((path) => path.endsWith(".html"));
    expect(pages.length).toBeGreaterThan(7);
    for (const path of pages) {
      const { results } = await validator.validateString(place.text(path));
      expect(
        results.flatMap(({ messages }) =>
          messages.map(({ ruleId, message }) => `${path} ${ruleId}: ${message}`),
        ),
      ).toEqual([]);
    }
  });

  test("links only to what is there, by relative paths, and fetches nothing", () => {
    for (const path of [...place.files.keys()].filter((one) => one.endsWith(".html"))) {
      const html = place.text(path);
      const links = [...html.matchAll(/\s(?:href|src|srcset)="([^"]*)"/g)].map(([, link]) => link ?? "");
      for (const link of links.filter((one) => !one.startsWith("#") && !one.startsWith("data:"))) {
        const target = new URL(link, `https://site.example/${path}`);
        expect(target.host).toBe("site.example");
        expect([...place.files.keys()]).toContain(target.pathname.slice(1));
      }
      expect(html).not.toMatch(/<(?:link rel="stylesheet"|script src|iframe|object|embed|base)/);
    }
  });

  test("keeps each revision as it was published, and says above an older one what stands", async () => {
    const reports = await opened.app.reports();
    const bytes = (path: string) => place.files.get(path) ?? new Uint8Array();
    const current = reports.find(({ seriesId, number }) => seriesId === first && number === 2);
    expect(opened.effects.sha256([bytes(`reports/${first}/2.html`)])).toBe(current?.sha256);
    const old = place.text(`reports/${first}/1.html`);
    expect(old).toContain("A later revision stands.");
    expect(old).toContain('<a href="2.html">Revision 2 of 3 May 2024</a>');
    const landing = place.text(`reports/${first}/index.html`);
    expect(landing).toContain("With our conclusions.");
    expect(landing).toContain(current?.sha256);
  });

  test("gives each revision’s bundle, and the pulls as CSV", async () => {
    for (const number of [1, 2]) {
      const report = (await opened.app.reports()).find(
        (one) => one.seriesId === first && one.number === number,
      );
      const bundle = valueIn(await opened.app.bundleOfReport(report?.id ?? ""));
      const kept = place.files.get(`reports/${first}/${number}.zip`) ?? new Uint8Array();
      expect(opened.effects.sha256([kept])).toBe(opened.effects.sha256([bundle.bytes]));
    }
    expect(place.text(`reports/${first}/2.csv`).split("\r\n").length).toBe(5); // a head, three pulls, an end of line
  });

  test("has a feed with what RFC 4287 asks for", () => {
    const feed = elementOf(place.text("feed.xml"));
    expect([feed.name, feed.attributes["xmlns"]]).toEqual(["feed", "http://www.w3.org/2005/Atom"]);
    const entries = childrenOf(feed, "entry");
    // 4.1.1: exactly one id, title, updated; 4.1.2: likewise in each entry, and an author there where the feed has none.
    for (const one of [feed, ...entries])
      for (const name of ["id", "title", "updated"]) expect(childrenOf(one, name).length, name).toBe(1);
    expect(entries.length).toBe(3);
    for (const entry of entries) {
      expect(childrenOf(childrenOf(entry, "author")[0] ?? feed, "name")[0]?.text).not.toBe("");
      expect(
        childrenOf(entry, "link").filter(({ attributes }) => attributes["rel"] === "alternate").length,
      ).toBe(1);
      // 3.3: dates are of RFC 3339; 4.2.6: an id is an IRI, here a UUID of version 8.
      expect(childrenOf(entry, "updated")[0]?.text).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?Z$/);
      expect(childrenOf(entry, "id")[0]?.text).toMatch(
        /^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/,
      );
    }
    const ids = [feed, ...entries].map((one) => childrenOf(one, "id")[0]?.text);
    expect(new Set(ids).size).toBe(4);
    const dates = entries.map((entry) => childrenOf(entry, "updated")[0]?.text ?? "");
    expect(dates).toEqual(dates.toSorted().toReversed());
    expect(childrenOf(feed, "updated")[0]?.text).toBe(dates[0]);
    const titles = entries.map((entry) => childrenOf(entry, "title")[0]?.text);
    expect(titles).toContain("Loops, revision 2");
    expect(titles.some((title) => title?.includes("<script>alert(1)</script>"))).toBe(true);
  });

  test("has a sitemap of all pages by whole addresses", () => {
    const map = elementOf(place.text("sitemap.xml"));
    const addresses = childrenOf(map, "url").map((one) => childrenOf(one, "loc")[0]?.text ?? "");
    expect(addresses).toContain(`${url}index.html`);
    expect(addresses).toContain(`${url}reports/${first}/2.html`);
    for (const address of addresses) expect([...place.files.keys()]).toContain(address.slice(url.length));
  });

  test("tells machines what each report is, as a Dataset", () => {
    const landing = place.text(`reports/${second}/index.html`);
    const blocks = [...landing.matchAll(/<script type="application\/ld\+json">(.*?)<\/script>/gs)];
    expect(blocks.length).toBe(1);
    const data = JSON.parse(blocks[0]?.[1] ?? "") as Record<string, unknown>;
    expect(data["@type"]).toBe("Dataset");
    expect(data["name"]).toContain("<script>alert(1)</script>");
    expect(String(data["description"]).length).toBeGreaterThanOrEqual(50);
    const files = data["distribution"] as { contentUrl: string; encodingFormat: string }[];
    expect(files.map(({ encodingFormat }) => encodingFormat)).toEqual([
      "text/html",
      "application/zip",
      "text/csv",
    ]);
    for (const { contentUrl } of files)
      expect([...place.files.keys()]).toContain(contentUrl.slice(url.length));
  });

  test("shows its figures as files with their data, and as pages for a frame", () => {
    const svg = place.text(`reports/${first}/figures/every-pull.svg`);
    expect(elementOf(svg).name).toBe("svg");
    expect(svg).toContain("Source: Invented Loft, “Loops”, revision 2 of 2024-05-03");
    // Its own data, once in the file and once beside it.
    const data = /<metadata>([^<]*)</.exec(svg)?.[1] ?? "";
    for (const strength of ["A1,broke,48000", "A2,broke,50000", "A3,broke,53000"])
      expect(data).toContain(strength);
    expect(place.text(`reports/${first}/figures/every-pull.csv`)).toContain("pull,A1,broke,48000");
    expect(place.text(`reports/${first}/figures/every-pull.html`)).toContain('href="every-pull.csv"');
    expect(place.text(`reports/${first}/index.html`)).toContain('href="figures/every-pull.csv"');
    expect(place.text(`reports/${first}/figures/every-pull.html`)).toContain("<svg");
    const snippet = `&lt;iframe src=&quot;${url}reports/${first}/figures/every-pull.html&quot;`;
    expect(place.text(`reports/${first}/index.html`)).toContain(snippet);
  });

  test("is not written again where nothing changed, and a file that was lost comes back", async () => {
    const hashes = () =>
      [...place.files].map(([path, bytes]) => `${path} ${opened.effects.sha256([bytes])}`).sort();
    const before = hashes();
    place.writes.length = 0;
    const again = valueIn(await opened.app.site(place.folder, { url }));
    expect(again).toMatchObject({ reports: 2, built: 0, unchanged: 2, written: 0, removed: 0 });
    expect(place.writes).toEqual([]);
    place.files.delete(`reports/${first}/1.html`);
    expect(valueIn(await opened.app.site(place.folder, { url }))).toMatchObject({ built: 1, unchanged: 1 });
    expect(hashes()).toEqual(before);
  });

  test("says of a withdrawn report that it was, wherever it is named", async () => {
    const { app, passDay } = opened;
    passDay();
    const report = (await app.reports()).find(({ seriesId }) => seriesId === second);
    valueIn(await app.withdrawReport(report?.id ?? "", { reason: "The cell was wrong." }));
    expect(valueIn(await app.site(place.folder, { url }))).toMatchObject({ built: 1, unchanged: 1 });
    for (const path of [`reports/${second}/index.html`, `reports/${second}/1.html`]) {
      expect(place.text(path)).toContain("Withdrawn");
      expect(place.text(path)).toContain("The cell was wrong.");
    }
    expect(place.text("index.html")).toContain('<p class="state">Withdrawn</p>');
    expect(place.files.has(`reports/${second}/figures/every-pull.svg`)).toBe(false);
    const [newest] = childrenOf(elementOf(place.text("feed.xml")), "entry");
    expect(childrenOf(newest ?? elementOf("<a/>"), "title")[0]?.text).toMatch(/^Withdrawn: /);
    const { results } = await validator.validateString(place.text(`reports/${second}/index.html`));
    expect(results.flatMap(({ messages }) => messages)).toEqual([]);
  });

  test("says at each of its addresses that a report is no longer in the book", async () => {
    const other = await openApp();
    const copy = memory();
    for (const [path, bytes] of place.files) copy.files.set(path, bytes);
    expect(valueIn(await other.app.site(copy.folder, { url }))).toMatchObject({ reports: 0, gone: 2 });
    for (const name of ["index", "1", "2"]) {
      expect(copy.text(`reports/${first}/${name}.html`)).toContain("no longer in the book");
      const { results } = await validator.validateString(copy.text(`reports/${first}/${name}.html`));
      expect(results.flatMap(({ messages }) => messages)).toEqual([]);
    }
    expect([...copy.files.keys()].filter((path) => /\.(?:zip|csv|svg)$/.test(path))).toEqual([]);
    expect(copy.text("index.html")).toContain("Taken out of the book");
    expect(copy.files.has("feed.xml")).toBe(false);
    copy.writes.length = 0;
    valueIn(await other.app.site(copy.folder, { url }));
    expect(copy.writes).toEqual([]);
  });

  test("without an address has no sitemap, and a feed with relative links", async () => {
    const here = memory();
    valueIn(await opened.app.site(here.folder));
    expect(here.files.has("sitemap.xml")).toBe(false);
    expect(here.text("feed.xml")).toContain(`href="reports/${first}/2.html"`);
    const id = (text: string) => childrenOf(elementOf(text), "id")[0]?.text;
    expect(id(here.text("feed.xml"))).toBe(id(place.text("feed.xml")));
  });

  test("is refused where the folder holds other things, or its list was changed to reach out of it", async () => {
    const foreign = memory();
    foreign.files.set("index.html", new Uint8Array());
    expect(problemOf(await opened.app.site(foreign.folder))?.code).toBe("SITE_FOLDER");
    expect(foreign.writes).toEqual([]);
    const changed = memory();
    for (const [path, bytes] of place.files) changed.files.set(path, bytes);
    const list = place.text("site.json").replaceAll(`reports/${second}/1.html`, "../../elsewhere.html");
    changed.files.set("site.json", new TextEncoder().encode(list));
    expect(problemOf(await opened.app.site(changed.folder))?.code).toBe("SITE_FOLDER");
    expect(problemOf(await opened.app.site(memory().folder, { url: "javascript:alert(1)" }))?.code).toBe(
      "INPUT_FIELD",
    );
  });

  test("of 500 reports would take less than a minute: 20 take less than their share of processor time", async () => {
    const { app } = await openApp();
    for (let i = 0; i < 20; i++)
      valueIn(await app.publishReport(await addSeries(app, { title: `Loops ${i}` })));
    const many = memory();
    const before = process.cpuUsage();
    expect(valueIn(await app.site(many.folder))).toMatchObject({ reports: 20, built: 20 });
    const { user, system } = process.cpuUsage(before);
    expect((user + system) / 1e6).toBeLessThan((60 / 500) * 20);
  });

  test("of an empty book says that nothing was published", async () => {
    const { app } = await openApp();
    const empty = memory();
    valueIn(await app.site(empty.folder));
    expect([...empty.files.keys()].sort()).toEqual(["index.html", "site.json"]);
    expect(empty.text("index.html")).toContain("Nothing has been published yet.");
    const { results } = await validator.validateString(empty.text("index.html"));
    expect(results.flatMap(({ messages }) => messages)).toEqual([]);
  });
});

type Element = {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
  text: string;
};

function childrenOf({ children }: Element, name: string): Element[] {
  return children.filter((child) => child.name === name);
}

/** A strict reader of what is used here of XML 1.0; whatever is not well-formed fails the test. */
function elementOf(xml: string): Element {
  const root: Element = { name: "", attributes: {}, children: [], text: "" };
  const open = [root];
  const piece =
    /<\?xml version="1\.0" encoding="utf-8"\?>|<\/([\w:]+)>|<([\w:]+)((?:\s[\w:-]+="[^"<]*")*)(\/?)>|([^<]+)/gy;
  let at = 0;
  for (const found of xml.matchAll(piece)) {
    at += found[0].length;
    const [, closed, opened, attributes = "", alone, text] = found;
    const parent = open.at(-1) ?? root;
    if (closed !== undefined) expect(open.pop()?.name).toBe(closed);
    if (opened !== undefined) {
      const pairs = [...attributes.matchAll(/\s([\w:-]+)="([^"]*)"/g)].map(([, name, value]) => [
        name ?? "",
        plain(value ?? ""),
      ]);
      expect(new Set(pairs.map(([name]) => name)).size).toBe(pairs.length);
      const element = { name: opened, attributes: Object.fromEntries(pairs), children: [], text: "" };
      parent.children.push(element);
      if (alone === "") open.push(element);
    }
    if (text !== undefined) parent.text += plain(text);
  }
  expect(xml.slice(at)).toBe("");
  expect(open).toEqual([root]);
  expect(root.children.length).toBe(1);
  return root.children[0] as Element;
}

function plain(text: string): string {
  expect(text).not.toMatch(/&(?!(?:amp|lt|gt|quot|#39);)/);
  return text
    .replace(/&lt;/g, "<")
    .replace(/&gt;/g, ">")
    .replace(/&quot;/g, '"')
    .replace(/&#39;/g, "'")
    .replace(/&amp;/g, "&");
}
