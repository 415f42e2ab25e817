import { Markup, markup, pageStyle } from "../report/mod.ts";

/** A page of the site around its parts. */
export type SitePageParts = {
  readonly title: string;
  readonly body: Markup;
  /** Further elements of the head. */
  readonly head?: Markup;
  /** A script of our own, with its SHA-256 in base 64. */
  readonly script?: { readonly text: string; readonly hash: string };
};

/**
 * A page of the site: it fetches nothing but pictures of the same site, and runs no script but the one that is named by its
 * hash. Works from a disk and under any base path: all its links are relative.
 */
export function sitePage({ title, body, head, script }: SitePageParts): string {
  const scripts = script === undefined ? "'none'" : `'sha256-${script.hash}'`;
  const page = markup`<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src 'self' file:; script-src ${scripts}; base-uri 'none'; form-action 'none'">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
${head ?? ""}
<style>${new Markup(`${pageStyle}${siteStyle}`)}</style>
</head>
<body>
${body}
${script === undefined ? "" : markup`<script>${new Markup(script.text)}</script>`}
</body>
</html>
`;
  return `<!doctype html>\n${page.text}`;
}

/** What the site's own pages need beside the look of a report. */
const siteStyle = `
body > header { padding-top: 2rem; }
.reports { list-style: none; margin: 1rem 0; padding: 0; }
.reports > li { border-top: 1px solid var(--line); padding: 1rem 0 0.6rem; }
.reports h2 { border: 0; margin: 0 0 0.2rem; padding: 0; font-size: 1.2rem; }
.reports .state { color: var(--accent); font: 700 0.85rem/1.4 var(--figures); }
.search { display: flex; flex-wrap: wrap; gap: 0.5rem 1rem; align-items: center; font-family: var(--figures); margin: 1.25rem 0; }
.search[hidden], .reports > li[hidden] { display: none; }
.search input { font: inherit; color: inherit; background: var(--leaf); border: 1.5px solid var(--ink); padding: 0.6rem 0.75rem; min-width: min(20rem, 100%); }
.files { list-style: none; padding: 0; margin: 0.75rem 0 1.5rem; display: flex; flex-wrap: wrap; gap: 0.5rem 0.75rem; }
.files .download { margin: 0; }
.shown img { display: block; max-width: 100%; height: auto; }
.snippet { background: var(--leaf); border: 1px solid var(--line); padding: 0.75rem; overflow-x: auto; white-space: pre-wrap; overflow-wrap: anywhere; }
details > summary { font: 600 0.9rem/1.4 var(--figures); cursor: pointer; padding: 0.35rem 0; }
`;
