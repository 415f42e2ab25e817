/**
 * Published reports as a site of files that any static host can show, and that works from a disk.
 *
 * @example
 * const made = seriesFiles("ser-1", [{ revision, html }], about);
 * const first = indexPage(made === undefined ? [] : [made.entry], about); // the list of all reports, with a search
 */
export { atomFeed } from "./feed.ts";
export { indexPage } from "./index-page.ts";
export { goneFiles, seriesFiles } from "./series-files.ts";
export { sitemap } from "./sitemap.ts";
export type { SiteAbout, SiteEntry, SiteFile, SitePage, SiteRevision } from "./types.ts";
