import { type Markup, markup, type PublishedFigure } from "../report/mod.ts";
import { sitePage } from "./page.ts";
import { isWithdrawn, type SiteAbout, type SiteEntry, type SiteRevision } from "./types.ts";

export type Landing = {
  readonly current: SiteRevision;
  readonly figures: readonly (PublishedFigure & { readonly light: string })[];
  readonly downloads: readonly { readonly path: string; readonly name: string }[];
  /** The numbers of the revisions that have a bundle. */
  readonly bundles: ReadonlySet<number>;
  readonly dataset: Markup;
  readonly about: SiteAbout;
};

/** The first page of one report: what stands, what it shows, what can be taken away, and every revision. */
export function landingPage(
  entry: SiteEntry,
  { current, figures, downloads, bundles, dataset, about }: Landing,
): string {
  const { simulated, tester, sentences, revisions } = entry;
  const withdrawn = isWithdrawn(entry);
  return sitePage({
    title: `${withdrawn ? "Withdrawn: " : ""}${current.title}${simulated ? " (simulated)" : ""}`,
    head: dataset,
    body: markup`<header>
<p class="kicker"><a href="../../index.html">All reports</a></p>
<h1>${current.title}</h1>
<p class="meta">${tester === "" ? "" : `By ${tester}. `}Revision ${current.number} of ${current.publishedAt.slice(0, 10)}.</p>
${simulated ? markup`<p class="simulated">Simulated. <span>No rope was pulled, and nothing here says anything about a real rope.</span></p>` : ""}
${withdrawn ? markup`<p class="simulated">Withdrawn. <span>Do not rely on this report. The reason, in the tester’s words: ${current.withdrawn?.reason ?? ""}</span></p>` : ""}
</header>
<main>
${withdrawn || sentences.length === 0 ? "" : markup`<section aria-labelledby="shown"><h2 id="shown">What these pulls show</h2><ul>${sentences.map((sentence) => markup`<li>${sentence}</li>`)}</ul><p class="note">Computed from the pulls. What each sentence rests on, and with what care it is to be taken, stands in the report.</p></section>`}
<section aria-labelledby="files"><h2 id="files">To read and to take away</h2>
<ul class="files">${downloads.map(({ path, name }) => markup`<li><a class="download" href="${path}"${path.endsWith(".html") ? "" : markup` download`}>${name}</a></li>`)}</ul></section>
${figures.length === 0 ? "" : figuresPart(entry, figures, about)}
<section aria-labelledby="revisions"><h2 id="revisions">Revisions</h2>
${revisions.toReversed().map((revision) => revisionPart(revision, { current: current.number, bundle: bundles.has(revision.number) }))}
<p class="note">Each revision is kept as it was published. The fingerprint is the SHA-256 of its page; where the page was withdrawn or followed by another, a note was set above its title here, which the fingerprint does not know.</p></section>
</main>
<footer><p>Made by ${about.program}. A bench result is no certificate.</p></footer>`,
  });
}

function figuresPart({ seriesId }: SiteEntry, figures: Landing["figures"], { url }: SiteAbout): Markup {
  return markup`<section aria-labelledby="figures"><h2 id="figures">Figures</h2>
<p class="note">Each file carries its title, its source and the data that it draws. They show the revision that stands, and change with it.</p>
${figures.map(({ name, title, description, caption, csv, light }) => {
  const [width, height] = sizeOf(light);
  const address =
    url === undefined ? `figures/${name}.html` : `${url}reports/${seriesId}/figures/${name}.html`;
  const snippet = `<iframe src="${address}" title="${title.replace(/["<>&]/g, " ")}" width="100%" height="${height + 60}" loading="lazy"></iframe>`;
  return markup`<h3 id="${name}">${title}</h3>
<figure class="shown"><picture><source media="(max-width: 44rem) and (prefers-color-scheme: dark)" srcset="figures/${name}-narrow-dark.svg"><source media="(max-width: 44rem)" srcset="figures/${name}-narrow.svg"><source media="(prefers-color-scheme: dark)" srcset="figures/${name}-dark.svg"><img src="figures/${name}.svg" alt="${title}. ${description}" width="${width}" height="${height}" loading="lazy"></picture><figcaption>${caption}</figcaption></figure>
<p class="note"><a href="figures/${name}.svg" download>SVG, light</a> · <a href="figures/${name}-dark.svg" download>SVG, dark</a> · ${csv === "" ? "" : markup`<a href="figures/${name}.csv" download>its data, CSV</a> · `}<a href="figures/${name}.html">alone on a page</a></p>
<details><summary>Show “${title}” on another page</summary><p class="note">${url === undefined ? "Put the address of this site before the path." : "Copy this into the page’s HTML."}</p><pre class="snippet"><code>${snippet}</code></pre></details>`;
})}</section>`;
}

function revisionPart(
  { number, publishedAt, sha256, note, changes, withdrawn }: SiteRevision,
  { current, bundle }: { readonly current: number; readonly bundle: boolean },
): Markup {
  return markup`<h3>Revision ${number}, ${publishedAt.slice(0, 10)}${number === current && withdrawn === undefined ? ": the one that stands" : ""}</h3>
${withdrawn === undefined ? "" : markup`<p class="care"><b>!</b>Withdrawn on ${withdrawn.at.slice(0, 10)}: ${withdrawn.reason}</p>`}
${note === "" ? "" : markup`<p>Why, in the tester’s words: ${note}</p>`}
${changes.length === 0 ? "" : markup`<ul>${changes.map((change) => markup`<li>${change}</li>`)}</ul>`}
<p class="note"><a href="${number}.html">Read revision ${number}</a>${bundle ? markup` · <a href="${number}.zip" download>bundle of revision ${number}</a>` : ""} · fingerprint <code>${sha256}</code></p>`;
}

/** As the file says it. */
function sizeOf(drawing: string): readonly [number, number] {
  const [, width = "860", height = "400"] =
    /^<svg [^>]*? width="([\d.]+)" height="([\d.]+)"/.exec(drawing) ?? [];
  return [Math.round(Number(width)), Math.round(Number(height))];
}
