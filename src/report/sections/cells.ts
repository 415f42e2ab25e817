import {
  boundMethodWords,
  type CellFindings,
  forceFigures,
  meanUncertainty,
  percentText,
  type StatedBound,
  singlePullUncertainty,
  toUncertainty,
} from "../../findings/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { type Markup, markup } from "../markup.ts";
import { Footnotes, forceCell, heading, kept, outcomeWord, table, terms } from "../page-parts.ts";
import type { ReportInput } from "../types.ts";

/** The cells of the plan in numbers: what was found, and what may be stated from it, each term explained beneath. */
export function cellsSection({ findings }: ReportInput): Markup {
  if (findings.pulls.length === 0) return markup``;
  const { cells } = findings;
  const notes = new Footnotes();
  const found = table({
    caption: "Each cell of the plan: strength",
    head: [
      heading("Cell"),
      heading("n", true),
      heading("Ended"),
      heading(markup`Mean, kN`, true),
      heading("95 % interval, kN", true),
      heading("SD, kN", true),
      heading("CV", true),
      heading("Line eff.", true),
      heading("Leg eff.", true),
    ],
    rows: cells.map((cell) => foundRow(cell, madeOf(cell, findings), notes)),
  });
  const foundNotes = notes.list();
  const bounds = new Footnotes();
  const stated = table({
    caption: "Each cell of the plan: lower bounds",
    head: [
      heading("Cell"),
      heading("n", true),
      heading("Lowest, kN", true),
      heading("Mean − 3 SD, kN", true),
      heading(markup`Stated: ${findings.statedBy.name}, kN`, true),
      heading("Pulls in it", true),
    ],
    rows: cells.map((cell) => boundsRow(cell, bounds)),
  });
  return markup`<section aria-labelledby="cells"><h2 id="cells">The numbers, cell by cell</h2>
${found}${foundNotes}
${terms([
  ["Cell", "One combination of what was varied on purpose."],
  ["n", "How many pulls count: those that broke or slipped. Stopped, void and unjudged pulls are not in n."],
  ["Mean", "The strengths added up and divided by n."],
  [
    "95 % interval",
    "Where the true mean probably lies, if the strengths scatter normally (most near the middle, few far off, as much above as below). Few pulls make it wide.",
  ],
  ["SD, standard deviation", "How far a single strength typically lies from the mean."],
  [
    "CV, coefficient of variation",
    "The SD as a share of the mean, so that small and large ropes can be compared.",
  ],
  ["Line efficiency", "Strength divided by the rope’s rated strength."],
  [
    "Leg efficiency",
    "Strength divided by the rated strength times the legs that share the load: two in a loop, four in a doubled loop.",
  ],
])}
${stated}${bounds.list()}
${terms([
  ["Lowest", "The weakest pull that counts. With few pulls it says little: the next may well be weaker."],
  [
    "Mean − 3 SD",
    "Customary in rope testing. How much it promises depends on n: see what so few pulls can claim, above.",
  ],
  [
    markup`Stated: ${findings.statedBy.name}`,
    markup`The strength that the tester states of each cell, by the method chosen for this series (${boundMethodWords[findings.statedBy.method]}). The letter beside a figure leads to the sentence of what it claims; “the population” is all specimens made and pulled like these. ${lawOf(findings.statedBy.method)} Pulls in it: those that count, and with them those that were stopped, as at least what they bore.`,
  ],
])}
<p class="note">Figures are rounded to what their uncertainty leaves of them. The CSV below has them unrounded.</p></section>`;
}

function foundRow(cell: CellFindings, made: string, notes: Footnotes): Markup {
  const u = uncertaintyOf(cell);
  const relativeOfSd = 1 / Math.sqrt(2 * (cell.n - 1));
  const beside = [cell.kind === "planned" || cell.kind === "no specimen" ? "" : cell.kind, made].filter(
    Boolean,
  );
  const cells = [
    markup`<th scope="row">${kept(cell.label)}${beside.map((text) => markup`<small>${text}</small>`)}</th>`,
    markup`<td class="num">${cell.n}</td>`,
    markup`<td>${ended(cell)}</td>`,
    cellOf(cell.meanN, notes, (value) => forceCell(value, u)),
    cellOf(cell.meanIntervalN, notes, (interval) => intervalCell(interval, u)),
    cellOf(cell.sdN, notes, (value) => forceCell(value, value * relativeOfSd)),
    cellOf(
      cell.cv,
      notes,
      (value) => markup`<td class="num">${percentText(value, value * relativeOfSd)}</td>`,
    ),
    percentCell(cell.meanLineEfficiency, cell, notes),
    percentCell(cell.meanLegEfficiency, cell, notes),
  ];
  return markup`<tr>${cells}</tr>`;
}

