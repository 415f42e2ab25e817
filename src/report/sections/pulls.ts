import {
  hasStrength,
  type JudgedPull,
  pullName,
  type SeriesFindings,
  toUncertainty,
} from "../../findings/mod.ts";
import type { Warning } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import { csvLink, pullsCsv } from "../csv.ts";
import { figureTrace, thinWindow } from "../figures/figure-trace.ts";
import { traceMarks } from "../figures/marks-of-reading.ts";
import { bothForces, forcesHead } from "../forces-shown.ts";
import { Markup, markup } from "../markup.ts";
import { cares, heading, outcomeWord, ownWords, table, terms } from "../page-parts.ts";
import type { ReportInput } from "../types.ts";
import { overlayFigures } from "./overlay.ts";
import { type PullDigits, pullDigits } from "./pull-digits.ts";

/** Every pull in one table, also those that do not count, and the data to take away. */
export function pullsSection(input: ReportInput): Markup {
  const { series, findings } = input;
  if (findings.pulls.length === 0) return markup``;
  const shown = columnsOf(findings.pulls);
  const digits = pullDigits(findings.pulls);
  const rows = findings.pulls.map((pull, index) => pullRow(input, pull, { index, shown, digits }));
  return markup`<section aria-labelledby="pulls"><h2 id="pulls">Each pull in numbers</h2>
${table({
  caption: `All ${findings.pulls.length} pulls, in the order of pulling`,
  broad: true,
  head: [
    heading("No.", true),
    heading("Specimen"),
    ...series.factors.map((factor) =>
      heading(factor.unit === "" ? factor.name : `${factor.name}, ${factor.unit}`, isNumeric(factor)),
    ),
    heading("Ended"),
    heading(forcesHead("Strength"), true),
    heading("Line eff.", true),
    heading("Leg eff.", true),
    heading(markup`Rate, <span class="kn">kN/s</span><span class="in-lbf">lbf/s</span>`, true),
    ...(shown.slips ? [heading(forcesHead("First slip"), true)] : []),
    ...(shown.settling ? [heading("Settling per decade", true)] : []),
    heading("Counts as"),
  ],
  rows,
})}
${termsOf(findings.pulls, shown)}
<p><a class="download" download="${fileName(series.title)}" href="${csvLink(pullsCsv(input))}">Download the data (CSV)</a></p>
<p class="note on-screen">The file lies in this page itself. Forces in it are in newtons and unrounded.</p>
${doubts(findings.pulls)}${pullNotes(input)}</section>`;
}

/** What went wrong in the tester’s words; what was left out of the figures, and why. */
export function leftOutSection({ findings, series }: ReportInput): Markup {
  if (findings.pulls.length === 0) return markup``;
  const out = findings.pulls.filter(({ use }) => use === "left out");
  const bounds = findings.pulls.filter(({ use }) => use === "lower bound");
  return markup`<section aria-labelledby="left-out"><h2 id="left-out">What went wrong, and what was left out</h2>
${ownWords("What was done otherwise, in the tester’s words", series.deviations)}
${out.length === 0 ? markup`<p>Nothing: every pull was judged and has a strength.</p>` : markup`<ul>${out.map((pull) => markup`<li><strong>${pullName(pull)}</strong>: ${pull.whyLeftOut ?? ""}</li>`)}</ul>`}
${bounds.length === 0 ? "" : markup`<p>${bounds.every(({ outcome }) => outcome?.kind === "stopped") ? "Stopped pulls" : "Pulls that were stopped, or whose peak the recording does not show,"} are no strengths but lower bounds. They are drawn and listed, and stand in no mean, SD or bound:</p><ul>${bounds.map((pull) => markup`<li><strong>${pullName(pull)}</strong>: ${stopReason(pull)}</li>`)}</ul>`}</section>`;
}

/** The force-time curves of all pulls side by side, on one force axis. */
export function tracesSection(input: ReportInput): Markup {
  const { findings, traces, readings = {}, series } = input;
  const drawn = findings.pulls.filter(({ pullId }) => Object.hasOwn(traces, pullId));
  if (drawn.length === 0) return markup``;
  const topN = drawn.reduce(
    (top, { pullId }) =>
      (traces[pullId]?.highN ?? []).reduce<number>((most, value) => Math.max(most, value ?? 0), top),
    0,
  );
  const items = drawn.map((pull, index) => {
    const window = traces[pull.pullId];
    if (window === undefined) return "";
    const svg = figureTrace(thinWindow(window, 200), {
      id: `trace-${index + 1}`,
      title: `Force over time, ${pullName(pull)}`,
      width: 220,
      height: 128,
      small: true,
      topN,
      simulated: series.simulated,
      ...traceMarks(readings[pull.pullId]),
    });
    return markup`<li><h3>${pullName(pull)}</h3><p>${outcomeWord(pull.outcome?.kind)}${series.simulated ? ", simulated" : ""}</p>${new Markup(svg)}</li>`;
  });
  return markup`<section aria-labelledby="traces"><h2 id="traces">The curves</h2>
${overlayFigures(input)}
<h3>Each pull by itself</h3>
<p class="note">${series.simulated ? markup`<strong>Simulated data.</strong> ` : ""}Force in kN upward, time in seconds along (rows of the recording where it has no time), as recorded: the load cell’s reading at rest is still in it. All share one force axis. A ring marks the peak, the bar through it its expanded uncertainty (k = 2; an arrow upward where it was at least this), an arrow down a sudden drop, a barred tick a slip, shaded stretches the phases, the dotted line what was taken as zero. The peaks stand in the table above.</p>
<ol class="traces">${items}</ol></section>`;
}

