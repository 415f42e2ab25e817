import { describe, expect, test } from "vitest";
import { ownText } from "./own-text.ts";

const shown = (text: string) => ownText(text).text;

describe("a person's words in Markdown", () => {
  test("paragraphs, emphasis, lists and links, as CommonMark 0.31 has them", () => {
    // CommonMark 0.31: examples of emphasis (350), strong emphasis (378), links (482), lists (301).
    expect(shown("*foo bar*")).toBe("<p><em>foo bar</em></p>\n");
    expect(shown("**foo bar**")).toBe("<p><strong>foo bar</strong></p>\n");
    expect(shown("- foo\n- bar")).toBe("<ul>\n<li>foo</li>\n<li>bar</li>\n</ul>\n");
    expect(shown("one\n\ntwo")).toBe("<p>one</p>\n<p>two</p>\n");
    expect(shown("[link](https://example.org/a?b=1&c=2)")).toBe(
      '<p><a href="https://example.org/a?b=1&amp;c=2" rel="noopener noreferrer nofollow">link</a></p>\n',
    );
  });

  test("a DOI becomes its address", () => {
    expect(shown("[paper](doi:10.1000/182)")).toContain('href="https://doi.org/10.1000/182"');
  });

  test.each([
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "[x](javascript:alert(1))",
    "[x](JaVaScRiPt:alert(1))",
    "[x](&#106;avascript:alert(1))",
    "[x](data:text/html;base64,PHNjcmlwdD4=)",
    "[x](vbscript:msgbox(1))",
    "[x](file:///etc/passwd)",
    "![x](https://example.org/pixel.png)",
    "<svg/onload=alert(1)>",
    "[x](<javascript:alert(1)>)",
    "[x]: javascript:alert(1)\n\n[x]",
    '<https://example.org/" onmouseover="alert(1)>',
    "`<b>`",
    "[a](https://example.org \"' onclick='alert(1)\")",
  ])("stays text: %s", (hostile) => {
    const page = shown(hostile);
    // Every tag that is there is one of those that Markdown makes, and every attribute one of those.
    for (const [tag] of page.matchAll(/<[^>]*>/g))
      expect(tag).toMatch(
        /^<\/?(?:p|em|strong|ul|ol|li|code|pre|blockquote|hr|br|a(?: href="https?:[^"<>]*"(?: title="[^"<>]*")?(?: rel="[a-z ]+")?)?)>$/,
      );
    expect(page).not.toMatch(/href="(?!https?:)/i);
  });

  test("a heading is words of weight, and marks that turn the direction of text are replaced", () => {
    expect(shown("# Big")).toBe("<p><strong>Big</strong></p>\n");
    expect(shown("a\u202Eb")).toBe("<p>a\uFFFDb</p>\n");
  });

  test("a megabyte of brackets and quotes is answered in a moment", () => {
    expect(shown("[".repeat(1_000_000)).length).toBeGreaterThan(1_000_000);
    expect(shown(">".repeat(200_000)).length).toBeGreaterThan(0);
  });
});
