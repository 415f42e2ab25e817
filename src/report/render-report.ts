import { drawRope } from "./figures/rope-drawing.ts";
import { forcesShownStyle, unitChoice } from "./forces-shown.ts";
import { Markup, markup } from "./markup.ts";
import { dayText, ownWords } from "./page-parts.ts";
import { answerSection, stripSection } from "./sections/answer.ts";
import { cautionsSection } from "./sections/cautions.ts";
import { cellsSection } from "./sections/cells.ts";
import { matteredSection, outsideSection } from "./sections/mattered.ts";
import { methodSection, uncertaintySection } from "./sections/method.ts";
import { leftOutSection, pullsSection, tracesSection } from "./sections/pulls.ts";
import { picturesSection, recordingsSection, revisionLine, sourcesSection } from "./sections/records.ts";
import { revisionsSection } from "./sections/revisions.ts";
import { slipOrBreakSection } from "./sections/slip-or-break.ts";
import { style } from "./style.ts";
import type { ReportInput } from "./types.ts";

/**
 * A series as one HTML page that stands by itself: the answer first, then the figure, each pull, slip or break, the cells, what
 * mattered, what others say, the curves, how it was done, what was left out, how sure it is, cautions, sources, recordings.
 *
 * The page asks nothing of a network and runs no script (its own content security policy forbids both); the data lie in
 * it as CSV behind a data: link. Every text of the user's is escaped, and what a person wrote is set apart from what was
 * computed. The same input gives the same bytes.
 *
 * @example
 * renderReport(input).startsWith("<!doctype html>") // true
 */
export function renderReport(input: ReportInput): string {
  const { series, revision } = input;
  const by = series.tester === "" ? "" : `By ${series.tester}. `;
  const page = markup`<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="referrer" content="no-referrer">
<title>${series.title}${series.simulated ? " (simulated)" : ""}</title>
<style>${new Markup(`${style}${forcesShownStyle}`)}</style>
</head>
<body>
${ornament()}
<header>
<p class="kicker">A report from the bench book</p>
<h1>${series.title}</h1>
<p class="meta">${by}${revision === undefined ? "Preview, not published." : `Revision ${revision.number}, ${dayText(revision.publishedAt)}.`}</p>
${series.simulated ? markup`<p class="simulated">Simulated. <span>No rope was pulled: the recordings come from a simulated bench, and nothing here says anything about a real rope.</span></p>` : ""}
${ownWords("The question, in the tester’s words", series.question)}
${unitChoice()}</header>
<main>
${answerSection(input)}
${stripSection(input)}
${pullsSection(input)}
${slipOrBreakSection(input)}
${cellsSection(input)}
${matteredSection(input)}
${outsideSection(input)}
${tracesSection(input)}
${methodSection(input)}
${leftOutSection(input)}
${uncertaintySection(input)}
${cautionsSection(input)}
${picturesSection(input)}
${sourcesSection(input)}
${revisionsSection(input)}
${recordingsSection(input)}
</main>
${revisionLine(input)}
</body>
</html>
`;
  return `<!doctype html>\n${page.text}`;
}

/** The line: a drawn rope along the head of the page. */
function ornament(): Markup {
  const length = 1200;
  const rope = drawRope({ length, width: 14, orientation: "lying" });
  return markup`<svg class="rope-edge" viewBox="0 0 ${length} 14" preserveAspectRatio="xMinYMid slice" aria-hidden="true" focusable="false">${new Markup(rope)}</svg>`;
}
