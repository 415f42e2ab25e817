import type { Finding } from "../../findings/mod.ts";
import { pullName } from "../../findings/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { cares, computed, ownWords } from "../page-parts.ts";
import type { ReportInput } from "../types.ts";
import { figureOf } from "./figure-of.ts";

/** The answer first: the findings as sentences, each with its method, the pulls that it rests on, and its doubts. */
export function answerSection({ findings, series }: ReportInput): Markup {
  const names = new Map(findings.pulls.map((pull) => [pull.pullId, pullName(pull)]));
  const said = new Set(findings.findings.flatMap(({ warnings }) => warnings.map(({ message }) => message)));
  const rest = findings.warnings.filter(({ message }) => !said.has(message));
  return markup`<section aria-labelledby="answer"><h2 id="answer">What these pulls show</h2>
<p class="note">Each sentence is computed from the pulls; nobody wrote it.</p>
${answers(findings.findings, names)}
${rest.length === 0 ? "" : markup`<h3>With care</h3>${cares(rest)}`}
${ownWords("The tester’s own conclusions", series.conclusions)}</section>`;
}

/** Findings as sentences, one under the other. */
export function answers(findings: readonly Finding[], names: ReadonlyMap<string, string>): Markup {
  return markup`<ol class="answers">${findings.map((finding, index) => answer(finding, names, findings.slice(0, index)))}</ol>`;
}

/** The figure with every pull. */
export function stripSection(input: ReportInput): Markup {
  if (input.findings.pulls.length === 0) return markup``;
  return markup`<section aria-labelledby="figure"><h2 id="figure">Every pull</h2>
${figureOf(input, {
  kind: "every-pull",
  id: "strip",
  caption:
    "Each mark is one pull. A filled dot broke; an open triangle slipped; an arrow was stopped at its foot and would have borne more; a cross is void and counts for nothing. The line is the mean of a cell of the plan. The band is the 95 % confidence interval of that mean: made anew many times, such bands would hold the true mean 19 times in 20. It speaks of the mean, not of where the next pull will lie, which is wider. The tables below hold the same numbers.",
})}</section>`;
}

function answer(finding: Finding, names: ReadonlyMap<string, string>, before: readonly Finding[]): Markup {
  const told = new Set(before.flatMap(({ warnings }) => warnings.map(({ message }) => message)));
  const fresh = finding.warnings.filter(({ message }) => !told.has(message));
  const again = fresh.length < finding.warnings.length;
  const lead = ["strength", "strongest", "weakest", "slipped", "slip-or-break-length"].includes(finding.id);
  return markup`<li><p class="sentence${lead ? " lead" : ""}">${computed(finding.sentence)}</p>
<p class="rests">${restsOn(finding, names)}${finding.method}</p>${cares(fresh)}${again ? markup`<p class="care"><b>!</b>What was said above with care of these pulls holds here too.</p>` : ""}</li>`;
}

function restsOn({ pulls }: Finding, names: ReadonlyMap<string, string>): string {
  if (pulls.length === 0) return "";
  if (pulls.length === names.size)
    return `Rests on ${pulls.length === 1 ? "the one pull" : `all ${pulls.length} pulls`}. `;
  if (pulls.length > 12) return `Rests on ${pulls.length} pulls. `;
  return `Rests on ${pulls.map((id) => names.get(id) ?? id).join(", ")}. `;
}
