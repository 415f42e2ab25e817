import type { Warning } from "../problem/mod.ts";
import type { SeriesFields } from "../series/mod.ts";
import { plannedCells } from "./cells-of-plan.ts";
import { compareCells } from "./compare-cells.ts";
import { countPlaces } from "./counts.ts";
import { pullName } from "./judge-pull.ts";
import { meanMinusSdConfidence } from "./mean-minus-sd-confidence.ts";
import { slipsByBury } from "./slips.ts";
import type { CellFindings, Finding, JudgedPull } from "./types.ts";
import { counted, listed } from "./words.ts";

/**
 * What may be said of a series, as sentences made from its numbers and from nothing else: never from what somebody wrote
 * about it. The order is fixed: what was pulled, the strongest and the weakest cell, slip, what mattered and what comes from
 * outside (`more`), where it failed, scatter, what so few pulls can claim, what was stopped or left out, what the data do
 * not show.
 */
export function stateFindings(
  series: Pick<SeriesFields, "factors" | "pullsPerCell">,
  pulls: readonly JudgedPull[],
  cells: readonly CellFindings[],
  more: readonly Finding[] = [],
): readonly Finding[] {
  if (pulls.length === 0)
    return [
      {
        id: "overview",
        sentence: "No pull has been entered yet: there is nothing to judge.",
        method: "A count.",
        pulls: [],
        warnings: [],
      },
    ];
  return [
    overview(pulls, cells),
    ...compareCells(pulls, cells),
    ...slipsByBury(series.factors, pulls, cells),
    ...more,
    ...places(pulls),
    ...scatter(cells),
    ...smallNumbers(cells),
    ...stopped(pulls),
    ...cutOff(pulls),
    ...differing(pulls),
    ...leftOut(pulls),
    notShown(series, pulls, cells),
  ].map((finding) => withReadingDoubts(finding, pulls));
}

function overview(pulls: readonly JudgedPull[], cells: readonly CellFindings[]): Finding {
  const countedPulls = pulls.filter(({ use }) => use === "counted");
  const broke = countedPulls.filter(({ outcome }) => outcome?.kind === "broke").length;
  const slipped = countedPulls.length - broke;
  const out = pulls.filter(({ use }) => use === "left out").length;
  const filled = cells.filter((cell) => cell.pulls.length > 0).length;
  const ends = [broke > 0 ? `${broke} broke` : "", slipped > 0 ? `${slipped} slipped` : ""].filter(Boolean);
  const parts = [
    `${countedPulls.length} ${countedPulls.length === 1 ? "counts" : "count"}${ends.length > 0 ? ` (${ends.join(", ")})` : ""}`,
    boundsText(pulls),
    out > 0 ? `${out} ${out === 1 ? "is" : "are"} left out` : "",
  ].filter(Boolean);
  return {
    id: "overview",
    sentence: `${counted(pulls.length, "pull")} in ${counted(filled, "cell")}: ${listed(parts)}.`,
    method:
      "A count. Broke and slipped count as strengths, since both are the greatest force that the specimen bore.",
    pulls: pulls.map(({ pullId }) => pullId),
    warnings: [],
  };
}

/** How many are lower bounds, and why. */
function boundsText(pulls: readonly JudgedPull[]): string {
  const bounds = pulls.filter(({ use }) => use === "lower bound");
  const cut = bounds.filter(({ outcome }) => outcome?.kind !== "stopped").length;
  const stopped = bounds.length - cut;
  const are = (count: number) => (count === 1 ? "is a lower bound" : "are lower bounds");
  if (bounds.length === 0) return "";
  if (cut === 0) return `${stopped} ${stopped === 1 ? "was" : "were"} stopped and ${are(stopped)}`;
  const hidden = `${cut} with a peak that the recording does not show`;
  return stopped === 0
    ? `${hidden} ${are(cut)}`
    : `${bounds.length} ${are(bounds.length)} (${stopped} stopped, ${hidden})`;
}

function places(pulls: readonly JudgedPull[]): Finding[] {
  return (["broke", "slipped"] as const).flatMap((kind) => {
    const those = pulls.filter(({ outcome }) => outcome?.kind === kind);
    if (those.length === 0) return [];
    const byPlace = countPlaces(those);
    const inOrder = Object.entries(byPlace).sort(([a, n], [b, m]) => m - n || (a < b ? -1 : 1));
    return [
      {
        id: `places-${kind}`,
        sentence: `Where the ${kind === "broke" ? "rope broke" : "splice slipped"}: ${listed(inOrder.map(([place, n]) => `${place} (${n} of ${those.length})`))}.`,
        method: "A count of the places that were written down.",
        pulls: those.map(({ pullId }) => pullId),
        warnings: [],
      },
    ];
  });
}

