import { declared, faces, Markup, markup, type PublishedFigure } from "../report/mod.ts";

/**
 * One figure as a page to stand in a frame of another: in the reader's own light or dark, as wide as the frame, with where it
 * comes from. It fetches nothing and runs no script.
 */
export function embedPage(
  { name, title, wide, narrow, csv }: PublishedFigure,
  { of, source }: { readonly of: string; readonly source: string },
): string {
  const page = markup`<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="referrer" content="no-referrer">
<title>${title}: ${of}</title>
<style>
:root { color-scheme: light dark; ${new Markup(declared("light"))} --figures: ${new Markup(faces.figures)}; }
@media (prefers-color-scheme: dark) { :root { ${new Markup(declared("dark"))} } }
body { margin: 0; padding: 1rem; background: var(--leaf); color: var(--ink); font: 0.9rem/1.45 var(--figures); --paper: var(--leaf); }
h1 { font-size: 1.1rem; margin: 0 0 0.75rem; } figure { margin: 0; } .narrow { display: none; } @media (max-width: 36rem) { .wide { display: none; } .narrow { display: block; } } svg { display: block; max-width: 100%; height: auto; }
figcaption { margin-top: 0.75rem; color: var(--soft); } a { color: inherit; }
</style>
</head>
<body>
<main><figure><h1>${title}</h1><div class="wide">${new Markup(wide)}</div><div class="narrow">${new Markup(narrow)}</div><figcaption>${source} ${csv === "" ? "" : markup`<a href="${name}.csv" download>Its data (CSV)</a> · `}<a href="../index.html" target="_top">The whole report</a></figcaption></figure></main>
</body>
</html>
`;
  return `<!doctype html>\n${page.text}`;
}
