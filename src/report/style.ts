import { declared, faces } from "./palette.ts";

/**
 * The page's own style sheet: paper and ink, one accent of whipping-twine orange for what needs care. Light by daylight,
 * dark where the reader asks for it, black on white in print. System faces only: nothing is fetched.
 */
export const style = `
:root { color-scheme: light dark; ${declared("light")}
  --words: ${faces.words}; --figures: ${faces.figures}; }
@media screen and (prefers-color-scheme: dark) { :root { ${declared("dark")} } }
* { box-sizing: border-box; }
html { background: var(--paper); -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body { margin: 0 auto; max-width: 58rem; padding: 0 1.25rem 4rem; background: var(--paper); color: var(--ink);
  font: 1.0625rem/1.55 var(--words); font-variant-numeric: lining-nums tabular-nums; overflow-wrap: break-word; }
.rope-edge { display: block; width: 100%; height: 14px; margin: 0 0 2.25rem; color: var(--rope); }
h1 { font-size: clamp(1.75rem, 5vw, 2.5rem); line-height: 1.15; font-weight: 600; letter-spacing: -0.01em; margin: 0.3rem 0 0.75rem; text-wrap: balance; }
h2 { font-size: 1.45rem; line-height: 1.25; font-weight: 600; margin: 3.25rem 0 0.75rem; padding-top: 0.7rem; border-top: 1px solid var(--line); }
h3 { font-size: 1.1rem; line-height: 1.3; font-weight: 600; margin: 1.75rem 0 0.4rem; }
p { margin: 0 0 0.8rem; max-width: 42rem; }
a { color: inherit; text-decoration-color: var(--accent); text-underline-offset: 0.15em; }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
.kicker, .meta, figcaption, .note, .rests, .method-line, footer, table, dl, .small { font-family: var(--figures); }
.kicker { text-transform: uppercase; letter-spacing: 0.09em; font-size: 0.78rem; color: var(--soft); margin: 0; }
.meta, .rests, .method-line, .note, figcaption, footer, .small { font-size: 0.88rem; line-height: 1.45; color: var(--soft); }
.note dt, .terms dt { font-weight: 700; color: var(--ink); }
.simulated { border: 2px solid var(--accent); color: var(--accent); font-family: var(--figures); font-weight: 700; padding: 0.6rem 0.9rem; margin: 0 0 1.75rem; max-width: none; }
.simulated span { color: var(--ink); font-weight: 400; }
.own { border-left: 4px double var(--rope); background: var(--leaf); margin: 1rem 0 1.5rem; padding: 0.8rem 1.1rem; font-style: italic; }
.own p { margin: 0 0 0.6rem; white-space: pre-line; } .own p:last-child { margin-bottom: 0; }
.own .whose { font: 700 0.78rem/1.4 var(--figures); text-transform: uppercase; letter-spacing: 0.07em; color: var(--soft); margin-bottom: 0.35rem; }
.answers { list-style: none; margin: 0; padding: 0; }
.answers > li { padding: 0.85rem 0 0.75rem; border-top: 1px solid var(--line); }
.answers > li:first-child { border-top: 0; padding-top: 0; }
.answers p { margin: 0; }
.answers .sentence { max-width: 46rem; }
.answers .lead { font-size: 1.25rem; line-height: 1.4; }
.care { color: var(--accent); font-family: var(--figures); font-size: 0.9rem; line-height: 1.45; max-width: 46rem; padding-left: 1.4rem; text-indent: -1.4rem; margin: 0.35rem 0 0; list-style: none; }
.care b { display: inline-block; width: 1.4rem; text-indent: 0; font-weight: 700; }
ul.cares { list-style: none; padding: 0; margin: 0.75rem 0; }
figure { margin: 1.25rem 0 1.5rem; }
figure svg { display: block; max-width: 100%; height: auto; }
.narrow { display: none !important; }
figcaption { margin-top: 0.6rem; max-width: 44rem; } .figure-title { color: var(--ink); } figcaption .source { margin: 0.35rem 0 0; }
.scroll { overflow-x: auto; margin: 0.5rem 0 0.75rem; }
.broad { position: relative; left: 50%; transform: translateX(-50%); width: fit-content; min-width: 100%; max-width: min(78rem, 100vw - 3rem); }
.fold > summary { font: 600 0.9rem/1.4 var(--figures); cursor: pointer; padding: 0.7rem 0; } .fold { margin: 0 0 1rem; }
th.name, td .end { white-space: nowrap; }
table { border-collapse: collapse; font-size: 0.86rem; line-height: 1.35; width: 100%; }
caption { text-align: left; font-weight: 700; padding: 0 0 0.4rem; }
th, td { text-align: left; vertical-align: top; padding: 0.36rem 0.8rem 0.36rem 0; border-bottom: 1px solid var(--line); }
thead th { vertical-align: bottom; border-bottom: 2px solid var(--ink); font-weight: 700; }
tbody th { font-weight: 600; }
th small, td small { display: block; font-weight: 400; font-size: 0.92em; color: var(--soft); }
.num { text-align: right; white-space: nowrap; } .num small { white-space: nowrap; }
.why { min-width: 8.5rem; }
.out td, .out th { color: var(--soft); }
.sign { vertical-align: -0.15em; margin-right: 0.3em; overflow: visible; }
dl { display: grid; grid-template-columns: minmax(8rem, max-content) 1fr; gap: 0.25rem 1.25rem; font-size: 0.92rem; line-height: 1.45; margin: 0.4rem 0 1rem; }
dt { color: var(--soft); } dd { margin: 0; }
.terms { font-size: 0.88rem; color: var(--soft); max-width: 50rem; grid-template-columns: 11rem 1fr; margin: 0.75rem 0 1.75rem; }
.traces { display: grid; grid-template-columns: repeat(auto-fill, minmax(11.5rem, 1fr)); gap: 1.1rem 1rem; margin: 1rem 0; padding: 0; list-style: none; }
.traces h3 { font: 700 0.85rem/1.3 var(--figures); margin: 0; } .traces p { font: 0.8rem/1.35 var(--figures); color: var(--soft); margin: 0 0 0.2rem; }
.traces > li > svg { width: 100%; height: auto; display: block; }
.pictures { display: grid; grid-template-columns: repeat(auto-fill, minmax(15rem, 1fr)); gap: 1.25rem; }
.pictures img { display: block; width: 100%; height: auto; } .pictures figure { margin: 0; }
.download { display: inline-block; font: 600 0.95rem/1.3 var(--figures); border: 1.5px solid var(--ink); padding: 0.6rem 1rem; text-decoration: none; margin: 0.25rem 0 0.5rem; }
code { font: 0.85em/1.4 ui-monospace, "Cascadia Mono", Menlo, "DejaVu Sans Mono", monospace; overflow-wrap: anywhere; }
.cautions li { margin: 0 0 0.55rem; max-width: 42rem; } .cautions { border-left: 4px solid var(--accent); padding: 0.2rem 0 0.2rem 2rem; margin-left: 0; }
footer { margin-top: 3.5rem; padding-top: 1rem; border-top: 1px solid var(--line); }
@media screen and (max-width: 44rem) { body { font-size: 1rem; } .wide { display: none !important; } .narrow { display: block !important; }
  dl, .terms { grid-template-columns: 1fr; gap: 0; } tbody th { min-width: 7rem; } dl dd { margin-bottom: 0.5rem; } .scroll table { min-width: 38rem; } }
@page { margin: 15mm 14mm 16mm; }
@media print { :root { --paper: #fff; --leaf: #fff; --ink: #000; --soft: #3c3c3c; --line: #b5b5b5; --accent: #8f3b06; --rope: #555; }
  html { font-size: 12.5px; } body { max-width: none; padding: 0; font-size: 10pt; line-height: 1.42; } table { font-size: 8pt; } th, td { padding-right: 0.5rem; }
  h1 { font-size: 21pt; } h2 { font-size: 14pt; margin-top: 1.6rem; } h3 { font-size: 11pt; } .answers .lead { font-size: 12.5pt; }
  h2, h3, caption, thead { break-after: avoid; } tr, figure, .own, .answers > li, .traces li, .cautions li { break-inside: avoid; } thead { display: table-header-group; }
  .scroll { overflow: visible; } .broad { position: static; transform: none; width: auto; max-width: none; } .own { margin: 0.5rem 0 0.7rem; padding: 0.35rem 0.8rem; }
  .fold::details-content { content-visibility: visible; block-size: auto; } .fold > summary { list-style: none; padding: 0.2rem 0; }
  .traces { grid-template-columns: repeat(4, 1fr); } .on-screen, .download, .figure-data { display: none; } h2 + .note { break-after: avoid; } p { orphans: 3; widows: 3; } }
`;