function scatter(cells: readonly CellFindings[]): Finding[] {
  const known = cells.flatMap((cell) => (cell.cv.ok ? [{ cell, cv: cell.cv.value }] : []));
  if (known.length === 0) return [];
  const freedom = known.reduce((sum, { cell }) => sum + cell.n - 1, 0);
  const pooled = Math.sqrt(known.reduce((sum, { cell, cv }) => sum + (cell.n - 1) * cv * cv, 0) / freedom);
  const percent = (fraction: number) => `${(fraction * 100).toFixed(1)} %`;
  const widest = known.reduce((a, b) => (b.cv > a.cv ? b : a));
  const tightest = known.reduce((a, b) => (b.cv < a.cv ? b : a));
  const range =
    known.length === 1
      ? `The strengths scatter by ${percent(pooled)} of their mean (coefficient of variation)`
      : `Within a cell the strengths scatter by ${percent(pooled)} of their mean (coefficient of variation, all cells together): from ${percent(tightest.cv)} (${tightest.cell.label}) to ${percent(widest.cv)} (${widest.cell.label})`;
  return [
    {
      id: "scatter",
      sentence: `${range}.`,
      method:
        "Standard deviation (n − 1) over mean in each cell; together as the root of the mean square, each cell weighted by n − 1.",
      pulls: known.flatMap(({ cell }) => cell.pulls),
      warnings: known.some(({ cell }) => cell.n < 5)
        ? [
            {
              code: "FINDING_FEW_PULLS",
              message:
                "A scatter found from fewer than five pulls is itself very uncertain: from one cell to the next it can differ twofold by chance alone.",
            },
          ]
        : [],
    },
  ];
}

function smallNumbers(cells: readonly CellFindings[]): Finding[] {
  const sizes = [...new Set(cells.map(({ n }) => n))].filter((n) => n >= 2).sort((a, b) => a - b);
  const shown = sizes.length > 2 ? [sizes[0] as number, sizes.at(-1) as number] : sizes;
  return shown.map((n) => {
    const those = cells.filter((cell) => cell.n === n);
    const ofMean = confidenceText(meanMinusSdConfidence({ n, factor: 3, content: 0.95 }));
    const ofLowest = confidenceText(1 - 0.95 ** n);
    return {
      id: `small-number-${n}`,
      sentence: `With ${counted(n, "pull")} in a cell, mean − 3 SD lies below the 5 % quantile (the strength that 19 in 20 exceed) with ${ofMean} confidence, and the lowest of the ${n} with ${ofLowest}.`,
      method:
        "Mean − 3 SD: exact, from the non-central t with n − 1 degrees of freedom, for normally scattered strengths. Lowest of n: 1 − 0.95ⁿ, for any scatter.",
      pulls: those.flatMap(({ pulls }) => pulls),
      warnings: [],
    };
  });
}

function stopped(pulls: readonly JudgedPull[]): Finding[] {
  const those = pulls.filter(({ use, outcome }) => use === "lower bound" && outcome?.kind === "stopped");
  if (those.length === 0) return [];
  const held = those.map((pull) => `${pullName(pull)} held ${((pull.strengthN ?? 0) / 1000).toFixed(1)} kN`);
  return [
    {
      id: "stopped",
      sentence: `Stopped before they failed, so at least as strong as they were loaded: ${listed(held)}.`,
      method: "Each is a lower bound; none is in a mean, a standard deviation or a bound.",
      pulls: those.map(({ pullId }) => pullId),
      warnings: [],
    },
  ];
}

function cutOff(pulls: readonly JudgedPull[]): Finding[] {
  const those = pulls.filter(({ use, outcome }) => use === "lower bound" && outcome?.kind !== "stopped");
  if (those.length === 0) return [];
  const bore = those.map((pull) => `${pullName(pull)} bore ${((pull.strengthN ?? 0) / 1000).toFixed(1)} kN`);
  return [
    {
      id: "cut-off",
      sentence: `Failed at a peak that the recording does not show (the cell was at its limit, or the record ends first), so at least as strong as was recorded: ${listed(bore)}.`,
      method: "Each is a lower bound; none is in a mean, a standard deviation or a bound.",
      pulls: those.map(({ pullId }) => pullId),
      warnings: [],
    },
  ];
}

function differing(pulls: readonly JudgedPull[]): Finding[] {
  const those = pulls.filter(({ outcomeDiffers }) => outcomeDiffers === true);
  if (those.length === 0) return [];
  const each = those.map(
    (pull) =>
      `${pullName(pull)} ${pull.outcome?.kind}, its recording looks like ${pull.evidence?.likeliest} (${Math.round((pull.evidence?.probability ?? 0) * 100)} %)`,
  );
  return [
    {
      id: "outcome-differs",
      sentence: `The person’s word and the recording’s differ; the person’s counts: ${listed(each)}.`,
      method:
        "The likeliest end by the shape of the recording (docs/reading.md, rule R-OUTCOME) against what was entered.",
      pulls: those.map(({ pullId }) => pullId),
      warnings: [],
    },
  ];
}

