/** What a published page tells of itself: enough to list it, to describe it, and to show its figures elsewhere. */
export type PublishedPage = {
  readonly tester: string;
  readonly simulated: boolean;
  /** The computed sentences, in their order, without markup. */
  readonly sentences: readonly string[];
  /** The data of its pulls as CSV; empty where it holds none. */
  readonly csv: string;
  readonly figures: readonly PublishedFigure[];
};

export type PublishedFigure = {
  /** As in `seriesFigureKinds`, with a number where a page has several of a kind. */
  readonly name: string;
  readonly title: string;
  readonly description: string;
  /** The drawing as it stands in the page, for wide places and for narrow ones. */
  readonly wide: string;
  readonly narrow: string;
  /** What is said beneath it, without markup. */
  readonly caption: string;
  /** What it draws, as CSV; of a page that an earlier version made, the data of all pulls. */
  readonly csv: string;
};

/**
 * Reads a page that `renderReport` made, of this or an earlier version. All text in such a page is escaped, so that nothing a
 * person wrote can be taken for its markup; what a page does not have is empty.
 *
 * @example
 * readReport(renderReport(input)).figures[0]?.name // "every-pull"
 */
export function readReport(html: string): PublishedPage {
  const head = html.slice(0, html.indexOf("<main>"));
  const meta = /<p class="meta">By (.*?)\. (?:Preview|Revision)/s.exec(head)?.[1] ?? "";
  const csv = dataIn(html, "download") ?? "";
  return {
    tester: plainText(meta),
    simulated: head.includes('<p class="simulated">Simulated.'),
    sentences: [...html.matchAll(/<p class="sentence[^"]*">(.*?)<\/p>/gs)].map(([, words]) =>
      plainText(words ?? ""),
    ),
    csv,
    figures: [
      ...html.matchAll(
        /<div class="wide">(<svg [^>]*><title id="([\w-]+)-wide-title">([^<]*)<\/title><desc[^>]*>([^<]*)<\/desc>.*?<\/svg>)<\/div><div class="narrow">(<svg .*?<\/svg>)<\/div>.*?<figcaption>(.*?)<\/figcaption>/gs,
      ),
    ].map(([, wide = "", id = "", title = "", description = "", narrow = "", caption = ""]) => ({
      name: names[id] ?? id,
      title: plainText(title).replace(/^Simulated: /, ""),
      description: plainText(description),
      wide,
      narrow,
      caption: plainText(
        caption.replace(/^<strong class="figure-title">.*?<\/strong>|<p class="source">.*$/gs, ""),
      ),
      csv: dataIn(caption, "figure-data") ?? csv,
    })),
  };
}

/** The CSV behind the first link of a class. */
function dataIn(html: string, kind: string): string | undefined {
  const link = new RegExp(
    `<a class="${kind}" download="[^"]*" href="data:text/csv;charset=utf-8,([^"]*)"`,
  ).exec(html);
  return link === null ? undefined : decoded(link[1]?.replaceAll("&#39;", "'") ?? "");
}

/** By what the figures of a page go where its own word for them is another. */
const names: Readonly<Record<string, string>> = {
  strip: "every-pull",
  parts: "scatter",
  "forest-1": "forest",
};

function plainText(markup: string): string {
  return markup
    .replace(/<[^>]*>/g, "")
    .replace(/&(amp|lt|gt|quot|#39);/g, (entity) => characters[entity] as string)
    .replace(/\s+/g, " ")
    .trim();
}

const characters: Readonly<Record<string, string>> = {
  "&amp;": "&",
  "&lt;": "<",
  "&gt;": ">",
  "&quot;": '"',
  "&#39;": "'",
};

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return "";
  }
}
