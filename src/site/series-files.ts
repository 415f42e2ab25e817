import { markup, readReport, standAlone, withStanding } from "../report/mod.ts";
import { dataBlock, datasetOf } from "./dataset.ts";
import { embedPage } from "./embed-page.ts";
import { landingPage } from "./landing-page.ts";
import { sitePage } from "./page.ts";
import { type SiteAbout, type SiteEntry, type SiteFile, type SitePage, standing } from "./types.ts";

/**
 * All files of one report: its first page with all that belongs to it, each revision as it was published, data, bundles, and
 * the figures of the revision that stands, as files and as pages to be put into other pages.
 *
 * pages: at least one, oldest first. A revision that was withdrawn or followed says so above its title, with the way to the
 * one that stands; otherwise its bytes are those that were published.
 */
export function seriesFiles(
  seriesId: string,
  pages: readonly SitePage[],
  about: SiteAbout,
): { readonly entry: SiteEntry; readonly files: readonly SiteFile[] } | undefined {
  const current = standing(pages);
  if (current === undefined) return undefined;
  const read = readReport(current.html);
  const { revision } = current;
  const entry: SiteEntry = {
    seriesId,
    title: revision.title,
    tester: read.tester,
    simulated: read.simulated,
    sentences: read.sentences.slice(0, 6),
    revisions: pages.map((page) => page.revision),
  };
  const folder = `reports/${seriesId}`;
  const source = `Source: ${read.tester === "" ? "tester not named" : read.tester}, “${revision.title}”, revision ${revision.number} of ${revision.publishedAt.slice(0, 10)}${about.url === undefined ? "" : `, ${about.url}${folder}/index.html`}.${read.simulated ? " Simulated: no rope was pulled." : ""} A bench result is no certificate.`;
  const figures = (revision.withdrawn === undefined ? read.figures : []).map((figure) => {
    const words = { title: figure.title, of: revision.title, source, csv: figure.csv };
    return {
      ...figure,
      light: standAlone(figure.wide, { ...words, scheme: "light" }),
      dark: standAlone(figure.wide, { ...words, scheme: "dark" }),
      narrow: standAlone(figure.narrow, { ...words, scheme: "light" }),
      narrowDark: standAlone(figure.narrow, { ...words, scheme: "dark" }),
      embedded: embedPage(figure, { of: revision.title, source }),
    };
  });
  const downloads = downloadsOf(current, read.csv);
  const files: SiteFile[] = [
    ...pages.flatMap((page) => [
      { path: `${folder}/${page.revision.number}.html`, content: pageWithStanding(page, current) },
      ...(page.bundle === undefined
        ? []
        : [{ path: `${folder}/${page.revision.number}.zip`, content: page.bundle }]),
    ]),
    ...(read.csv === "" ? [] : [{ path: `${folder}/${revision.number}.csv`, content: read.csv }]),
    ...figures.flatMap(({ name, csv, light, dark, narrow, narrowDark, embedded }) =>
      [
        [`${name}.svg`, light],
        [`${name}-dark.svg`, dark],
        [`${name}-narrow.svg`, narrow],
        [`${name}-narrow-dark.svg`, narrowDark],
        [`${name}.html`, embedded],
        ...(csv === "" ? [] : [[`${name}.csv`, csv]]),
      ].map(([file = "", content = ""]) => ({ path: `${folder}/figures/${file}`, content })),
    ),
  ];
  const page = landingPage(entry, {
    current: revision,
    figures,
    downloads,
    bundles: new Set(pages.filter(({ bundle }) => bundle !== undefined).map((one) => one.revision.number)),
    dataset: dataBlock(
      datasetOf(entry, revision, {
        ...(about.url === undefined ? {} : { url: about.url }),
        files: downloads,
      }),
    ),
    about,
  });
  return { entry, files: [{ path: `${folder}/index.html`, content: page }, ...files] };
}

/** What stands where a report stood that the book no longer has: at all its addresses, so that no link ends in nothing. */
export function goneFiles(entry: SiteEntry, about: SiteAbout): readonly SiteFile[] {
  const last = entry.revisions.at(-1);
  const content = sitePage({
    title: `Taken out: ${entry.title}`,
    body: markup`<header><p class="kicker"><a href="../../index.html">All reports</a></p><h1>${entry.title}</h1></header>
<main><p class="simulated">Taken out. <span>This report is no longer in the book that it came from. Do not rely on it.</span></p>
${last === undefined ? "" : markup`<p>It was last published as revision ${last.number} on ${last.publishedAt.slice(0, 10)}; whoever kept a copy can know it by the SHA-256 of its bytes:</p><ul>${entry.revisions.map(({ number, sha256 }) => markup`<li>revision ${number}: <code>${sha256}</code></li>`)}</ul>`}</main>
<footer><p>Made by ${about.program}.</p></footer>`,
  });
  return ["index", ...entry.revisions.map(({ number }) => String(number))].map((name) => ({
    path: `reports/${entry.seriesId}/${name}.html`,
    content,
  }));
}

function pageWithStanding({ revision, html }: SitePage, current: SitePage): string {
  const { number, publishedAt, withdrawn } = current.revision;
  const followed = withdrawn === undefined && number > revision.number;
  return withStanding(html, {
    ...(revision.withdrawn === undefined ? {} : { withdrawn: revision.withdrawn }),
    ...(followed ? { later: { number, publishedAt, href: `${number}.html` } } : {}),
  });
}

function downloadsOf({ revision: { number }, bundle }: SitePage, csv: string) {
  return [
    { path: `${number}.html`, mediaType: "text/html", name: "The report as one page" },
    ...(bundle === undefined
      ? []
      : [
          {
            path: `${number}.zip`,
            mediaType: "application/zip",
            name: "Everything: tables, recordings, pictures, report (data package)",
          },
        ]),
    ...(csv === ""
      ? []
      : [{ path: `${number}.csv`, mediaType: "text/csv", name: "Every pull as a table (CSV)" }]),
  ];
}
