import { toUncertainty } from "../findings/mod.ts";
import { fromForceUnit, toForceUnit } from "../units/mod.ts";
import { type Markup, markup, type Part } from "./markup.ts";
import type { SharedForces } from "./shared-digits.ts";

/**
 * Forces on a page whose reader chooses the unit, without a script: kilonewtons with pounds-force beside them, or one of
 * the two. Three radio buttons stand in the page, and its style sheet does the rest; a browser that does not know `:has`,
 * and the printer, show both.
 */
export const forcesShownStyle = `
.units { border: 0; padding: 0; margin: 0 0 1.5rem; display: flex; flex-wrap: wrap; align-items: center; gap: 0.15rem 1.1rem; font: 0.88rem/1.45 var(--figures); }
.units legend { float: left; padding: 0; color: var(--soft); } .units label { display: inline-flex; align-items: center; gap: 0.4rem; min-height: 2.4rem; }
.units input { width: 1.15rem; height: 1.15rem; margin: 0; accent-color: var(--ink); } .units .note { flex-basis: 100%; margin: 0; }
.in-lbf { display: none; }
@media screen { body:has(#in-kn:checked) .lbf, body:has(#in-lbf:checked) .kn { display: none; } body:has(#in-lbf:checked) .in-lbf { display: inline; }
  body:has(#in-lbf:checked) td small.lbf { font-size: 1em; color: inherit; } }
@media print { .units { display: none; } body table { font-size: 7.4pt; } body th, body td { padding-right: 0.35rem; overflow-wrap: break-word; }
  body .broad table { font-size: 6.7pt; } .broad th, .broad td { padding-right: 0.25rem; } .num small { white-space: normal; } body .why { min-width: 0; } th { hyphens: auto; } }
`;

/** The choice of the unit, at the head of a page. */
export function unitChoice(): Markup {
  const one = (id: string, words: string, chosen = false) =>
    markup`<label><input type="radio" name="forces-in" id="${id}"${chosen ? markup` checked` : ""}>${words}</label>`;
  return markup`<fieldset class="units"><legend>Forces in</legend>${one("in-both", "kN and lbf", true)}${one("in-kn", "kN")}${one("in-lbf", "lbf")}</fieldset>`;
}

/** A heading's words with the unit of the forces beneath it. */
export function forcesHead(words: string): Markup {
  return markup`${words}, <span class="kn">kN</span><span class="in-lbf">lbf</span>`;
}

/** A figure in both units, the second on a line of its own: for a cell of a table whose head names the unit. */
export function bothForces(
  figures: ReturnType<SharedForces>,
  about: { readonly before?: string; readonly beside?: Part } = {},
): Markup {
  const { before = "", beside = "" } = about;
  return markup`<span class="kn">${before}${figures.kN}${beside}</span><small class="lbf">${before}${figures.lbf} lbf<span class="in-lbf">${beside}</span></small>`;
}

/**
 * Computed words in which every force follows the reader's choice: "31.2 kN (7010 lbf)", and "31.2 kN" or "28 to 33 kN" alone,
 * which get their pounds-force here, to the digits that stand there in kN.
 *
 * @example
 * forcesInWords("Mean 31.2 kN.").text.replace(/<[^>]+>/g, "") // "Mean 31.2 kN (7010 lbf)."
 */
export function forcesInWords(text: string): Markup {
  const parts: Part[] = [];
  let at = 0;
  for (const found of text.matchAll(
    /(?<![\d.])([\d.]*\d(?: to [\d.]*\d)?)(\s?)kN(?:\s\(([\d.]+\s?lbf)\)|(?![\w/·]))/g,
  )) {
    const [whole, figures = "", space = "", said] = found;
    const lbf = said ?? `${figures.replace(/[\d.]*\d/g, lbfOf)}\u00a0lbf`;
    parts.push(
      text.slice(at, found.index),
      markup`<span class="kn">${figures}${space}kN</span><span class="lbf"><span class="kn"> (</span>${lbf}<span class="kn">)</span></span>`,
    );
    at = found.index + whole.length;
  }
  return markup`${[...parts, text.slice(at)]}`;
}

/** A figure in kN as one in lbf, rounded where the last digit that stands there leaves it. */
function lbfOf(kN: string): string {
  const stepN = fromForceUnit(10 ** -(kN.split(".")[1]?.length ?? 0), "kN");
  return toUncertainty(toForceUnit(fromForceUnit(Number(kN), "kN"), "lbf"), stepN / fromForceUnit(1, "lbf"));
}