/** What each column says, for those columns that are there. */
function termsOf(pulls: readonly JudgedPull[], shown: Shown): Markup {
  const some = (has: (pull: JudgedPull) => boolean) => pulls.some(has);
  const rows: readonly (readonly [string, string] | false)[] = [
    [
      "Strength",
      "The greatest force that the specimen bore, with the load cell’s reading at rest taken off. Figures of the table share their digits: as many as the uncertainty leaves the surest of them, and one more where two that differ would look equal.",
    ],
    some(({ strengthExpandedN }) => strengthExpandedN !== undefined) && [
      "±",
      "Its expanded uncertainty (k = 2): the true force lies within it about 19 times in 20. It says how well this pull was read and with which cell, not how specimens differ from one to the next.",
    ],
    some(({ use }) => use === "lower bound") && [
      "≥",
      "At least this: the pull was stopped, or the recording does not show its peak.",
    ],
    ["Line efficiency", "Strength as a share of the rope’s rated strength."],
    ["Leg efficiency", "Strength as a share of the rated strength times the legs that carry together."],
    [
      "Rate",
      `How fast the force grew on average before the peak${some(({ loadingRateRatedPerMin }) => loadingRateRatedPerMin !== undefined) ? ", and under it the share of the rated strength in each minute" : ""}. Rates within half a per cent of one another are not told apart.`,
    ],
    shown.slips && [
      "First slip",
      "The force at which a splice that gripped again first gave way, net of the rest and not corrected by the cell’s certificate.",
    ],
    shown.settling && [
      "Settling per decade",
      "The part of a hold’s force at its start that is lost in each tenfold of time, with its 95 % interval.",
    ],
    [
      "Counts as",
      "Counted: in every mean, SD and bound. Lower bound: known only to have borne so much. Left out: for the reason given.",
    ],
  ];
  return terms(rows.filter((row) => row !== false));
}

/** Columns that only some series have. */
type Shown = { readonly slips: boolean; readonly settling: boolean };

function columnsOf(pulls: readonly JudgedPull[]): Shown {
  return {
    slips: pulls.some(({ firstSlipN }) => firstSlipN !== undefined),
    settling: pulls.some(({ settlingPerDecade }) => settlingPerDecade !== undefined),
  };
}

function pullRow(
  { series, findings }: ReportInput,
  pull: JudgedPull,
  { index, shown, digits }: { readonly index: number; readonly shown: Shown; readonly digits: PullDigits },
): Markup {
  const beside = namesThatDiffer(findings).map((of) => of(pull) ?? "none named");
  const { outcome } = pull;
  const place = outcome?.kind === "broke" || outcome?.kind === "slipped" ? outcome.place : "";
  const cells = [
    markup`<td class="num">${pull.order ?? index + 1}</td>`,
    markup`<th scope="row" class="name">${pullName(pull)}${small(beside.join(" · "))}</th>`,
    series.factors.map(
      (factor) =>
        markup`<td${isNumeric(factor) ? markup` class="num"` : ""}>${pull.levels[factor.name] ?? "not given"}</td>`,
    ),
    markup`<td><span class="end">${outcomeWord(outcome?.kind)}</span>${small(place)}${small(recordingSays(pull))}</td>`,
    strengthCell(pull, digits),
    percentCell(pull, pull.lineEfficiency, digits),
    percentCell(pull, pull.legEfficiency, digits),
    rateCell(pull, digits),
    shown.slips ? firstSlipCell(pull.firstSlipN, digits) : "",
    shown.settling ? settlingCell(pull.settlingPerDecade) : "",
    markup`<td${pull.whyLeftOut === undefined ? "" : markup` class="why"`}>${pull.use}${small(pull.whyLeftOut ?? "")}${small((pull.outOfRecipe ?? []).join("; "))}</td>`,
  ];
  return markup`<tr${pull.use === "left out" ? markup` class="out"` : ""}>${cells}</tr>`;
}

function small(text: string): Markup {
  return text === "" ? markup`` : markup`<small>${text}</small>`;
}

function percentCell(pull: JudgedPull, fraction: number | undefined, digits: PullDigits): Markup {
  if (fraction === undefined) return markup`<td class="num"></td>`;
  return markup`<td class="num">${atLeast(pull)}${digits.percent(fraction)}</td>`;
}

