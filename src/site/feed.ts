import { markup } from "../report/mod.ts";
import type { SiteAbout, SiteEntry, SiteRevision } from "./types.ts";

/** More than anybody missed of a feed that is read once a month. */
const mostEntries = 100;

/**
 * What was published, newest first, as an Atom feed; a withdrawal is an item of its own kind: the same item, changed. Nothing
 * where nothing was published. An item's id stays the same wherever the site stands.
 * Source: RFC 4287, section 4.1 for what a feed and an entry must hold.
 */
export function atomFeed(entries: readonly SiteEntry[], about: SiteAbout): string | undefined {
  const items = entries
    .filter(({ gone }) => gone !== true)
    .flatMap((entry) => entry.revisions.map((revision) => ({ entry, revision, at: changedAt(revision) })))
    .sort((a, b) => b.at.localeCompare(a.at) || b.revision.number - a.revision.number);
  const [newest] = items;
  const first = items
    .map(({ revision }) => revision)
    .sort((a, b) => a.publishedAt.localeCompare(b.publishedAt))[0];
  if (newest === undefined || first === undefined) return undefined;
  const { url = "" } = about;
  const id = urn(`feed of the book whose first report is ${first.sha256}`, about);
  const feed = markup`<feed xmlns="http://www.w3.org/2005/Atom">
<title>${about.title}</title>
<id>${id}</id>
<updated>${newest.at}</updated>
<link rel="alternate" type="text/html" href="${url}index.html"/>
${url === "" ? "" : markup`<link rel="self" type="application/atom+xml" href="${url}feed.xml"/>`}
<generator>${about.program}</generator>
${items.slice(0, mostEntries).map(
  ({ entry, revision, at }) => markup`<entry>
<title>${revision.withdrawn === undefined ? "" : "Withdrawn: "}${entry.simulated ? "Simulated: " : ""}${revision.title}${revision.number === 1 ? "" : `, revision ${revision.number}`}</title>
<id>${urn(`${entry.seriesId} revision ${revision.number} ${revision.sha256}`, about)}</id>
<published>${revision.publishedAt}</published>
<updated>${at}</updated>
<author><name>${entry.tester === "" ? "Tester not named" : entry.tester}</name></author>
<link rel="alternate" type="text/html" href="${url}reports/${entry.seriesId}/${revision.number}.html"/>
<summary>${summaryOf(entry, revision)}</summary>
</entry>
`,
)}</feed>
`;
  return `<?xml version="1.0" encoding="utf-8"?>\n${feed.text}`;
}

/** When something last happened to a revision. */
export function changedAt({ publishedAt, withdrawn }: SiteRevision): string {
  return withdrawn?.at ?? publishedAt;
}

function summaryOf(entry: SiteEntry, { withdrawn, changes, note, number }: SiteRevision): string {
  if (withdrawn !== undefined) return `Withdrawn: ${withdrawn.reason}`;
  const latest = entry.revisions.at(-1)?.number === number;
  const said =
    number > 1 && changes.length > 0
      ? ["What changed:", ...changes]
      : latest
        ? entry.sentences.slice(0, 3)
        : [];
  return [note, ...said].filter(Boolean).join(" ") || "A report from the bench book.";
}

/** A name for a thing that has no address of its own: a UUID of version 8 (RFC 9562, section 5.8) out of its SHA-256. */
function urn(of: string, { sha256 }: SiteAbout): string {
  const hex = sha256(of);
  const variant = ((Number.parseInt(hex.charAt(16), 16) & 0x3) | 0x8).toString(16);
  return `urn:uuid:${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-${variant}${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
}