function leftOut(pulls: readonly JudgedPull[]): Finding[] {
  const those = pulls.filter(({ use }) => use === "left out");
  if (those.length === 0) return [];
  const kinds = (["void", "not judged", "no strength", "no pull"] as const).flatMap((kind) => {
    const names = those.filter(({ leftOutAs }) => leftOutAs === kind).map(pullName);
    return names.length === 0 ? [] : [`${leftOutWords[kind]} (${listed(names)})`];
  });
  return [
    {
      id: "left-out",
      sentence: `Shown but left out of every figure: ${listed(kinds)}.`,
      method:
        "Void pulls, pulls that nobody has judged, and pulls without a readable strength say nothing of the specimen.",
      pulls: those.map(({ pullId }) => pullId),
      warnings: [],
    },
  ];
}

const leftOutWords = {
  void: "void",
  "not judged": "not yet judged",
  "no strength": "without a readable strength",
  "no pull": "no pull but another load",
} as const;

function notShown(
  series: Pick<SeriesFields, "factors" | "pullsPerCell">,
  pulls: readonly JudgedPull[],
  cells: readonly CellFindings[],
): Finding {
  const used = pulls.filter(({ use }) => use !== "left out");
  const sentences: string[] = [];
  const ends = new Set(used.map(({ outcome }) => outcome?.kind));
  if (ends.has("broke") && !ends.has("slipped"))
    sentences.push(
      "No pull ended by slipping, so the force at which these splices would slip is not shown, only that it lies higher.",
    );
  if (ends.has("slipped") && !ends.has("broke"))
    sentences.push(
      "No rope broke, so its breaking strength in these splices is not shown, only that it lies higher.",
    );
  sentences.push(...sameHand(used));
  const empty = cells.filter(({ kind, n, stopped }) => kind === "planned" && n + stopped === 0);
  if (empty.length > 0 && empty.length <= 6)
    sentences.push(`Nothing was found for ${listed(empty.map(({ label }) => label))}.`);
  else if (empty.length > 6)
    sentences.push(
      `${empty.length} of the plan's ${plannedCells(series.factors)} cells have no pull that says anything.`,
    );
  const short = cells.filter(({ kind, n }) => kind === "planned" && n > 0 && n < series.pullsPerCell);
  if (short.length > 0)
    sentences.push(
      `The plan wanted ${series.pullsPerCell} in each cell; ${counted(short.length, "cell")} ${short.length === 1 ? "has" : "have"} fewer that count.`,
    );
  sentences.push(
    "These are single short pulls: load that lasts or comes again, wear, wet, heat, sunlight and shock are not shown.",
  );
  return {
    id: "not-shown",
    sentence: sentences.join(" "),
    method: "What the pulls do not vary, they cannot show.",
    pulls: used.map(({ pullId }) => pullId),
    warnings: [],
  };
}

/** What one maker, or one spool of each rope, leaves unshown. */
function sameHand(used: readonly JudgedPull[]): string[] {
  if (used.length === 0) return [];
  const makers = new Set(used.map(({ maker }) => maker ?? ""));
  const spools = new Map<string, Set<string>>();
  for (const { ropeName = "", spoolName = "" } of used)
    spools.set(ropeName, (spools.get(ropeName) ?? new Set()).add(spoolName));
  const sentences: string[] = [];
  if (makers.has("")) sentences.push("Not every maker is named, so how far makers differ is not shown.");
  else if (makers.size === 1) sentences.push("One maker made them all: how far makers differ is not shown.");
  if ([...spools.values()].some((names) => names.has("")))
    sentences.push("Not every spool is named, so how far spools differ is not shown.");
  else if ([...spools.values()].every((names) => names.size === 1))
    sentences.push(
      `${spools.size === 1 ? "All came" : "Each rope came"} from one spool: how far spools differ is not shown.`,
    );
  return sentences;
}

function withReadingDoubts(finding: Finding, pulls: readonly JudgedPull[]): Finding {
  const rests = new Set(finding.pulls);
  const doubted = pulls.filter(
    ({ pullId, use, warnings }) => rests.has(pullId) && use !== "left out" && warnings.length > 0,
  );
  if (doubted.length === 0 || !restsOnStrength.test(finding.id)) return finding;
  const warning: Warning = {
    code: "FINDING_READING_DOUBTS",
    message: `The reading of ${counted(doubted.length, "pull")} that this rests on carries doubts: ${listed(doubted.map(pullName))}.`,
  };
  return { ...finding, warnings: [...finding.warnings, warning] };
}

/** Only these rest on the value of strengths; counts of outcomes do not mind how well a peak was read. */
const restsOnStrength =
  /^(strength|strongest|weakest|difference|lower-bound|scatter|stopped|cut-off|effect|interaction|order|rate|claim|pool)/;

function confidenceText(confidence: number): string {
  const percent = confidence * 100;
  // What would round to a certainty, or over the customary 95 %, keeps a digit more.
  const text = `${percent.toFixed(percent > 99 || Math.abs(percent - 95) < 0.5 ? 1 : 0)} %`;
  return percent < 95 ? `only ${text}` : text;
}
