import { Markup, markup } from "../report/mod.ts";
import type { SiteAbout, SiteEntry, SiteRevision } from "./types.ts";

/**
 * What a machine wants to know of a report, as a Dataset of schema.org in JSON-LD: what it is, by whom, when, and where its
 * data lie. Addresses are relative to the report's page unless it is said where the site stands.
 * Source: https://schema.org/Dataset.
 */
export function datasetOf(
  entry: SiteEntry,
  revision: SiteRevision,
  {
    url,
    files,
  }: Pick<SiteAbout, "url"> & {
    readonly files: readonly { readonly path: string; readonly mediaType: string; readonly name: string }[];
  },
): Record<string, unknown> {
  const here = url === undefined ? "" : `${url}reports/${entry.seriesId}/`;
  const simulated = entry.simulated ? "Simulated: no rope was pulled. " : "";
  return {
    "@context": "https://schema.org/",
    "@type": "Dataset",
    ...(url === undefined ? {} : { "@id": `${here}index.html`, url: `${here}index.html` }),
    name: revision.title,
    // Search engines want 50 to 5000 characters.
    description:
      `${simulated}${entry.sentences.join(" ")} Specimens of spliced rope pulled to failure on a bench, each pull with its force, its outcome and its conditions.`
        .trim()
        .slice(0, 5000),
    identifier: `sha256:${revision.sha256}`,
    version: String(revision.number),
    datePublished: revision.publishedAt,
    isAccessibleForFree: true,
    ...(revision.withdrawn === undefined ? {} : { creativeWorkStatus: "Withdrawn" }),
    ...(entry.tester === "" ? {} : { creator: { "@type": "Organization", name: entry.tester } }),
    keywords: ["rope", "splice", "breaking strength", "HMPE", "tensile test"],
    variableMeasured: ["strength", "outcome", "place of failure"],
    measurementTechnique: "tensile test to failure",
    distribution: files.map(({ path, mediaType, name }) => ({
      "@type": "DataDownload",
      name,
      encodingFormat: mediaType,
      contentUrl: `${here}${path}`,
    })),
  };
}

/** The data block of a page: no script, and nothing in it can end it. */
export function dataBlock(data: unknown): Markup {
  const text = JSON.stringify(data).replace(
    /[<>&\u2028\u2029]/g,
    (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
  return markup`<script type="application/ld+json">${new Markup(text)}</script>`;
}
