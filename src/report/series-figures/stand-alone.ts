import { label, textWidth, wrapped } from "../figures/figure-parts.ts";
import { Markup, markup } from "../markup.ts";
import { faces, palettes, type Scheme } from "../palette.ts";

export type StandAlone = {
  readonly title: string;
  /** What it is of: the series' title. */
  readonly of: string;
  /** Where it comes from, in a sentence or two. */
  readonly source: string;
  readonly csv: string;
  readonly scheme: Scheme;
};

/**
 * A drawing of the report as an SVG file that stands by itself: on its own paper, with its title above, its source beneath
 * and its data as CSV in its metadata. Colours are written out, so that programs that know no style sheet show it as well.
 *
 * drawing: what a figure function made. The same drawing and words give the same bytes.
 *
 * @example
 * standAlone(figureStrip(series, findings), { title: "Every pull", of: "Loops", source: "Of this book.", csv, scheme: "dark" })
 */
export function standAlone(drawing: string, { title, of, source, csv, scheme }: StandAlone): string {
  const { attributes, named, inside, width, height } = partsOf(drawing);
  const colours = palettes[scheme];
  const whole = width + 2 * margin;
  const titleLines = wrapped(title, Math.floor(width / (17 * perEm)), 3);
  const ofLines = wrapped(of, Math.floor(width / (13 * perEm)), 4);
  const sourceLines = wrapped(source, Math.floor(width / (11 * perEm)), 8);
  const top = margin + titleLines.length * 22 + ofLines.length * 17 + 10;
  const foot = top + height + 10;
  const total = foot + sourceLines.length * 15 + margin - 4;
  const words = [
    ...titleLines.map((line, row) => label(margin, margin + 14 + row * 22, line, { size: 17, weight: 700 })),
    ...ofLines.map((line, row) =>
      label(margin, margin + 12 + titleLines.length * 22 + row * 17, line, { size: 13 }),
    ),
    ...sourceLines.map((line, row) => label(margin, foot + 12 + row * 15, line, { size: 11, opacity: 0.85 })),
  ];
  const sized = attributes
    .replace(/ width="[^"]*"/, ` width="${whole}"`)
    .replace(/ height="[^"]*"/, ` height="${total}"`)
    .replace(/ viewBox="[^"]*"/, ` viewBox="0 0 ${whole} ${total}"`);
  const svg = markup`<svg${new Markup(sized)}>${new Markup(named)}<metadata>${csv}</metadata><rect width="${whole}" height="${total}" fill="${colours.leaf}"/>${words}<g transform="translate(${margin} ${top})">${new Markup(inside)}</g></svg>`;
  return `${written(rimmed(svg.text), scheme)}\n`;
}

const margin = 20;
const perEm = textWidth("x", 1);

/** The pieces of a figure: `figure` in figure-parts.ts writes its frame, name and description first, and all text escaped. */
function partsOf(drawing: string) {
  const found = /^<svg([^>]*)>(<title[^>]*>[^<]*<\/title><desc[^>]*>[^<]*<\/desc>)(.*)<\/svg>$/s.exec(
    drawing,
  );
  const [, attributes = "", named = "", inside = ""] = found ?? [];
  const size = (name: string) => Number(new RegExp(` ${name}="([\\d.]+)"`).exec(attributes)?.[1]);
  const [width, height] = [size("width"), size("height")];
  if (found === null || !(width > 0) || !(height > 0)) throw new Error("This is no figure of the report.");
  return { attributes, named, inside, width, height };
}

/** Letters with a rim as two texts, the rim beneath: not every program knows the order of painting. */
function rimmed(svg: string): string {
  return svg.replace(
    /<text([^>]*?) stroke="([^"]*)" stroke-width="3" stroke-linejoin="round" paint-order="stroke">([^<]*)<\/text>/g,
    (_, look: string, rim: string, words: string) =>
      `<text${look} stroke="${rim}" stroke-width="3" stroke-linejoin="round" aria-hidden="true">${words}</text><text${look}>${words}</text>`,
  );
}

/** Colours and faces in place of the names that a page's style sheet gives them; only inside tags, never in text. */
function written(svg: string, scheme: Scheme): string {
  const colours: Readonly<Record<string, string>> = {
    ...palettes[scheme],
    paper: palettes[scheme].leaf,
    figures: faces.figures.replaceAll('"', "'"),
  };
  return svg.replace(/<[a-z][^>]*>/g, (tag) =>
    tag
      .replace(
        /var\(--([a-z]+)(?:,(?:[^()]|\([^()]*\))*)?\)/g,
        (whole, name: string) => colours[name] ?? whole,
      )
      .replace(/currentColor/g, palettes[scheme].ink),
  );
}
