import { ticks as niceTicks, tickStep } from "d3-array";
import type { OutcomeKind } from "../../series/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { type Markup, markup } from "../markup.ts";

/** What the legend says beside each house mark. */
export const markWords: Readonly<Record<OutcomeKind, string>> = {
  broke: "broke",
  slipped: "slipped",
  stopped: "stopped: would have borne more",
  void: "void, left out",
};

/** A shade of the ink that needs no colour of its own: currentColor at an opacity. */
export const faint = 0.16;

/** Rounds a coordinate to two decimals, so that the drawing has the same bytes wherever it is made. */
export function at(value: number): number {
  return Math.round(value * 100) / 100 + 0; // + 0 turns −0 into 0
}

/**
 * The house mark of an outcome, centred at (x, y): a filled dot broke, an open triangle slipped, an upward arrow was
 * stopped, a cross is void. A title tells the pull to whoever points at it.
 */
export function outcomeMark(kind: OutcomeKind, x: number, y: number, title = "", size = 4.5): Markup {
  const [cx, cy, r] = [at(x), at(y), size];
  const name = title === "" ? "" : markup`<title>${title}</title>`;
  if (kind === "broke")
    return markup`<circle class="mark broke" cx="${cx}" cy="${cy}" r="${at(r * 0.93)}" fill="currentColor" stroke="var(--paper, #fff)" stroke-width="0.8">${name}</circle>`;
  if (kind === "slipped") {
    const d = `M${cx} ${at(cy - r * 1.2)}L${at(cx + r * 1.15)} ${at(cy + r * 0.85)}L${at(cx - r * 1.15)} ${at(cy + r * 0.85)}Z`;
    return markup`<path class="mark slipped" d="${d}" fill="var(--paper, #fff)" stroke="var(--accent, #a8480c)" stroke-width="1.8" stroke-linejoin="round">${name}</path>`;
  }
  if (kind === "stopped") {
    // The foot of the arrow stands at the force that was borne; it points to where the strength must lie.
    const d = `M${at(cx - r)} ${cy}L${at(cx + r)} ${cy}M${cx} ${cy}L${cx} ${at(cy - r * 2.6)}M${at(cx - r * 0.8)} ${at(cy - r * 1.5)}L${cx} ${at(cy - r * 2.7)}L${at(cx + r * 0.8)} ${at(cy - r * 1.5)}`;
    return markup`<path class="mark stopped" d="${d}" fill="none" stroke="currentColor" stroke-width="1.7" stroke-linecap="round" stroke-linejoin="round">${name}</path>`;
  }
  const s = r * 0.85;
  return markup`<path class="mark void" d="M${at(cx - s)} ${at(cy - s)}L${at(cx + s)} ${at(cy + s)}M${at(cx - s)} ${at(cy + s)}L${at(cx + s)} ${at(cy - s)}" fill="none" stroke="currentColor" stroke-opacity="0.7" stroke-width="1.6" stroke-linecap="round">${name}</path>`;
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
  return markup`<text x="${at(x)}" y="${at(y)}" font-size="${size}" fill="${colour}" text-anchor="${anchor}"${weight === undefined ? "" : markup` font-weight="${weight}"`}${opacity === undefined ? "" : markup` fill-opacity="${opacity}"`}${rim ? markup` stroke="var(--leaf, var(--paper, #fff))" stroke-width="3" stroke-linejoin="round" paint-order="stroke"` : ""}>${text}</text>`;
}

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
  return markup`<line x1="${at(x1)}" y1="${at(y1)}" x2="${at(x2)}" y2="${at(y2)}" stroke="currentColor" stroke-opacity="${opacity}"${dash === "" ? "" : markup` stroke-dasharray="${dash}"`}/>`;
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
