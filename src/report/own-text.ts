import MarkdownIt from "markdown-it";
import { Markup, unfitText } from "./markup.ts";

/**
 * A person's short text as markup: paragraphs, emphasis, lists, quotations, code, tables and links, in Markdown.
 *
 * Markup in it stays text, pictures stay text (a page must ask nothing of a network), and a link leads only to http, https,
 * mailto or a DOI: any other stays as it was typed. Headings are turned into words of weight, so that a note cannot give the
 * page another order. Same text, same bytes. Format: CommonMark 0.31 and GitHub's tables, by markdown-it.
 *
 * @example
 * ownText("Slipped **twice**").text // "<p>Slipped <strong>twice</strong></p>\n"
 */
export function ownText(text: string): Markup {
  return new Markup(markdown.render(unfitText(text)));
}

const markdown = new MarkdownIt("default", {
  html: false,
  linkify: false,
  typographer: false,
  maxNesting: 20,
});
markdown.disable(["image", "lheading"]);
markdown.validateLink = (url) => /^(?:https?:\/\/|mailto:|doi:)/i.test(url.trim());
markdown.normalizeLink = (
  (usual) => (url: string) =>
    usual(url.replace(/^doi:\s*/i, "https://doi.org/"))
)(markdown.normalizeLink);
// A heading of a note is a strong paragraph: the page's own headings are its order.
markdown.renderer.rules["heading_open"] = () => "<p><strong>";
markdown.renderer.rules["heading_close"] = () => "</strong></p>\n";
markdown.renderer.rules["link_open"] = (tokens, index, options, _, renderer) => {
  tokens[index]?.attrSet("rel", "noopener noreferrer nofollow");
  return renderer.renderToken(tokens, index, options);
};
