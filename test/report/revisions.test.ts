import { HtmlValidate } from "html-validate";
import { describe, expect, test } from "vitest";
import { renderReport, withStanding } from "../../src/report/mod.ts";
import { inventedReport } from "./invented-series.ts";

// The revisions of a report as its page says them. The validator is an implementation of the HTML standard that is not ours.

const validator = new HtmlValidate({
  extends: ["html-validate:standard"],
  rules: { "no-inline-style": "error", "no-dup-id": "error" },
});

async function faults(html: string): Promise<string[]> {
  const { results } = await validator.validateString(html);
  return results.flatMap(({ messages }) => messages.map(({ ruleId, message }) => `${ruleId}: ${message}`));
}

const hostile = "<script>alert(1)</script></title></header><header>\n\"' onclick=x \u202Egnp $& $1";

/** Three revisions, the first withdrawn, of a series from a bundle; every text that a person writes is handed in. */
function revised(words: string): string {
  return renderReport({
    ...inventedReport(),
    revision: {
      number: 3,
      publishedAt: "2024-05-03T08:00:00.000Z",
      contentSha256: "c".repeat(64),
      note: words,
      changes: [`Pull 7 (${words}) was added.`, "Pull 2 (A2): strength from 24.10 kN to 23.85 kN."],
    },
    earlier: [
      {
        number: 1,
        publishedAt: "2024-05-01T08:00:00.000Z",
        withdrawn: { at: "2024-05-02T08:00:00.000Z", reason: words },
      },
      { number: 2, publishedAt: "2024-05-02T09:00:00.000Z", contentSha256: "b".repeat(64), changes: [] },
    ],
    imported: {
      title: words,
      tester: words,
      revision: 4,
      publishedAt: "2024-04-01T00:00:00Z",
      contentSha256: "a".repeat(64),
      importedAt: "2024-04-09T00:00:00Z",
    },
  });
}

describe("the revisions of a report", () => {
  test("are said in words, the last first, with fingerprint, withdrawal and where the data came from", async () => {
    const html = revised("plain words");
    expect(await faults(html)).toEqual([]);
    const text = html.slice(html.indexOf('id="revisions"')).replace(/<[^>]+>/g, " ");
    const order = ["Revision 3, 3 May 2024", "Revision 2, 2 May 2024", "Revision 1, 1 May 2024"].map((one) =>
      text.indexOf(one),
    );
    expect(order.every((at) => at >= 0)).toBe(true);
    expect(order).toEqual([...order].sort((a, b) => a - b));
    for (const said of [
      "strength from 24.10 kN to 23.85 kN",
      "Nothing that the report shows changed.",
      "Withdrawn on 2 May 2024: plain words",
      "came from a bundle of plain words, “plain words”, revision 4 of 1 April 2024",
      "Published before contents were frozen",
      "c".repeat(64),
    ])
      expect(text).toContain(said);
  });

  test("stay text, whatever a person wrote", async () => {
    const html = revised(hostile);
    expect(await faults(html)).toEqual([]);
    for (const raw of ["<script", "\"' onclick", "\u202E"]) expect(html.includes(raw), raw).toBe(false);
    expect(html.includes("&lt;script&gt;alert(1)")).toBe(true);
  });
});

describe("a page with what became of it", () => {
  const page = renderReport(inventedReport());

  test("says above its title that it was withdrawn and that a later one stands; the rest is as it was frozen", async () => {
    const html = withStanding(page, {
      withdrawn: { at: "2024-06-01T08:00:00Z", reason: hostile },
      later: { number: 2, publishedAt: "2024-06-02T08:00:00Z", href: "/reports/rep-2" },
    });
    expect(await faults(html)).toEqual([]);
    expect(html.includes("<title>Withdrawn: ")).toBe(true);
    expect(html.includes("<script")).toBe(false);
    expect(html.indexOf("Withdrawn on 1 June 2024.")).toBeLessThan(html.indexOf("<h1>"));
    expect(html.includes('<a href="/reports/rep-2">Revision 2 of 2 June 2024</a>')).toBe(true);
    // Taking the two notes and the word in the title away leaves the frozen page, to the letter.
    const bare = html
      .replace("<title>Withdrawn: ", "<title>")
      .replace(/<header>\n(<p class="simulated" role="note">.*?<\/p>\n){2}/s, "<header>\n");
    expect(bare === page).toBe(true);
  });

  test("is the frozen page itself where nothing became of it", () => {
    expect(withStanding(page, {}) === page).toBe(true);
  });
});
