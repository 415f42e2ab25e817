import type { CutBatch, CutSheet, SheetSpecimen } from "../../splice/mod.ts";
import { formatForceTwice, newtons } from "../../units/mod.ts";
import { drawStep } from "../figures/step-figures.ts";
import { Markup, markup } from "../markup.ts";
import { cares, facts, heading, table } from "../page-parts.ts";
import { style } from "../style.ts";
import { cutSheetStyle } from "./cut-sheet-style.ts";
import { qrMark } from "./qr-mark.ts";
import { mostStripMm, ruleStrips } from "./rule-strip.ts";
import { schematic } from "./schematic.ts";

/**
 * A cut sheet as one HTML page to print on A4 or Letter: for each batch what to cut and where to mark, as a table, a
 * schematic and rule strips true to scale; steps and specimens to tick off; fields for what was made; labels.
 *
 * Strips, check length and QR marks are drawn in millimetres of paper, so it must be printed at 100 %: the page says so and
 * shows a length to measure. It asks nothing of a network and runs no script; the same sheet gives the same bytes.
 *
 * @example
 * renderCutSheet({ title: "Loops", batches: [], open: [], ropeM: 0 }, { paper: "a4" }).startsWith("<!doctype html>") // true
 */
export function renderCutSheet(sheet: CutSheet, { paper }: { readonly paper: "a4" | "letter" }): string {
  const specimens = sheet.batches.flatMap((batch) =>
    batch.specimens.map((specimen) => ({ batch, specimen })),
  );
  const page = markup`<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="referrer" content="no-referrer">
<title>Cut sheet: ${sheet.title}</title>
<style>${new Markup(style + cutSheetStyle(paper))}</style>
</head>
<body>
<header><p class="kicker">Cut sheet</p><h1>${sheet.title}</h1>
<p class="meta">${specimens.length} to cut, ${sheet.ropeM.toFixed(2)} m of rope.</p></header>
<main>
${openSpecimens(sheet)}
${cautions}
${sheet.batches.map(batchSection)}
${specimens.length === 0 ? "" : asMadeSection(specimens)}
${specimens.length === 0 ? "" : labelSection(specimens)}
</main>
</body>
</html>
`;
  return `<!doctype html>\n${page.text}`;
}

const box = markup`<span class="box" aria-hidden="true"></span>`;

const cautions = markup`<section aria-labelledby="cautions"><h2 id="cautions">Before the knife</h2><ul class="cautions">
<li><strong>The hot knife burns, and HMPE’s smoke is not for lungs.</strong> Cut in moving air, lay the knife in its rest, and let cut ends cool before they are touched.</li>
<li><strong>Fid and needle go away from the hand</strong> that holds the rope, never towards the palm.</li>
<li><strong>Gloves</strong> for pulling rope under load and for melted ends; none near anything that turns.</li>
<li><strong>A splice is set on the bench as a pull is made</strong>: enclosed, nobody in line or in the bight, pressure off before coming near.</li>
</ul></section>`;

function openSpecimens({ open }: CutSheet): Markup {
  if (open.length === 0) return markup``;
  const rows = open.map(
    ({ label, problems }) =>
      markup`<tr><th scope="row">${label}</th><td>${problems.map(({ message, wayOut = "" }) => markup`<div>${message} ${wayOut}</div>`)}</td></tr>`,
  );
  return markup`<section aria-labelledby="open"><h2 id="open">Cannot be cut yet</h2>${table({ caption: "What is wanting", head: [heading("Specimen"), heading("Why")], rows })}</section>`;
}

