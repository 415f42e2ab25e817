import type { Result, Warning } from "../problem/mod.ts";
import type { OutcomeKind } from "../series/mod.ts";
import { withUnitsKept } from "../units/mod.ts";
import { outcomeMark } from "./figures/outcome-marks.ts";
import { forcesInWords } from "./forces-shown.ts";
import { type Markup, markup, type Part } from "./markup.ts";
import { ownText } from "./own-text.ts";

/** Words that a person wrote, set apart from what was computed; nothing where there are none. */
export function ownWords(whose: string, text: string): Markup {
  if (text.trim() === "") return markup``;
  return markup`<blockquote class="own" dir="auto"><p class="whose">${whose}</p>${ownText(text.trim())}</blockquote>`;
}

/** Computed words: figures stay with their units, and forces follow the reader's choice of unit. */
export function computed(text: string): Markup {
  return forcesInWords(withUnitsKept(text));
}

/** Doubts, each with a sign of its own before it. */
export function cares(warnings: readonly Warning[]): Markup {
  if (warnings.length === 0) return markup``;
  return markup`<ul class="cares">${warnings.map(({ message }) => markup`<li class="care"><b>!</b>${computed(message)}</li>`)}</ul>`;
}

/** A table that scrolls sideways on a narrow screen, by keyboard too, and prints whole. */
export function table(about: {
  readonly caption: string;
  /** With many columns: on a wide screen it is wider than the text. */
  readonly broad?: boolean;
  readonly head: readonly Part[];
  readonly rows: readonly Part[];
}): Markup {
  return markup`<div class="scroll${about.broad === true ? " broad" : ""}" role="region" aria-label="${about.caption}" tabindex="0"><table><caption>${about.caption}</caption><thead><tr>${about.head}</tr></thead><tbody>${about.rows}</tbody></table></div>`;
}

/** What only some will look for, under a line that opens without a script; on paper it stands open. */
export function folded(summary: string, content: Part): Markup {
  return markup`<details class="fold"><summary>${summary}</summary>${content}</details>`;
}

/** A heading cell; numbers stand to the right, as their figures do. */
export function heading(text: Part, numeric = false): Markup {
  return markup`<th scope="col"${numeric ? markup` class="num"` : ""}>${text}</th>`;
}

/** The drawn mark and the word of an outcome. */
export function outcomeWord(kind: OutcomeKind | undefined): Markup {
  if (kind === undefined) return markup`not judged`;
  return markup`<svg class="sign" width="14" height="14" viewBox="0 0 14 14" aria-hidden="true" focusable="false">${outcomeMark(kind, 7, kind === "stopped" ? 12 : 7)}</svg>${kind}`;
}

/** Rows of a name and what is known under it; rows of which nothing is known are left away. */
export function facts(rows: readonly (readonly [string, Part])[]): Markup {
  const known = rows.filter(([, value]) => value !== "" && value !== undefined && value !== false);
  return markup`<dl>${known.map(([name, value]) => markup`<dt>${name}</dt><dd>${value}</dd>`)}</dl>`;
}

/** Explanations of terms, to stand right under what uses them. */
export function terms(rows: readonly (readonly [Part, Part])[]): Markup {
  return markup`<dl class="terms">${rows.map(([term, meaning]) => markup`<dt>${term}</dt><dd>${meaning}</dd>`)}</dl>`;
}

/** Collects why figures were refused or doubted, each reason once, and hands out the letter that points to it. */
export class Footnotes {
  readonly #reasons: string[] = [];

  /** What stands in the table instead of a figure. */
  refusal(result: { readonly ok: false } & Extract<Result<unknown>, { ok: false }>): Markup {
    const marks = result.problems.map(({ message }) => this.letter(message));
    return markup`<td class="num">not given ${marks}</td>`;
  }

  /** The letter that points to a reason. */
  letter(reason: string): Markup {
    let index = this.#reasons.indexOf(reason);
    if (index < 0) index = this.#reasons.push(reason) - 1;
    return markup`<sup>${letterOf(index)}</sup>`;
  }

  list(): Markup {
    if (this.#reasons.length === 0) return markup``;
    return markup`<p class="note">${this.#reasons.map((reason, index) => markup`<sup>${letterOf(index)}</sup> ${computed(reason)} `)}</p>`;
  }
}

function letterOf(index: number): string {
  const letter = String.fromCharCode(97 + (index % 26));
  return index < 26 ? letter : `${letterOf(Math.floor(index / 26) - 1)}${letter}`;
}

/** "1 March 2026" from ISO 8601; what is no date stays as it stands. */
export function dayText(iso: string): string {
  const found = /^(\d{4})-(\d{2})-(\d{2})/.exec(iso);
  const month = months[Number(found?.[2]) - 1];
  return found === null || month === undefined ? iso : `${Number(found[3])} ${month} ${found[1]}`;
}

const months = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];
