import {
  boundMethodWords,
  type CellFindings,
  meanMinusSdConfidence,
  meanUncertainty,
  type StatedBound,
} from "../../findings/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { withUnitsKept } from "../../units/mod.ts";
import { bothForces, forcesHead } from "../forces-shown.ts";
import { type Markup, markup, type Part } from "../markup.ts";
import { Footnotes, heading, outcomeWord, table, terms } from "../page-parts.ts";
import { type Measured, type SharedForces, sharedForces, sharedPercents } from "../shared-digits.ts";
import type { ReportInput } from "../types.ts";

/** The cells of the plan in numbers: what was found, and what may be stated from it, each term explained beneath. */
export function cellsSection({ findings }: ReportInput): Markup {
  if (findings.pulls.length === 0) return markup``;
  const { cells } = findings;
  const notes = new Footnotes();
  const digits = cellDigits(cells);
  const found = table({
    caption: "Each cell of the plan: strength",
    head: [
      heading("Cell"),
      heading("n", true),
      heading("Ended"),
      heading(forcesHead("Mean"), true),
      heading(forcesHead("95 % interval"), true),
      heading(forcesHead("SD"), true),
      heading("CV", true),
      heading("Line eff.", true),
      heading("Leg eff.", true),
    ],
    rows: cells.map((cell) => foundRow(cell, madeOf(cell, findings), notes, digits)),
  });
  const foundNotes = notes.list();
  const bounds = new Footnotes();
  const stated = table({
    caption: "Each cell of the plan: lower bounds",
    head: [
      heading("Cell"),
      heading("n", true),
      heading(forcesHead("Lowest"), true),
      heading(forcesHead("Mean − 3 SD"), true),
      heading(forcesHead(`Stated: ${findings.statedBy.name}`), true),
      heading("Pulls in it", true),
    ],
    rows: cells.map((cell) => boundsRow(cell, bounds, digits, findings.statedBy.content)),
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
  [
    "95/95 and such",
    "The first number is the share of all such specimens that should be stronger than the bound; the second is how sure that is, both in per cent. Under each bound stand these two, the method and the n that it rests on.",
  ],
  [
    "Lowest",
    "The weakest pull that counts. With few pulls it says little: the next may well be weaker. The chance under it is 1 − share^n, whatever the law of scatter.",
  ],
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

/** How the figures of both tables are written. */
type CellDigits = {
  readonly force: SharedForces;
  readonly percent: (fraction: number) => string;
  readonly cv: (fraction: number) => string;
};

function cellDigits(cells: readonly CellFindings[]): CellDigits {
  const column = (
    of: (cell: CellFindings) => Result<number>,
    uncertainty: (cell: CellFindings, value: number) => number,
  ): Measured[] =>
    cells.flatMap((cell) => {
      const found = of(cell);
      return found.ok ? [{ value: found.value, uncertainty: uncertainty(cell, found.value) }] : [];
    });
  const forces = (of: (cell: CellFindings) => Result<number>) => column(of, (cell) => uncertaintyOf(cell));
  const shares = (of: (cell: CellFindings) => Result<number>) =>
    column(of, (cell, value) =>
      cell.meanN.ok ? (value * uncertaintyOf(cell)) / cell.meanN.value : value / 100,
    );
  const end = (at: 0 | 1) => (cell: CellFindings) => mapped(cell.meanIntervalN, (interval) => interval[at]);
  return {
    force: sharedForces([
      forces(({ meanN }) => meanN),
      forces(end(0)),
      forces(end(1)),
      forces(({ sdN }) => sdN),
      forces(({ lowestN }) => lowestN),
      forces(({ meanMinus3SdN }) => meanMinus3SdN),
      forces(({ bound }) => mapped(bound, ({ boundN }) => boundN)),
    ]),
    percent: sharedPercents([
      shares(({ meanLineEfficiency }) => meanLineEfficiency),
      shares(({ meanLegEfficiency }) => meanLegEfficiency),
    ]),
    cv: sharedPercents([
      column(
        ({ cv }) => cv,
        ({ n }, value) => value * relativeOfSd(n),
      ).map((cv) => ({ ...cv, tell: cv.uncertainty / 10 })),
    ]),
  };
}

function foundRow(cell: CellFindings, made: string, notes: Footnotes, digits: CellDigits): Markup {
  const { force, percent } = digits;
  const beside = [cell.kind === "planned" || cell.kind === "no specimen" ? "" : cell.kind, made].filter(
    Boolean,
  );
  const share = (result: Result<number>) =>
    cellOf(result, notes, (value, warnings) =>
      number(markup`${percent(value)}${warnings.map(({ message }) => notes.letter(message))}`),
    );
  const cells = [
    markup`<th scope="row">${withUnitsKept(cell.label)}${beside.map((text) => markup`<small>${text}</small>`)}</th>`,
    number(cell.n),
    markup`<td>${ended(cell)}</td>`,
    cellOf(cell.meanN, notes, (value) => number(bothForces(force(value)))),
    cellOf(cell.meanIntervalN, notes, (interval) => intervalCell(interval, force)),
    cellOf(cell.sdN, notes, (value) => number(bothForces(force(value)))),
    cellOf(cell.cv, notes, (value) => number(digits.cv(value))),
    share(cell.meanLineEfficiency),
    share(cell.meanLegEfficiency),
  ];
  return markup`<tr>${cells}</tr>`;
}

function number(part: Part): Markup {
  return markup`<td class="num">${part}</td>`;
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

function intervalCell([low, high]: readonly [number, number], force: SharedForces): Markup {
  const [from, to] = [low > 0 ? force(low) : { kN: "below 0", lbf: "below 0" }, force(high)];
  return number(bothForces({ kN: `${from.kN} to ${to.kN}`, lbf: `${from.lbf} to ${to.lbf}` }));
}

function boundsRow(cell: CellFindings, notes: Footnotes, { force }: CellDigits, content: number): Markup {
  const bound = (
    value: number,
    warnings: readonly { readonly message: string }[],
    basis: Pick<StatedBound, "method" | "content" | "confidence" | "n">,
  ) => {
    const marks = warnings.map(({ message }) => notes.letter(message));
    const figure = value > 0 ? bothForces(force(value), { beside: marks }) : markup`below 0 ${marks}`;
    return markup`<td class="num bound">${figure}<small>${basisOf(basis)}</small></td>`;
  };
  const { n } = cell;
  const cells = [
    markup`<th scope="row">${withUnitsKept(cell.label)}</th>`,
    number(n),
    cellOf(cell.lowestN, notes, (value, warnings) =>
      bound(value, warnings, { method: "lowest", content, confidence: 1 - content ** n, n }),
    ),
    cellOf(cell.meanMinus3SdN, notes, (value, warnings) =>
      bound(value, warnings, {
        method: "mean-3sd",
        content,
        confidence: meanMinusSdConfidence({ n, factor: 3, content }),
        n,
      }),
    ),
    cellOf(cell.bound, notes, (stated, warnings) =>
      bound(stated.boundN, [{ message: stated.meaning }, ...warnings], stated),
    ),
    number(pullsIn(cell)),
  ];
  return markup`<tr>${cells}</tr>`;
}

/** What no bound is shown without: for what share, how surely, by which method, from how many pulls. */
function basisOf(basis: Pick<StatedBound, "method" | "content" | "confidence" | "n">): string {
  const share = (fraction: number) => String(Number((fraction * 100).toPrecision(fraction > 0.99 ? 4 : 2)));
  return `${share(basis.content)}/${share(basis.confidence)}, ${boundMethodWords[basis.method]}, n\u00a0=\u00a0${basis.n}`;
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

function mapped<T, U>(result: Result<T>, of: (value: T) => U): Result<U> {
  return result.ok ? { ...result, value: of(result.value) } : result;
}

/** Of a standard deviation of n normal values: 1 / √(2(n − 1)), for large n (GUM, E.4.3 has the exact ones). */
function relativeOfSd(n: number): number {
  return 1 / Math.sqrt(2 * (n - 1));
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