/** Rope and recipe of a cell, as far as its pulls name them. */
function madeOf({ pulls }: CellFindings, findings: ReportInput["findings"]): string {
  const ids = new Set(pulls);
  const those = findings.pulls.filter(({ pullId }) => ids.has(pullId));
  const names = those.map(({ ropeName, recipeName }) =>
    [ropeName, recipeName].filter((name) => name !== undefined).join(" · "),
  );
  return [...new Set(names)].filter(Boolean).join("; ");
}

function intervalCell([low, high]: readonly [number, number], uncertaintyN: number): Markup {
  const [from, to] = [forceFigures(low, uncertaintyN), forceFigures(high, uncertaintyN)];
  const least = low > 0 ? from : { kN: "below 0", lbf: "below 0" };
  return markup`<td class="num">${least.kN} to ${to.kN}<small>${least.lbf} to ${to.lbf} lbf</small></td>`;
}

function boundsRow(cell: CellFindings, notes: Footnotes): Markup {
  const u = uncertaintyOf(cell);
  const bound = (value: number, warnings: readonly { readonly message: string }[]) => {
    const marks = warnings.map(({ message }) => notes.letter(message));
    return value > 0 ? forceCell(value, u, marks) : markup`<td class="num">below 0 ${marks}</td>`;
  };
  const cells = [
    markup`<th scope="row">${kept(cell.label)}</th>`,
    markup`<td class="num">${cell.n}</td>`,
    cellOf(cell.lowestN, notes, (value) => forceCell(value, singlePullUncertainty(value))),
    cellOf(cell.meanMinus3SdN, notes, bound),
    cellOf(cell.bound, notes, (stated, warnings) =>
      bound(stated.boundN, [{ message: stated.meaning }, ...warnings]),
    ),
    markup`<td class="num">${pullsIn(cell)}</td>`,
  ];
  return markup`<tr>${cells}</tr>`;
}

function pullsIn({ bound, n, stopped }: CellFindings): Markup {
  if (!bound.ok) return markup`${n + stopped}`;
  const { value } = bound;
  return markup`${value.n}${value.stopped === 0 ? "" : markup`<small>${value.stopped} stopped</small>`}`;
}

/** How a bound comes by its figure, in a sentence for somebody who knows no statistics. */
function lawOf(method: StatedBound["method"]): string {
  if (method === "normal" || method === "lognormal" || method === "weibull")
    return "Few pulls put it far below the mean: by 7.7 standard deviations for 3 of them, 4.2 for 5, 2.9 for 10 (normal, 95/95).";
  if (method === "mean-3sd" || method === "lowest")
    return "It is a custom, and how surely it holds depends on the number of pulls.";
  return "It assumes little of how strengths scatter, and asks for more pulls or lies lower for that.";
}

function cellOf<T>(
  result: Result<T>,
  notes: Footnotes,
  draw: (value: T, warnings: readonly { readonly message: string }[]) => Markup,
): Markup {
  return result.ok ? draw(result.value, result.warnings) : notes.refusal(result);
}

function percentCell(result: Result<number>, cell: CellFindings, notes: Footnotes): Markup {
  return cellOf(result, notes, (value, warnings) => {
    const relative = cell.meanN.ok ? uncertaintyOf(cell) / cell.meanN.value : 0.01;
    return markup`<td class="num">${toUncertainty(value * 100, value * 100 * relative)} %${warnings.map(({ message }) => notes.letter(message))}</td>`;
  });
}

function uncertaintyOf({ meanN, sdN, n }: CellFindings): number {
  return meanN.ok ? meanUncertainty(meanN.value, sdN.ok ? sdN.value : undefined, n) : Number.NaN;
}

function ended({ outcomes, pulls }: CellFindings): Markup {
  if (pulls.length === 0) return markup`no pull`;
  const judged = (["broke", "slipped", "stopped", "void"] as const).filter((kind) => outcomes[kind] > 0);
  const open = pulls.length - judged.reduce((sum, kind) => sum + outcomes[kind], 0);
  const words = judged.map((kind) => markup`<span class="end">${outcomeWord(kind)} ${outcomes[kind]}</span>`);
  if (open > 0) words.push(markup`not judged ${open}`);
  return markup`${words.map((word, index) => (index === 0 ? word : markup`<br>${word}`))}`;
}
