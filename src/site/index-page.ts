import { markup } from "../report/mod.ts";
import { changedAt } from "./feed.ts";
import { sitePage } from "./page.ts";
import { isWithdrawn, type SiteAbout, type SiteEntry } from "./types.ts";

/**
 * The first page: all reports, the newest first, each with what it shows. With scripts on, a field narrows the list to what
 * holds all words typed; with scripts off the whole list stands there and the field does not.
 */
export function indexPage(entries: readonly SiteEntry[], about: SiteAbout): string {
  const sorted = entries.toSorted(
    (a, b) => lastOf(b).localeCompare(lastOf(a)) || a.seriesId.localeCompare(b.seriesId),
  );
  const hash = base64(about.sha256(searchScript));
  return sitePage({
    title: about.title,
    script: { text: searchScript, hash },
    head:
      entries.length === 0
        ? markup``
        : markup`<link rel="alternate" type="application/atom+xml" title="${about.title}" href="feed.xml">`,
    body: markup`<header>
<p class="kicker">Reports from the bench book</p>
<h1>${about.title}</h1>
<p class="meta">What spliced rope bore on a bench, pull by pull. A bench result is no certificate: it says what these specimens did, not what the next one will do.</p>
</header>
<main>
<div class="search" id="search" role="search" hidden><label for="words">Search the reports</label><input type="search" id="words" autocomplete="off"><output id="found" for="words"></output></div>
${entries.length === 0 ? markup`<p>Nothing has been published yet.</p>` : markup`<ul class="reports" id="reports">${sorted.map(listed)}</ul>`}
</main>
<footer><p>${entries.length === 0 ? "" : markup`<a href="feed.xml">What is new (Atom feed)</a>. `}Made by ${about.program}. This page asks nothing of any other place.</p></footer>`,
  });
}

function listed(entry: SiteEntry) {
  const { seriesId, title, tester, simulated, sentences, revisions, gone } = entry;
  const latest = revisions.at(-1);
  const state = gone === true ? "Taken out of the book" : isWithdrawn(entry) ? "Withdrawn" : "";
  const beside = [
    tester,
    latest === undefined ? "" : `revision ${latest.number} of ${latest.publishedAt.slice(0, 10)}`,
  ].filter(Boolean);
  return markup`<li><h2><a href="reports/${seriesId}/index.html">${title}</a></h2>
${state === "" ? "" : markup`<p class="state">${state}</p>`}
${simulated ? markup`<p class="state">Simulated: no rope was pulled</p>` : ""}
<p class="meta">${beside.join(", ")}</p>
${state === "" ? sentences.slice(0, 2).map((sentence) => markup`<p class="small">${sentence}</p>`) : ""}</li>
`;
}

function lastOf({ revisions }: SiteEntry): string {
  return revisions.map(changedAt).sort().at(-1) ?? "";
}

/** Each item that holds all words stays; how many do is said. */
const searchScript = `
const field = document.getElementById("words");
const items = [...document.querySelectorAll("#reports > li")].map((item) => [item, item.textContent.toLowerCase()]);
const found = document.getElementById("found");
if (items.length > 0) document.getElementById("search").hidden = false;
function search() {
  const words = field.value.toLowerCase().split(/\\s+/).filter(Boolean);
  let shown = 0;
  for (const [item, text] of items) {
    item.hidden = !words.every((word) => text.includes(word));
    if (!item.hidden) shown += 1;
  }
  found.textContent = words.length === 0 ? "" : shown === 1 ? "1 report" : shown + " reports";
}
field.addEventListener("input", search);
search();
`;

/** Hexadecimal digits as base 64, as a content security policy wants a hash. */
function base64(hex: string): string {
  const bytes = (hex.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16));
  return btoa(String.fromCharCode(...bytes));
}
