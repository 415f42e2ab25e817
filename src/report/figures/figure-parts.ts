import { ticks as niceTicks, tickStep } from "d3-array";
import { formatNumber } from "../../units/mod.ts";
import { escapeText, Markup, markup } from "../markup.ts";
import { coordinate } from "./short-numbers.ts";

/** A shade of the ink that needs no colour of its own: currentColor at an opacity. */
export const faint = 0.16;

/** Rounds a coordinate to two decimals, so that the drawing has the same bytes wherever it is made. */
export function at(value: number): number {
  return Math.round(value * 100) / 100 + 0; // + 0 turns −0 into 0
}

/** One entry of a legend: a sign some 16 wide, and its word. */
export type LegendEntry = { readonly sign: (x: number, y: number) => Markup; readonly word: string };

/** Lays legend entries out from the left, wrapping at the width; answers them with the height that they take. */
export function legend(entries: readonly LegendEntry[], left: number, top: number, width: number) {
  let x = left;
  let y = top + 8;
  const placed = entries.map(({ sign, word }) => {
    const wide = 22 + textWidth(word, 12) + 16;
    if (x > left && x + wide - 16 > left + width) {
      x = left;
      y += 19;
    }
    const entry = markup`${sign(x + 7, y)}${label(x + 20, y + 4, word, { size: 12 })}`;
    x += wide;
    return entry;
  });
  return {
    drawing: markup`<g class="legend">${placed}</g>`,
    height: entries.length === 0 ? 0 : y - top + 14,
  };
}

export type LabelLook = {
  readonly anchor?: "start" | "middle" | "end";
  readonly size?: number;
  readonly weight?: number;
  readonly opacity?: number;
  readonly colour?: string;
  /** A rim of paper around the letters, where they may lie on a line. */
  readonly rim?: boolean;
};

/** Text that stays text. */
export function label(x: number, y: number, text: string, look: LabelLook = {}): Markup {
  const { anchor = "start", size = 12, weight, opacity, colour = "currentColor", rim = false } = look;
  // Written in one go: a figure has dozens of them, and all but the text and the colour are our own numbers and words.
  const heavy = weight === undefined ? "" : ` font-weight="${weight}"`;
  const pale = opacity === undefined ? "" : ` fill-opacity="${opacity}"`;
  return new Markup(
    `<text x="${coordinate(x)}" y="${coordinate(y)}" font-size="${size}" fill="${colour}" text-anchor="${anchor}"${heavy}${pale}${rim ? paperRim : ""}>${escapeText(text)}</text>`,
  );
}

const paperRim =
  ' stroke="var(--leaf, var(--paper, #fff))" stroke-width="3" stroke-linejoin="round" paint-order="stroke"';

/** About how wide a text is drawn; no font is at hand to measure it, so this is a mean of common faces, rather wide. */
export function textWidth(text: string, size: number): number {
  return [...text].length * size * 0.54;
}

/** Round values for an axis with just the decimals that tell them apart. */
export function axisTicks(from: number, to: number, about: number): { value: number; text: string }[] {
  const step = tickStep(from, to, about);
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return niceTicks(from, to, about).map((value) => ({ value, text: formatNumber(value, { decimals }) }));
}

/** The frame of every figure: sized, named, described, and marked where its data are simulated. */
export function figure(about: {
  readonly id: string;
  readonly width: number;
  readonly height: number;
  readonly title: string;
  readonly description: string;
  readonly kind: string;
  readonly simulated?: boolean | undefined;
  /** Whether the word stands in the drawing as well; small drawings have it beside them. */
  readonly stamped?: boolean;
  readonly drawing: readonly Markup[];
}): string {
  const { id, width, height, title, description, kind, simulated = false, stamped = true, drawing } = about;
  const stamp =
    simulated && stamped
      ? label(width / 2, 12, "SIMULATED", {
          anchor: "middle",
          size: 11,
          weight: 700,
          colour: "var(--accent, #a8480c)",
        })
      : "";
  return markup`<svg xmlns="http://www.w3.org/2000/svg" class="figure ${kind}" width="${at(width)}" height="${at(height)}" viewBox="0 0 ${at(width)} ${at(height)}" role="img" aria-labelledby="${id}-title ${id}-desc" font-family="var(--figures, sans-serif)" font-variant-numeric="tabular-nums lining-nums" color="var(--ink, currentColor)"><title id="${id}-title">${simulated ? "Simulated: " : ""}${title}</title><desc id="${id}-desc">${description}</desc>${drawing}${stamp}</svg>`
    .text;
}

/** A hairline across the plot, for gridlines and zero. */
export function rule(x1: number, y1: number, x2: number, y2: number, opacity = faint, dash = ""): Markup {
  const dashes = dash === "" ? "" : ` stroke-dasharray="${dash}"`;
  return new Markup(
    `<line x1="${coordinate(x1)}" y1="${coordinate(y1)}" x2="${coordinate(x2)}" y2="${coordinate(y2)}" stroke="currentColor" stroke-opacity="${opacity}"${dashes}/>`,
  );
}

/** Breaks a text into lines of about so many characters, at spaces; at most `most` lines, the last shortened. */
export function wrapped(text: string, characters: number, most = 3): string[] {
  const lines: string[] = [];
  for (const word of text.split(" ")) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= characters)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  const shown = lines.slice(0, most);
  return shown.map((line, index) =>
    line.length > characters + 2 || (index === most - 1 && lines.length > most)
      ? `${line.slice(0, Math.max(1, characters - 1))}…`
      : line,
  );
}
