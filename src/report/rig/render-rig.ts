import type { Warning } from "../../problem/mod.ts";
import type { AssessedPart, AssessedRig, RigFields } from "../../rig/mod.ts";
import { formatForce, formatNumber, newtons } from "../../units/mod.ts";
import { Markup, markup } from "../markup.ts";
import { cares, computed, heading, ownWords, table } from "../page-parts.ts";
import { style } from "../style.ts";
import { drawRig } from "./draw-rig.ts";

/**
 * A rig as one page to hand on: drawn as it hangs, what it comes to, part by part, the doubts, and what is not in it. It asks
 * for nothing from anywhere, runs no script and prints on A4 and Letter; the same rig gives the same bytes.
 *
 * @example
 * renderRig(rig, assessed, []).startsWith("<!doctype html>") // true
 */
export function renderRig(rig: RigFields, assessed: AssessedRig, warnings: readonly Warning[]): string {
  const simulated = warnings.some(({ code }) => code === "RIG_SIMULATED");
  const drawing = new Markup(drawRig(rig, assessed, { id: "rig", width: 720, simulated }));
  const page = markup`<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="referrer" content="no-referrer">
<title>Rig: ${rig.name}</title>
<style>${new Markup(style)}</style>
</head>
<body>
<header><p class="kicker">Rig</p><h1>${rig.name}</h1></header>
<main>
<section aria-labelledby="people"><h2 id="people">Never for people</h2><ul class="cautions">
<li><strong>These are results of a bench and of arithmetic, not certificates.</strong> Nothing here is called safe.</li>
<li><strong>Where a person hangs from it</strong>, whatever the numbers say, use certified gear, the code that holds where you are, and somebody licensed to judge it.</li>
</ul></section>
<section aria-labelledby="hangs"><h2 id="hangs">As it hangs</h2>${drawing}</section>
<section aria-labelledby="comes"><h2 id="comes">What it comes to</h2><ol>${assessed.sentences.map((one) => markup`<li>${computed(one)}</li>`)}</ol>${cares(warnings)}</section>
<section aria-labelledby="parts"><h2 id="parts">Part by part</h2>${partsTable(rig, assessed.parts)}</section>
<section aria-labelledby="without"><h2 id="without">Not considered</h2><ul>${assessed.notConsidered.map((one) => markup`<li>${one}</li>`)}</ul></section>
<section aria-labelledby="factor"><h2 id="factor">The factor asked for</h2><p>${factorOf(rig)}</p>
<p>A factor means nothing without what it divides. Ask the authority that governs your work.</p></section>
${ownWords("What weighs on it over time, in the words of who drew it up", rig.overTime)}
${ownWords("Notes", rig.notes)}
</main>
</body>
</html>
`;
  return `<!doctype html>\n${page.text}`;
}

function partsTable(rig: RigFields, parts: readonly AssessedPart[]): Markup {
  const rows = parts.map((part, index) => {
    const { strength } = rig.parts[index] ?? {};
    const whence = strength?.from === "rating" && strength.source !== "" ? `, by ${strength.source}` : "";
    return markup`<tr><th scope="row">${index + 1}. ${part.name}</th><td class="num">${forces(part)}</td><td class="num">${part.statedN === undefined ? "not stated" : force(part.statedN)}</td><td>${part.statedBy}${whence}</td><td class="num">${part.n ?? ""}</td><td class="num">${part.margin === undefined ? "none" : formatNumber(part.margin, { significant: 2 })}</td><td class="num">${chance(part.chanceFails)}</td><td class="num">${part.chanceFirst === undefined ? "" : percent(part.chanceFirst)}</td></tr>`;
  });
  return table({
    caption: "Margin: the stated strength over the highest force. First: how often it gives way first",
    head: [
      heading("Part"),
      heading("Force", true),
      heading("Stated strength", true),
      heading("By"),
      heading("n", true),
      heading("Margin", true),
      heading("Gives way", true),
      heading("First", true),
    ],
    rows,
  });
}

const force = (forceN: number) => formatForce(newtons(forceN), "kN").text;
const percent = (share: number) => `${Number((100 * share).toPrecision(2))} %`;

function forces({ force: { lowN, highN } }: AssessedPart): string {
  const [low, high] = [force(lowN), force(highN)];
  return low === high ? high : `${low} to ${high}`;
}

function chance(share: number | undefined): string {
  if (share === undefined) return "";
  if (share < 1e-6) return "under 1 in a million";
  return share < 0.01 ? `1 in ${Number((1 / share).toPrecision(2))}` : percent(share);
}

function factorOf({ wantedFactor, wantedFactorSource }: RigFields): string {
  if (wantedFactor === undefined) return "No factor was asked for.";
  const by = wantedFactorSource === "" ? ", without a source" : `, by ${wantedFactorSource}`;
  return `Asked for: ${wantedFactor}${by}.`;
}