function rateCell(
  { loadingRateNPerS: rate, loadingRateRatedPerMin: share }: JudgedPull,
  digits: PullDigits,
): Markup {
  if (rate === undefined) return markup`<td class="num"></td>`;
  const { kN, lbf } = digits.rate(rate);
  const ofRated = share === undefined ? "" : `${toUncertainty(share * 100, share * 5)} %/min of rated`;
  return markup`<td class="num"><span class="kn">${kN}</span><small class="lbf">${lbf} lbf/s</small>${small(ofRated)}</td>`;
}

function firstSlipCell(forceN: number | undefined, digits: PullDigits): Markup {
  return markup`<td class="num">${forceN === undefined ? "" : bothForces(digits.force(forceN))}</td>`;
}

/** To the digits that a quarter of its interval leaves: about its standard uncertainty. */
function settlingCell(settling: JudgedPull["settlingPerDecade"]): Markup {
  if (settling === undefined) return markup`<td class="num"></td>`;
  const [low, high] = settling.interval;
  const percent = (fraction: number) => toUncertainty(fraction * 100, ((high - low) / 4) * 100);
  return markup`<td class="num">${percent(settling.value)} %<small>${percent(low)} to ${percent(high)} %</small></td>`;
}

/** What the recording says of the end, where the person says another. */
function recordingSays({ outcomeDiffers, evidence }: JudgedPull): string {
  return outcomeDiffers === true && evidence !== undefined
    ? `recording: ${evidence.likeliest}, ${Math.round(evidence.probability * 100)} %`
    : "";
}

function isNumeric({ levels }: Factor): boolean {
  return levels.every((level) => typeof level === "number");
}

/** Rope and recipe are named in each row only where one cell has several; otherwise the table of cells names them. */
function namesThatDiffer({ cells, pulls }: SeriesFindings) {
  const names = [({ ropeName }: JudgedPull) => ropeName, ({ recipeName }: JudgedPull) => recipeName];
  const several = (ids: ReadonlySet<string>, of: (pull: JudgedPull) => string | undefined) =>
    new Set(pulls.filter(({ pullId }) => ids.has(pullId)).map(of)).size > 1;
  return names.filter((of) => cells.some((cell) => several(new Set(cell.pulls), of)));
}

function strengthCell(pull: JudgedPull, { force }: PullDigits): Markup {
  if (!hasStrength(pull)) return markup`<td class="num">not read</td>`;
  const { strengthN, strengthExpandedN: expandedN } = pull;
  const within = expandedN !== undefined && expandedN > 0 ? force(expandedN) : undefined;
  const { kN, lbf } = force(strengthN);
  const figures = {
    kN: `${kN}${within === undefined ? "" : ` ± ${within.kN}`}`,
    lbf: `${lbf}${within === undefined ? "" : ` ± ${within.lbf}`}`,
  };
  const typed = pull.strengthSource === "typed" ? "read off a display" : "";
  return markup`<td class="num">${bothForces(figures, { before: atLeast(pull) })}${small(typed)}</td>`;
}

function atLeast(pull: JudgedPull): string {
  return pull.use === "lower bound" ? "≥ " : "";
}

/** Doubts of many pulls in the same words stand once, with all their names. */
function doubts(pulls: readonly JudgedPull[]): Markup {
  const names = new Map<string, string[]>();
  const kinds = new Map<string, Warning>();
  for (const pull of pulls)
    for (const warning of pull.warnings) {
      names.set(warning.message, [...(names.get(warning.message) ?? []), pullName(pull)]);
      kinds.set(warning.message, warning);
    }
  const doubted = [...kinds.values()].map((warning) => ({
    ...warning,
    message: `${[...new Set(names.get(warning.message))].join(", ")}: ${warning.message}`,
  }));
  return doubted.length === 0
    ? markup``
    : markup`<h3>Doubts from reading the recordings</h3>${cares(doubted)}`;
}

/** The same words on several pulls stand once, with all their names. */
function pullNotes({ findings, pullDetails = {} }: ReportInput): Markup {
  const names = new Map<string, string[]>();
  for (const pull of findings.pulls) {
    const text = (pullDetails[pull.pullId]?.notes ?? "").trim();
    if (text !== "") names.set(text, [...(names.get(text) ?? []), pullName(pull)]);
  }
  if (names.size === 0) return markup``;
  return markup`<h3>Notes on single pulls</h3>${[...names].map(([text, of]) => ownWords(`The tester on ${of.join(", ")}`, text))}`;
}

function stopReason({ outcome }: JudgedPull): string {
  if (outcome?.kind !== "stopped")
    return `${outcome?.kind ?? "failed"} at a peak that the recording does not show: the cell was at its limit, or the record ends first`;
  return outcome?.kind === "stopped" && outcome.reason !== "" ? outcome.reason : "no reason was written down";
}

/** A file name that every system takes. */
function fileName(title: string): string {
  const plain = title
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .replace(/^(.{1,60})(?:-.*)?$/, "$1")
    .slice(0, 60);
  return `${plain === "" ? "series" : plain}.csv`;
}