function batchSection(batch: CutBatch, index: number): Markup {
  const { rope, recipe, wanted, marked, specimens, setLoadN, massG, cost, warnings } = batch;
  const { cut } = marked;
  const tension =
    (wanted.tensionN ?? 0) > 0 ? ` at ${formatForceTwice(newtons(wanted.tensionN ?? 0))}` : ", slack";
  return markup`<section aria-labelledby="batch-${index}"${index > 0 ? markup` class="new-page"` : ""}><h2 id="batch-${index}">${specimens.length} × ${recipe.name}: cut ${cut.pieces === 2 ? "two pieces of " : ""}${cut.pieceMm.toFixed(0)} mm</h2>
${facts([
  ["Rope", `${rope.name}, ${rope.nominalDiameterMm} mm, ${rope.construction}`],
  ["Recipe", `${recipe.name}, version ${recipe.version}`],
  ["Wanted", `${wanted.lengthMm.toFixed(0)} mm ${measureWords[wanted.measure]}${tension}${pins(batch)}`],
  [
    "Comes out",
    `${cut.finishedLengthMm.toFixed(1)} mm ± ${cut.finishedUncertaintyMm.toFixed(1)} mm (one standard deviation); slack, as spliced, ${cut.slackLengthMm.toFixed(1)} mm`,
  ],
  [
    "Shortest",
    `${cut.shortestMm.toFixed(1)} mm; ${cut.spareMm.toFixed(0)} mm of rope to spare beside the tails`,
  ],
  [
    "Pull to set",
    setLoadN === undefined
      ? "not known: enter the rope’s rated strength and the recipe’s share"
      : `${formatForceTwice(newtons(setLoadN))}${recipe.setHoldS === undefined ? "" : `, hold ${recipe.setHoldS} s`}`,
  ],
  ["Stitch", recipe.lockStitch],
  ["Mass", massG === undefined ? "" : `${massG.toFixed(0)} g in all`],
  ["Cost", cost === undefined ? "" : `${cost.value.toFixed(2)} ${cost.currency} in all`],
])}
${cares(warnings)}
${schematic(batch)}
${cutList(batch)}
${marksTable(batch)}
${partsTable(batch)}
${recipe.steps.length === 0 ? "" : markup`<h3>Steps</h3><ol class="steps">${recipe.steps.map(({ text, figure }) => markup`<li>${figure === undefined ? "" : new Markup(drawStep(figure))}<div>${box}${text}</div></li>`)}</ol>`}
${strips(batch)}</section>`;
}

const measureWords = {
  inside: "inside, crown to crown",
  "pin centres": "between pin centres",
  circumference: "inside circumference",
} as const;

function pins({ wanted: { nearPinMm = 0, farPinMm = 0 } }: CutBatch): string {
  return nearPinMm === 0 && farPinMm === 0 ? "" : `, over pins of ${nearPinMm} and ${farPinMm} mm`;
}

function cutList({ specimens, marked: { cut } }: CutBatch): Markup {
  const rows = specimens.map(
    ({ label, spoolName = "", levels, maker }) =>
      markup`<tr><th scope="row">${label}</th><td>${spoolName}</td><td>${levels}</td><td>${maker}</td><td class="num">${cut.pieces === 2 ? "2 × " : ""}${cut.pieceMm.toFixed(0)}</td><td>${box}cut</td><td>${box}marked</td><td>${box}tapered</td><td>${box}buried</td><td>${box}set</td></tr>`,
  );
  const head = ["Specimen", "Spool", "Levels", "Maker", "Cut, mm", "Step 1", "2", "3", "4", "5"].map((text) =>
    heading(text, text === "Cut, mm"),
  );
  return table({ caption: "Cut list", head, rows });
}

function marksTable({ marked, rope }: CutBatch): Markup {
  const [near, far] = marked.ends;
  const alike = JSON.stringify(near.marks) === JSON.stringify(far.marks);
  const ends = alike ? [near] : [near, far];
  return markup`${ends.map((end) => {
    const rows = end.marks.map(
      ({ kind, says, fromEndMm, picks }) =>
        markup`<tr><th scope="row">${kind}</th><td class="num">${fromEndMm.toFixed(1)}</td><td class="num">${picks === undefined ? "" : picks.toFixed(1)}</td><td>${says}</td></tr>`,
    );
    const picked = rope.pickLengthMm === undefined ? "Picks" : `Picks of ${rope.pickLengthMm} mm`;
    return table({
      caption: alike ? "Marks from either end" : `Marks from the ${end.says}`,
      head: [
        heading("Mark"),
        heading("From the end, mm", true),
        heading(picked, true),
        heading("What it is"),
      ],
      rows,
    });
  })}`;
}

