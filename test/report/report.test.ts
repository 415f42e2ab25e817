import { HtmlValidate } from "html-validate";
import { beforeAll, describe, expect, test } from "vitest";
import { judgeSeries, type PullToJudge } from "../../src/findings/mod.ts";
import { type ReportInput, readReport, renderReport } from "../../src/report/mod.ts";
import { inventedReport } from "./invented-series.ts";

// The validator is an implementation of the HTML standard that is not ours.
const validator = new HtmlValidate({
  extends: ["html-validate:standard"],
  rules: { "no-inline-style": "error", "no-dup-id": "error" },
});

async function faults(html: string): Promise<string[]> {
  const report = await validator.validateString(html);
  return report.results.flatMap(({ messages }) =>
    messages.map(({ ruleId, message, line, column }) => `${line}:${column} ${ruleId}: ${message}`),
  );
}

/** Every attribute value that could make a browser ask for something, found without our own markup code. */
function addresses(html: string): string[] {
  return [
    ...html.matchAll(/\s(?:href|src|srcset|action|poster|data|xlink:href|formaction|ping)\s*=\s*"([^"]*)"/gi),
  ].map(([, value]) => value ?? "");
}

describe("a report", () => {
  let input: ReportInput;
  let html: string;
  beforeAll(() => {
    input = inventedReport();
    html = renderReport(input);
  });

  test("is valid HTML", async () => {
    expect(await faults(html.replace("</h1>", "<p></h1>"))).not.toEqual([]); // the validator does look
    expect(await faults(html)).toEqual([]);
  });

  test("is valid HTML when there is nothing to report", async () => {
    const empty = renderReport({
      ...input,
      findings: judgeSeries(input.series, []),
      ropes: [],
      recipes: [],
      benches: [],
      traces: {},
      recordings: [],
      pictures: [],
      methodNotes: [],
    });
    expect(await faults(empty)).toEqual([]);
    expect(empty).toContain("there is nothing to judge");
  });

  test("asks nothing of a network and runs no script", () => {
    expect(addresses(html).filter((address) => !address.startsWith("data:"))).toEqual([]);
    expect(html).not.toMatch(/<script|<iframe|<object|<embed|<link|<base|@import|url\(/i);
    expect(html).not.toMatch(/\son[a-z]+\s*=/i);
    // The only address in the page is the name of SVG's namespace, which nobody fetches.
    expect(new Set(html.match(/https?:\/\/[^"'\s<]+/g))).toEqual(new Set(["http://www.w3.org/2000/svg"]));
    expect(html).toContain("default-src 'none'");
  });

  test("has the same bytes each time, whatever order the pulls came in", () => {
    expect(renderReport(inventedReport())).toBe(html);
    const turned = { ...input, findings: judgeSeries(input.series, input.findings.pulls.toReversed()) };
    expect(renderReport(turned)).toBe(html);
  });

  test("gives the answer first, then the figure, every pull, cells, causes, method, what was left out, doubt, cautions, sources", () => {
    const order = [
      "answer",
      "figure",
      "pulls",
      "cells",
      "mattered",
      "traces",
      "method",
      "left-out",
      "sure",
      "cautions",
      "sources",
      "revisions",
      "recordings",
    ];
    const found = [...html.matchAll(/<h2 id="([^"]+)"/g)].map(([, id]) => id);
    expect(found.filter((id) => id !== "pictures")).toEqual(order);
  });

  test("says that it is simulated at the top, on each figure and in the data; and not where it is not", () => {
    const head = html.slice(0, html.indexOf("<main>"));
    expect(head).toContain("Simulated.");
    const figures = html.match(/<svg[^>]*role="img"[\s\S]*?<\/title>/g) ?? [];
    // Every pull, effects, parts of the scatter and places, each drawn wide and narrow; and the curves.
    const drawn = html.match(/<figure><div class="wide">/g)?.length ?? 0;
    expect(drawn).toBeGreaterThanOrEqual(3);
    expect(figures.length).toBe(2 * drawn + Object.keys(input.traces).length);
    expect(figures.filter((figure) => !figure.includes(">Simulated: "))).toEqual([]);
    const series = { ...input.series, simulated: false };
    const real = renderReport({ ...input, series, findings: judgeSeries(series, input.findings.pulls) });
    expect(text(real).match(/simulated/gi)).toBeNull();
  });

  test("shows every pull, its reason where it is left out, and every recording with its SHA-256", () => {
    const body = html.slice(html.indexOf('id="pulls"'), html.indexOf('id="traces"'));
    for (const pull of input.findings.pulls) expect(body).toContain(`>${pull.specimenLabel ?? pull.pullId}<`);
    expect(html).toContain("void: the far shackle’s pin bent first");
    expect(html).toContain("not yet judged: nobody has said how it ended");
    expect(html).toContain("pump at its limit");
    for (const { sha256 } of input.recordings) expect(html).toContain(sha256);
  });

  test("prints each finding with its warnings", () => {
    // Pounds-force are put beside each force of the page, also where the sentence names kN alone.
    const inKn = (words: string) => words.replace(/ \([\d. to]+ lbf\)/g, "");
    const plain = inKn(text(html));
    for (const { sentence, warnings } of input.findings.findings) {
      expect(plain).toContain(inKn(sentence));
      for (const { message } of warnings) expect(plain).toContain(inKn(message));
    }
    for (const { message } of input.findings.warnings) expect(plain).toContain(inKn(message));
  });

  test("holds no refused figure as NaN, null, undefined or Infinity", () => {
    expect(text(html)).not.toMatch(/\b(NaN|null|undefined|Infinity)\b|\[object/);
    expect(html).not.toMatch(/(?:NaN|undefined|Infinity)[^<]*"/);
  });

  test("offers the data as CSV inside the page", () => {
    const link = /<a class="download" download="([^"]+)" href="data:text\/csv;charset=utf-8,([^"]*)"/.exec(
      html,
    );
    expect(link?.[1]).toMatch(/^[a-z0-9-]+\.csv$/);
    const rows = decodeURIComponent(link?.[2] ?? "").split("\r\n");
    expect(rows.length).toBe(input.findings.pulls.length + 2); // a header before, an end of line after
  });

  test("gives each figure its title, where it comes from, and the very data that it draws", () => {
    const figures = html.match(/<figure><div class="wide">.*?<\/figure>/gs) ?? [];
    expect(figures.length).toBeGreaterThan(3);
    for (const figure of figures) {
      expect(figure).toMatch(/<figcaption><strong class="figure-title">[^<]+\.<\/strong> /);
      expect(figure).toContain(
        "Source: Invented Loft, for the tests, series ser-invented, revision 2 of 2024-06-01.",
      );
      expect(figure).toMatch(/<a class="figure-data" download="[a-z0-9-]+\.csv" href="data:text\/csv;/);
    }
    // Counted from what went in, not from what was drawn.
    const { pulls } = input.findings;
    const rowsOf = (name: string) =>
      readReport(html)
        .figures.find((one) => one.name === name)
        ?.csv.trim()
        .split("\r\n")
        .slice(1)
        .map((row) => row.split(",")) ?? [];
    const marks = rowsOf("every-pull").filter(([what]) => what === "pull");
    // A pull that nobody judged has no mark.
    expect(marks.length).toBe(pulls.filter(({ outcome }) => outcome !== undefined).length);
    const ended = pulls.filter(({ outcome }) => outcome?.kind === "broke" || outcome?.kind === "slipped");
    const placed = rowsOf("places").reduce(
      (sum, [, broke, slipped]) => sum + Number(broke) + Number(slipped),
      0,
    );
    expect(placed).toBe(ended.length);
    expect(new Set(rowsOf("overlay").map(([pull]) => pull)).size).toBe(Object.keys(input.traces).length);
  });

  test("lets the reader choose the unit without a script, and shows both to who does not choose", () => {
    expect(html.match(/<input type="radio" name="forces-in"/g)?.length).toBe(3);
    expect(html).toContain('id="in-both" checked');
    // Each force of the tables and of the sentences stands in both units, one beside the other.
    const tables = html.match(/<table>[\s\S]*?<\/table>/g)?.join("") ?? "";
    const [kN, lbf] = [/class="kn"[^>]*>(?:≥ )?[\d.]/g, /class="lbf"[^>]*>(?:≥ )?[\d.]/g];
    expect(tables.match(kN)?.length).toBeGreaterThan(50);
    expect(tables.match(kN)?.length).toBe(tables.match(lbf)?.length);
    const sentences = html.match(/<p class="sentence[\s\S]*?<\/p>/g)?.join("") ?? "";
    expect(sentences.match(/\d\s?kN<\/span>/g)?.length).toBe(sentences.match(/\d\s?lbf</g)?.length);
  });

  test("prints what the tester says beside the figures, each where it belongs", () => {
    const series = {
      ...input.series,
      sources: "[On tucks](doi:10.1000/182)",
      deviations: "The pin was changed after pull 7.",
      conditions: "Dry, 18 °C.",
      testedAt: "the shed by the quay",
      authorisedBy: "The one who pulled",
    };
    const told = renderReport({ ...input, series });
    const within = (id: string) => told.slice(told.indexOf(`<h2 id="${id}">`)).split("</section>")[0] ?? "";
    expect(within("sources")).toContain('href="https://doi.org/10.1000/182"');
    expect(within("left-out")).toContain("The pin was changed after pull 7.");
    for (const words of ["Dry, 18 °C.", "the shed by the quay", "The one who pulled"])
      expect(within("method")).toContain(words);
  });

  test("carries the cautions of the trade", () => {
    const plain = text(html);
    for (const words of [
      "no certificate",
      "next piece",
      "certified equipment",
      "local codes",
      "licensed practice",
      "creeps",
      "145 to 155 °C",
      "65 to 70 °C",
    ])
      expect(plain).toContain(words);
  });
});

describe("what a deeper reading tells", () => {
  const base = inventedReport();
  const told = base.findings.pulls.map((pull, at): PullToJudge => {
    const {
      use: _,
      leftOutAs: __,
      whyLeftOut: ___,
      lineEfficiency: ____,
      legEfficiency: _____,
      ...asked
    } = pull;
    return at === 0
      ? {
          ...asked,
          outcome: { kind: "broke", place: "throat" },
          strengthN: 31_234,
          strengthExpandedN: 123,
          ratedStrengthN: 36_000,
          loadingRateNPerS: 300,
          firstSlipN: 20_000,
          settlingPerDecade: { value: 0.021, interval: [0.019, 0.023] },
          evidence: { likeliest: "slipped", probability: 0.93, reasons: ["eleven saw-teeth over 40 s"] },
        }
      : asked;
  });
  const [bench] = base.benches;
  const loadCell = {
    ...(bench?.loadCell as NonNullable<typeof bench>["loadCell"] & object),
    accuracyClass: 0.5,
    calibrationPoints: [
      { appliedN: 20_000, indicatedN: 20_050 },
      { appliedN: 10_000, indicatedN: 10_020 },
    ],
  };
  const html = renderReport({
    ...base,
    findings: judgeSeries(base.series, told),
    benches: base.benches.map((one, at) => (at === 0 ? { ...one, loadCell } : one)),
  });
  const plain = text(html).replaceAll("\u00a0", " ");

  test("stands in the table: uncertainty, rate of the rated strength, first slip, settling, the recording's word", async () => {
    expect(await faults(html)).toEqual([]);
    // U = 123 N is 0.12 kN and u = 62 N leaves the strength two decimals; in lbf 123 / 4.448 = 27.7, u = 13.8.
    expect(plain).toContain("31.23 ± 0.12");
    expect(plain).toMatch(/7022 ± 28 lbf/);
    // 0.3 kN/s are 18 kN in a minute: half of the rated 36 kN.
    expect(plain).toContain("50 %/min of rated");
    expect(plain).toContain("First slip, kN");
    expect(plain).toContain("20.0");
    expect(plain).toContain("2.10 %");
    expect(plain).toContain("1.90 to 2.30 %");
    expect(plain).toContain("recording: slipped, 93 %");
    expect(plain).toContain("eleven saw-teeth over 40 s");
  });

  test("says how the cell was calibrated, in the order of the forces, and how that was applied", () => {
    expect(plain).toContain("class 0.5");
    expect(plain).toContain("10 and 10.02; 20 and 20.05");
    expect(plain).toContain("Each peak is corrected by what the certificate’s points show");
    expect(text(renderReport(base))).toContain(
      "No points are recorded: forces stand as the cell showed them.",
    );
  });

  test("stands in no column where no pull has it", () => {
    expect(text(renderReport(base))).not.toContain("Settling per decade");
    expect(text(renderReport(base))).not.toContain("First slip, kN");
  });

  test("stands in the data as well", () => {
    const csv = readReport(html).csv.split("\r\n");
    const heads = csv[0]?.split(",") ?? [];
    // A text with commas in it is quoted; here it does not matter what it says.
    const row = (csv[1] ?? "").replaceAll(/"(?:[^"]|"")*"/g, "text").split(",");
    const of = (name: string) => row[heads.indexOf(name)];
    expect(of("strength_expanded_uncertainty_n")).toBe("123");
    expect(of("loading_rate_rated_fraction_per_min")).toBe("0.5");
    expect(of("first_slip_n")).toBe("20000");
    expect(of("settling_fraction_per_decade_high")).toBe("0.023");
    expect(of("recording_says")).toBe("slipped");
  });
});

describe("what users write stays text", () => {
  // Common ways to break out of text, attributes, style, SVG and comments (from the public lists of the security trade,
  // from memory), and characters that no page may hold.
  const corpus = [
    "<script>alert(1)</script>",
    "</title><script>alert(1)</script>",
    "</style><img src=x onerror=alert(1)>",
    '"><svg onload=alert(1)>',
    "' onmouseover='alert(1)",
    '" autofocus onfocus=alert(1) x="',
    "<img src=//example.org/x>",
    "<a href=javascript:alert(1)>x</a>",
    "<!-- --><base href=//example.org>",
    "]]><script>alert(1)</script>",
    "&lt;script&gt;",
    "#{7*7} {{7*7}} `x`",
    '<math><mi//xlink:href="data:x,<script>alert(1)</script>">',
    "\u202Egnp.exe \u0000 \u0008 \uD800 lone",
    '=HYPERLINK("http://example.org")',
  ];

  test.each(corpus)("%j", async (evil) => {
    const html = renderReport(poisoned(evil));
    const clean = renderReport(poisoned("harmless"));
    // The same elements, one for one: no text of a user's became an element, and none took one away; but for the emphasis and
    // code that Markdown makes of a tester's own words.
    const withoutMarkdown = (page: string) => {
      const { em: _, code: __, ...others } = elements(page);
      return others;
    };
    expect(withoutMarkdown(html)).toEqual(withoutMarkdown(clean));
    expect(addresses(html).filter((address) => !address.startsWith("data:"))).toEqual([]);
    for (const unfit of ["\u0000", "\u0008", "\u202E"]) expect(html.includes(unfit)).toBe(false);
    expect(await faults(html)).toEqual([]);
  });

  test("a megabyte of markup in a note stays text, and is there to the last letter", () => {
    const input = inventedReport();
    const piece = "<script>alert(1)</script><svg/onload=alert(1)> [x](javascript:alert(1)) \u202E";
    const notes = `${piece.repeat(Math.ceil(1_000_000 / piece.length))}the end`;
    const clean = renderReport({ ...input, series: { ...input.series, notes: "the end" } });
    const html = renderReport({ ...input, series: { ...input.series, notes } });
    expect(elements(html)).toEqual(elements(clean));
    expect(html).toContain("the end</p>");
    expect(html.includes("\u202E")).toBe(false);
    expect(addresses(html).filter((address) => !address.startsWith("data:"))).toEqual([]);
  });

  test("a picture that is no picture's data: URL is not shown", () => {
    const input = inventedReport();
    const urls = [
      "https://example.org/x.png",
      "javascript:alert(1)",
      "data:text/html,<script>1</script>",
      "data:image/svg+xml;base64,AAAA",
    ];
    const html = renderReport({
      ...input,
      pictures: urls.map((dataUrl) => ({ caption: "c", about: "a", dataUrl })),
    });
    expect(html).not.toContain("<img");
    for (const url of urls) expect(html).not.toContain(url);
  });
});

/** The invented report with one text in every place where a user may write. */
function poisoned(text: string): ReportInput {
  const input = inventedReport();
  const factors = input.series.factors.map((factor, index) =>
    index === 0 ? { ...factor, name: text, unit: text } : factor,
  );
  const series = {
    ...input.series,
    title: text,
    question: text,
    method: text,
    conclusions: text,
    tester: text,
    sources: text,
    deviations: text,
    conditions: text,
    contact: text,
    testedAt: text,
    customer: text,
    authorisedBy: text,
    notes: text,
    factors,
  };
  const pulls = input.findings.pulls.slice(0, 6).map((pull, index) => ({
    ...pull,
    specimenLabel: `${text}${index}`,
    levels: { ...pull.levels, [text]: index % 2 === 0 ? `${text}${index}` : 30 },
    ropeName: text,
    recipeName: index === 0 ? "another" : text,
    maker: text,
    spoolName: text,
    ratedStrengthSource: text,
    outcome: [
      { kind: "broke", place: text } as const,
      { kind: "slipped", place: text } as const,
      { kind: "stopped", reason: text } as const,
      { kind: "void", reason: text } as const,
    ][index % 4] ?? { kind: "void" as const, reason: text },
    warnings: [{ code: "STAT_VALUE" as const, message: text }],
  }));
  const noted = (fields: object) => ({ ...fields, name: text, notes: text });
  return {
    ...input,
    series,
    findings: judgeSeries(series, pulls),
    ropes: input.ropes.map((rope) => ({
      ...rope,
      ...noted({}),
      construction: text,
      fibre: text,
      coating: text,
      ratedStrengthSource: text,
    })),
    recipes: input.recipes.map((recipe) => ({ ...recipe, ...noted({}), lockStitch: text })),
    benches: input.benches.map((bench) => ({
      ...bench,
      ...noted({}),
      ...(bench.loadCell && { loadCell: { ...bench.loadCell, name: text, calibrationNote: text } }),
      ...(bench.near && { near: { ...bench.near, name: text } }),
    })),
    pullDetails: Object.fromEntries(
      pulls.map(({ pullId }) => [pullId, { notes: text, operator: text, benchName: text }]),
    ),
    recordings: [{ fileName: text, sha256: text, sizeBytes: 1 }],
    pictures: input.pictures.map((picture) => ({ ...picture, caption: text, about: text })),
    methodNotes: [{ name: text, answers: text, formula: text, source: text }],
    revision: { number: 1, publishedAt: text },
  };
}

/** How often each element opens, read as a browser's tokenizer would: a "<" and a letter. */
function elements(html: string): Record<string, number> {
  const counts: Record<string, number> = {};
  // The texts that differ in length wrap to other numbers of lines under the figure's slots; those are drawn text only.
  for (const [, name = ""] of html.matchAll(/<([a-z][a-z0-9]*)/gi))
    if (name !== "text" && name !== "sup") counts[name] = (counts[name] ?? 0) + 1;
  return counts;
}

/** The page's text as a reader has it: without elements, with entities and no-break spaces resolved. */
function text(html: string): string {
  return html
    .slice(html.indexOf("<body>"))
    .replace(/<[^>]*>/g, "")
    .replaceAll("&lt;", "<")
    .replaceAll("&gt;", ">")
    .replaceAll("&quot;", '"')
    .replaceAll("&#39;", "'")
    .replaceAll("&amp;", "&")
    .replaceAll("\u00a0", " ");
}
