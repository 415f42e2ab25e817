import { type Markup, markup } from "../markup.ts";
import { dayText, ownWords } from "../page-parts.ts";
import type { ReportInput, ReportRevision } from "../types.ts";

/** The revisions of the report, this one first, with what each changed; and where its data came from, where from a bundle. */
export function revisionsSection({ revision, earlier = [], imported }: ReportInput): Markup {
  const came = imported === undefined ? markup`` : cameFrom(imported);
  if (revision === undefined && earlier.length === 0 && imported === undefined) return markup``;
  return markup`<section aria-labelledby="revisions"><h2 id="revisions">Revisions</h2>
${came}
${revision === undefined ? markup`<p>This is a preview and has no number yet.</p>` : revisionPart(revision, earlier.length === 0)}
${[...earlier].sort((a, b) => b.number - a.number).map((one) => revisionPart(one, one.number === 1))}
<p class="note">Publishing freezes data, method versions and text. The fingerprint is the SHA-256 of all of that: two reports with the same one rest on the same content. Earlier revisions stay readable where this one was published.</p></section>`;
}

/**
 * A published page with what became of it since: that it was withdrawn, that a later revision stands. The page itself stays as
 * it was frozen; this stands above its title.
 *
 * @example
 * withStanding(html, { withdrawn: { at: "2024-06-01T08:00:00Z", reason: "the cell was wrong" } })
 */
export function withStanding(
  html: string,
  standing: {
    readonly withdrawn?: { readonly at: string; readonly reason: string };
    readonly later?: { readonly number: number; readonly publishedAt: string; readonly href?: string };
  },
): string {
  const { withdrawn, later } = standing;
  const said = [
    ...(withdrawn === undefined
      ? []
      : [
          markup`<p class="simulated" role="note">Withdrawn on ${dayText(withdrawn.at)}. <span>Do not rely on this report. The reason, in the tester’s words: ${withdrawn.reason}</span></p>`,
        ]),
    ...(later === undefined
      ? []
      : [
          markup`<p class="simulated" role="note">A later revision stands. <span>${laterWords(later)} takes the place of this one.</span></p>`,
        ]),
  ];
  if (said.length === 0) return html;
  // The first of each is the page's own: whatever a person wrote is escaped.
  const marked = html.replace("<header>\n", () => `<header>\n${said.map(String).join("\n")}\n`);
  return withdrawn === undefined ? marked : marked.replace("<title>", () => "<title>Withdrawn: ");
}

function laterWords(later: { number: number; publishedAt: string; href?: string }): Markup {
  const words = markup`Revision ${later.number} of ${dayText(later.publishedAt)}`;
  return later.href === undefined ? words : markup`<a href="${later.href}">${words}</a>`;
}

function revisionPart(revision: ReportRevision, first: boolean): Markup {
  const { number, publishedAt, contentSha256, note = "", changes = [], withdrawn } = revision;
  const what =
    changes.length > 0
      ? markup`<ul>${changes.map((change) => markup`<li>${change}</li>`)}</ul>`
      : markup`<p>${first ? "The first revision." : "Nothing that the report shows changed."}</p>`;
  return markup`<h3>Revision ${number}, ${dayText(publishedAt)}</h3>
${withdrawn === undefined ? "" : markup`<ul class="cares"><li class="care"><b>!</b>Withdrawn on ${dayText(withdrawn.at)}: ${withdrawn.reason}</li></ul>`}
${ownWords("Why, in the tester’s words", note)}
${what}
${contentSha256 === undefined ? markup`<p class="note">Published before contents were frozen: what it rests on is known from its page alone.</p>` : markup`<p class="note">Fingerprint: <code>${contentSha256}</code></p>`}`;
}

function cameFrom(imported: NonNullable<ReportInput["imported"]>): Markup {
  const { tester, title, revision, publishedAt, contentSha256, importedAt } = imported;
  const which = revision === undefined ? "unpublished" : `revision ${revision}`;
  const when = publishedAt === undefined ? "" : ` of ${dayText(publishedAt)}`;
  return markup`<p>The series came from a bundle${tester === "" ? "" : ` of ${tester}`}, “${title}”, ${which}${when}; it was taken in on ${dayText(importedAt)}, and its recordings were read again here. Fingerprint of that bundle: <code>${contentSha256}</code>. What was changed here since is not theirs.</p>`;
}
