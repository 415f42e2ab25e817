import { ratingWords } from "../../findings/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { dayText, heading, ownWords, table } from "../page-parts.ts";
import type { ReportInput } from "../types.ts";

/** Photographs, as they were taken; only pictures that lie in the page itself are shown. */
export function picturesSection({ pictures, series }: ReportInput): Markup {
  const shown = pictures.filter(({ dataUrl }) => pictureUrl.test(dataUrl));
  if (shown.length === 0) return markup``;
  return markup`<section aria-labelledby="pictures"><h2 id="pictures">Pictures</h2>
${series.simulated ? markup`<p class="note">The pulls are simulated; the pictures belong to the description only.</p>` : ""}
<div class="pictures">${shown.map(({ caption, about, dataUrl }) => markup`<figure><img src="${dataUrl}" alt="${caption || `Photograph: ${about}`}"><figcaption>${about}${caption === "" ? "" : `: ${caption}`}</figcaption></figure>`)}</div></section>`;
}

/** Where the figures come from: the ratings' sources and each method with its formula. */
export function sourcesSection({ findings, methodNotes, series }: ReportInput): Markup {
  const ratings = new Map(
    findings.pulls.flatMap((pull) =>
      pull.ropeName === undefined || pull.ratedStrengthN === undefined
        ? []
        : [
            [
              pull.ropeName,
              `${ratingWords(pull)}; ${pull.ratedStrengthSource || "source not stated"}`,
            ] as const,
          ],
    ),
  );
  return markup`<section aria-labelledby="sources"><h2 id="sources">Sources and methods</h2>
${ownWords("The tester’s sources", series.sources)}
${ratings.size === 0 ? "" : markup`<p>Rated strengths:</p><ul>${[...ratings].map(([name, source]) => markup`<li>${name}: ${source}</li>`)}</ul>`}
<p>Judged by <code>${findings.method.name}</code>, version ${findings.method.version}: normal scatter within a cell for means, Student’s t for their intervals; the stated bound is the ${findings.statedBy.name}.</p>
${methodNotes.map((note) => markup`<h3>${note.name}</h3><p>${note.answers}</p><p class="method-line">${note.formula}</p><p class="method-line">Source: ${note.source}</p>`)}</section>`;
}

/** What the loggers wrote, named by its SHA-256, so that anybody can tell whether a file is the very one. */
export function recordingsSection({ recordings, series }: ReportInput): Markup {
  if (recordings.length === 0) return markup``;
  return markup`<section aria-labelledby="recordings"><h2 id="recordings">Recordings</h2>
<p>The files that the load cell’s logger wrote${series.simulated ? " (here: the simulated bench)" : ""}, kept byte for byte. The SHA-256 is a fingerprint: a file with another one is another file.</p>
${table({
  caption: `${recordings.length} ${recordings.length === 1 ? "recording" : "recordings"}`,
  head: [heading("File"), heading("Bytes", true), heading("SHA-256")],
  rows: recordings.map(
    ({ fileName, sizeBytes, sha256 }) =>
      markup`<tr><th scope="row">${fileName}</th><td class="num">${sizeBytes}</td><td><code>${sha256}</code></td></tr>`,
  ),
})}</section>`;
}

/** Which revision this is, and what made it. */
export function revisionLine({ revision, program, series }: ReportInput): Markup {
  const which =
    revision === undefined
      ? "A preview, not published."
      : `Revision ${revision.number}, published on ${dayText(revision.publishedAt)} (${revision.publishedAt}). A later revision replaces it; both can be kept.`;
  return markup`<footer><p>${which}</p><p>Series <code>${series.id}</code>. Made by ${program.name} ${program.version}. This page is whole in itself: it fetches nothing and runs no script.</p></footer>`;
}

const pictureUrl = /^data:image\/(?:jpeg|png|webp|gif|avif);base64,[A-Za-z0-9+/]+={0,2}$/;
