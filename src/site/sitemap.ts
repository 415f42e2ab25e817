import { markup } from "../report/mod.ts";
import { changedAt } from "./feed.ts";
import type { SiteEntry } from "./types.ts";

/** The addresses of all pages for search engines, by the sitemap protocol 0.9, which wants them whole. */
export function sitemap(entries: readonly SiteEntry[], url: string): string {
  const pages = entries.flatMap((entry) => {
    const folder = `${url}reports/${entry.seriesId}/`;
    const last = entry.revisions.map(changedAt).sort().at(-1) ?? "";
    if (entry.gone === true) return [];
    return [
      { address: `${folder}index.html`, last },
      ...entry.revisions.map((revision) => ({
        address: `${folder}${revision.number}.html`,
        last: changedAt(revision),
      })),
    ];
  });
  const newest = pages
    .map(({ last }) => last)
    .sort()
    .at(-1);
  const all = [...(newest === undefined ? [] : [{ address: `${url}index.html`, last: newest }]), ...pages];
  const map = markup`<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">
${all.map(({ address, last }) => markup`<url><loc>${address}</loc><lastmod>${last}</lastmod></url>\n`)}</urlset>
`;
  return `<?xml version="1.0" encoding="utf-8"?>\n${map.text}`;
}