function partsTable({ marked: { cut } }: CutBatch): Markup {
  const rows = cut.terms.map(
    ({ name, says, valueMm, spreadMm, source }) =>
      markup`<tr><th scope="row">${name}</th><td class="num">${valueMm.toFixed(1)}</td><td class="num">${spreadMm.toFixed(1)}</td><td>${says}<small>${source}</small></td></tr>`,
  );
  const sum = markup`<tr><th scope="row">cut length</th><td class="num">${cut.cutLengthMm.toFixed(1)}</td><td class="num">${cut.cutUncertaintyMm.toFixed(1)}</td><td>sum; spreads together as the root of the sum of squares</td></tr>`;
  return table({
    caption: "What the cut length is made of",
    head: [
      heading("Part"),
      heading("mm", true),
      heading("± mm", true),
      heading("What it is, and its source"),
    ],
    rows: [...rows, sum],
  });
}

function strips({ marked }: CutBatch): Markup {
  const [near, far] = marked.ends;
  const alike = JSON.stringify(near.marks) === JSON.stringify(far.marks);
  const beyond = [...near.marks, ...far.marks].some(({ fromEndMm }) => fromEndMm > mostStripMm);
  return markup`<div class="new-page"><h3>Rule strips, true to scale</h3>
<p class="small">Print at 100 %, with no fitting to the page. The bar must measure 100 mm; if it does not, do not mark from these strips. Cut them out and lay them end to end from 0.${beyond ? ` They end at ${mostStripMm} mm; marks beyond stand in the table.` : ""}</p>
${checkLength}
${(alike ? [near] : [near, far]).map((end) => markup`<h3>${alike ? "From either end" : `From the ${end.says}`}</h3><div class="strips" role="region" aria-label="Rule strips" tabindex="0">${ruleStrips(end)}</div>`)}</div>`;
}

const checkLength = markup`<svg class="check-length" width="110mm" height="9mm" viewBox="0 0 110 9" role="img" aria-label="A bar of 100 mm to measure"><path d="M5 1v5M105 1v5M5 3.5H105" fill="none" stroke="currentColor" stroke-width="0.4"/><text x="55" y="7.6" font-size="3" text-anchor="middle" fill="currentColor">100 mm</text></svg>`;

type Entry = { readonly batch: CutBatch; readonly specimen: SheetSpecimen };

function asMadeSection(entries: readonly Entry[]): Markup {
  const names = [
    "Cut",
    "Full 1",
    "Taper 1",
    "Full 2",
    "Taper 2",
    "Slack",
    "At tension",
    "Picks per step",
    "Minutes",
  ];
  const rows = entries.map(
    ({ specimen }) =>
      markup`<tr><th scope="row">${specimen.label}</th>${names.map(() => markup`<td class="blank"></td>`)}<td class="blank"></td></tr>`,
  );
  return markup`<section class="as-made new-page" aria-labelledby="as-made"><h2 id="as-made">As made</h2>
<p class="small">Lengths in mm. Splicer: ____________________ Date: ______________ Tension for the length at tension: ______________</p>
${table({ caption: "What was really made", head: ["Specimen", ...names, "Done again, notes"].map((text) => heading(text)), rows })}</section>`;
}

function labelSection(entries: readonly Entry[]): Markup {
  return markup`<section class="new-page" aria-labelledby="labels"><h2 id="labels">Labels</h2><div class="labels">${entries.map(
    ({ batch, specimen: { id, label, link, levels } }) =>
      markup`<div class="tag"><div>${link === undefined ? "" : qrMark(link, 26)}</div><div><b>${label}</b>${batch.recipe.name}, v${batch.recipe.version}<br>${batch.rope.name}, ${batch.rope.nominalDiameterMm} mm${levels === "" ? "" : markup`<br>${levels}`}<br><code>${id}</code></div></div>`,
  )}</div></section>`;
}
