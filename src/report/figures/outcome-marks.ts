import type { OutcomeKind } from "../../series/mod.ts";
import { Markup, markup } from "../markup.ts";
import { at } from "./figure-parts.ts";
import { coordinate } from "./short-numbers.ts";

/** What the legend says beside each house mark. */
export const markWords: Readonly<Record<OutcomeKind, string>> = {
  broke: "broke",
  slipped: "slipped",
  stopped: "stopped: would have borne more",
  void: "void, left out",
};

/** Where a house mark stands, and the title that tells the pull to whoever points at it; none where it is empty. */
export type MarkPlace = { readonly x: number; readonly y: number; readonly title: Markup };

/**
 * The house mark of an outcome, centred at (x, y): a filled dot broke, an open triangle slipped, an upward arrow was
 * stopped, a cross is void. A title tells the pull to whoever points at it.
 */
export function outcomeMark(kind: OutcomeKind, x: number, y: number, title = "", size = 4.5): Markup {
  const marks = [{ x, y, title: markup`${title}` }];
  return new Markup(drawn(outline(kind, size), marks, ` class="mark ${kind}"`, ` ${look[kind]}`));
}

/**
 * Many marks of one outcome in a group, which says once how they look: less than half the bytes of as many single ones.
 *
 * @example
 * outcomeMarks("void", [{ x: 10, y: 20, title: markup`S1` }, { x: 15, y: 20, title: markup`S2` }])
 */
export function outcomeMarks(kind: OutcomeKind, marks: readonly MarkPlace[], size = 4.5): Markup {
  return new Markup(`<g class="marks ${kind}" ${look[kind]}>${drawn(outline(kind, size), marks)}</g>`);
}

/** A ring about the mark of a pull that a finding rests on; that of an arrow stands about its middle. */
export function ringAbout(kind: OutcomeKind, x: number, y: number): Markup {
  const [middle, radius] = kind === "stopped" ? [y - 6, 11] : [y, 9];
  return markup`<circle class="ring" cx="${at(x)}" cy="${at(middle)}" r="${radius}" fill="none" stroke="var(--accent, #a8480c)" stroke-width="1.8"/>`;
}

const look: Readonly<Record<OutcomeKind, string>> = {
  broke: 'fill="currentColor" stroke="var(--paper, #fff)" stroke-width="0.8"',
  slipped:
    'fill="var(--paper, #fff)" stroke="var(--accent, #a8480c)" stroke-width="1.8" stroke-linejoin="round"',
  stopped:
    'fill="none" stroke="currentColor" stroke-width="1.7" stroke-linecap="round" stroke-linejoin="round"',
  void: 'fill="none" stroke="currentColor" stroke-opacity="0.7" stroke-width="1.6" stroke-linecap="round"',
};

/** How a mark is written: what stands before, between and after its two numbers, which begin so far from its centre. */
type Outline = {
  readonly tag: "circle" | "path";
  readonly aside: number;
  readonly below: number;
  readonly open: string;
  readonly between: string;
  readonly close: string;
};

function outline(kind: OutcomeKind, r: number): Outline {
  const path = (aside: number, below: number, strokes: string) =>
    ({ tag: "path", aside, below, open: 'd="M', between: " ", close: `${strokes}"` }) as const;
  switch (kind) {
    case "broke": {
      const close = `" r="${at(r * 0.93)}"`;
      return { tag: "circle", aside: 0, below: 0, open: 'cx="', between: '" cy="', close };
    }
    case "slipped": {
      const [right, down] = [r * 1.15, r * 2.05];
      return path(0, r * -1.2, `l${at(right)} ${at(down)}h${at(-2 * right)}z`);
    }
    case "stopped": {
      // The foot of the arrow stands at the force that was borne; it points to where the strength must lie.
      const head = `m${at(r * -0.8)} ${at(r * 1.1)}l${at(r * 0.8)} ${at(r * -1.2)}l${at(r * 0.8)} ${at(r * 1.2)}`;
      return path(-r, 0, `h${at(2 * r)}m${at(-r)} 0v${at(r * -2.6)}${head}`);
    }
    case "void": {
      const side = r * 1.7;
      return path(side / -2, side / -2, `l${at(side)} ${at(side)}m${at(-side)} 0l${at(side)} ${at(-side)}`);
    }
  }
}

/** Marks one after the other; all that is the same of each is put together once. */
function drawn(shape: Outline, marks: readonly MarkPlace[], named = "", looks = ""): string {
  const { tag, aside, below, between } = shape;
  const open = `<${tag}${named} ${shape.open}`;
  const untitled = `${shape.close}${looks}/>`;
  const [titled, end] = [`${shape.close}${looks}><title>`, `</title></${tag}>`];
  let text = "";
  for (const { x, y, title } of marks) {
    text += open + coordinate(x + aside) + between + coordinate(y + below);
    text += title.text === "" ? untitled : titled + title.text + end;
  }
  return text;
}
