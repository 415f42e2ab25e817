import type { Warning } from "../problem/mod.ts";
import { hasStrength } from "./judge-pull.ts";
import { areOnOneBasis } from "./mattered/compared.ts";
import { forceFigures, forceText, meanUncertainty, percentText, singlePullUncertainty } from "./rounding.ts";
import { boundMethodWords } from "./stated-bound.ts";
import type { CellFindings, Finding, JudgedPull } from "./types.ts";
import { counted } from "./words.ts";

/**
 * The strongest and the weakest cell on average, whether their intervals lie apart, and a strength that nearly all specimens of the
 * strongest should bear.
 *
 * Cells are compared by leg efficiency where the pulls' rated strengths or legs differ and all are known, otherwise by
 * strength. One cell alone is stated, not compared. Cells without a mean take no part.
 */
export function compareCells(pulls: readonly JudgedPull[], cells: readonly CellFindings[]): Finding[] {
  const known = cells.filter((cell) => cell.meanN.ok);
  const [first, ...others] = known;
  if (first === undefined) return [];
  const byId = new Map(pulls.map((pull) => [pull.pullId, pull]));
  const of = (cell: CellFindings) =>
    cell.pulls.flatMap((id) => byId.get(id) ?? []).filter(({ use }) => use === "counted");
  const orBore = (cell: CellFindings) =>
    cell.pulls.flatMap((id) => byId.get(id) ?? []).filter(({ use }) => use !== "left out");
  if (others.length === 0)
    return [
      stateCell("strength", `Mean strength, ${first.label}`, first, of(first)),
      ...lowerBoundOf(first, orBore(first)),
    ];

  const measure = measureOf(known.flatMap(of));
  const value = (cell: CellFindings) => {
    const mean = measure.by === "leg efficiency" ? cell.meanLegEfficiency : cell.meanN;
    return mean.ok ? mean.value : Number.NaN; // never NaN: known cells have means, and measureOf asked for the rest
  };
  const strongest = known.reduce((a, b) => (value(b) > value(a) ? b : a));
  const weakest = known.reduce((a, b) => (value(b) < value(a) ? b : a));
  if (strongest === weakest)
    return [stateCell("strength", "All cells have the same mean strength", first, of(first))];
  const beside = measure.by === "leg efficiency" ? " for its rope" : "";
  return [
    stateCell(
      "strongest",
      `Strongest${beside} on average: ${strongest.label}`,
      strongest,
      of(strongest),
      measure.warnings,
    ),
    stateCell(
      "weakest",
      `Weakest${beside} on average: ${weakest.label}`,
      weakest,
      of(weakest),
      measure.warnings,
    ),
    ...difference(strongest, weakest, measure.by, known.length, [...of(strongest), ...of(weakest)]),
    ...lowerBoundOf(strongest, orBore(strongest)),
  ];
}

/** What of the specimens' basis a sentence can name: "2 legs × rated 34.0 kN (mean, spliced; source: catalogue)". */
export function basisText(pulls: readonly JudgedPull[]): string | undefined {
  const bases = new Set(
    pulls.map((pull) => {
      const { ratedStrengthN, legs } = pull;
      if (ratedStrengthN === undefined || legs === undefined) return undefined;
      const says = [ratingWords(pull), `source: ${pull.ratedStrengthSource || "not stated"}`].join("; ");
      return `${counted(legs, "leg")} × rated ${forceFigures(ratedStrengthN, singlePullUncertainty(ratedStrengthN)).kN} kN (${says})`;
    }),
  );
  const [basis] = bases;
  return bases.size === 1 ? basis : undefined;
}

/** A rating's basis in words: "mean, spliced", or "basis not stated" where the rope's record does not say. */
export function ratingWords(pull: Pick<JudgedPull, "ratedStrengthBasis" | "ratedStrengthEnds">): string {
  const said = [pull.ratedStrengthBasis, pull.ratedStrengthEnds].filter(
    (word) => word !== undefined && word !== "not stated",
  );
  return said.length === 0 ? "basis not stated" : said.join(", ");
}

function stateCell(
  id: string,
  opening: string,
  cell: CellFindings,
  pulls: readonly JudgedPull[],
  warnings: readonly Warning[] = [],
): Finding {
  const mean = cell.meanN.ok ? cell.meanN.value : 0;
  const uncertainty = meanUncertainty(mean, cell.sdN.ok ? cell.sdN.value : undefined, cell.n);
  const basis = basisText(pulls);
  const leg = cell.meanLegEfficiency;
  const efficiency =
    leg.ok && basis !== undefined
      ? `, ${percentText(leg.value, (uncertainty / mean) * leg.value)} of ${basis}`
      : "";
  const spread = `; ${intervalWords(cell.meanIntervalN, uncertainty, cell.n)}`;
  return {
    id,
    sentence: `${opening}, ${forceText(mean, uncertainty)}${efficiency}${spread}.`,
    method:
      "Mean of the strengths that count (broke and slipped). Interval: Student's t, for normally scattered strengths. Leg efficiency = strength / (legs × rated strength).",
    pulls: pulls.map(({ pullId }) => pullId),
    warnings: [...cell.warnings, ...(cell.meanN.ok ? cell.meanN.warnings : []), ...warnings].filter(
      onceByMessage,
    ),
  };
}

function difference(
  strongest: CellFindings,
  weakest: CellFindings,
  by: Measure["by"],
  among: number,
  pulls: readonly JudgedPull[],
): Finding[] {
  const pick = (cell: CellFindings) =>
    by === "leg efficiency" ? cell.meanLegEfficiencyInterval : cell.meanIntervalN;
  const [high, low] = [pick(strongest), pick(weakest)];
  if (!high.ok || !low.ok) return [];
  const apart = high.value[0] > low.value[1];
  return [
    {
      id: "difference",
      sentence: apart
        ? `The intervals of the strongest cell (${strongest.label}) and the weakest (${weakest.label}) lie apart. For two cells named beforehand chance alone would seldom do that; these were picked after the pulls as the extremes of ${among}, so it is weaker evidence than it looks.`
        : `The two intervals overlap: these pulls alone do not settle that ${strongest.label} is truly stronger than ${weakest.label}.`,
      method: `Compares the 95 % confidence intervals of the two means of ${by}. It is no test between all cells, and says nothing of those between.`,
      pulls: pulls.map(({ pullId }) => pullId),
      warnings: [],
    },
  ];
}

function lowerBoundOf(cell: CellFindings, pulls: readonly JudgedPull[]): Finding[] {
  const { bound } = cell;
  if (!bound.ok || bound.value.boundN <= 0 || !cell.sdN.ok || !cell.meanN.ok) return [];
  const { boundN, method, n, stopped, meaning } = bound.value;
  const uncertainty = meanUncertainty(cell.meanN.value, cell.sdN.value, cell.n);
  return [
    {
      id: "lower-bound",
      sentence: `Of ${cell.label}, stated from ${counted(n, "pull")}${stopped === 0 ? "" : ` (${stopped} stopped, counted as at least what ${stopped === 1 ? "it" : "they"} bore)`}: ${forceText(boundN, uncertainty)} or more. ${meaning}`,
      method: `Lower bound by the method that the series keeps: ${boundMethodWords[method]}. Population: specimens made and pulled like these.`,
      pulls: pulls.map(({ pullId }) => pullId),
      warnings: [...cell.warnings, ...bound.warnings].filter(onceByMessage),
    },
  ];
}

type Measure = { readonly by: "strength" | "leg efficiency"; readonly warnings: readonly Warning[] };

function measureOf(pulls: readonly JudgedPull[]): Measure {
  if (areOnOneBasis(pulls)) return { by: "strength", warnings: [] };
  if (pulls.filter(hasStrength).every(({ legEfficiency }) => legEfficiency !== undefined))
    return { by: "leg efficiency", warnings: [] };
  return {
    by: "strength",
    warnings: [
      {
        code: "FINDING_NO_RATING",
        message:
          "Ropes or legs differ between these cells, and not every rated strength and number of legs is known: strengths are compared as they are, so a larger rope or more legs look stronger.",
        wayOut: "Enter the rated strength of every rope and the legs of every recipe.",
      },
    ],
  };
}

function intervalWords(interval: CellFindings["meanIntervalN"], uncertainty: number, n: number): string {
  if (!interval.ok) return `n = ${n}, which gives no interval`;
  const [low, high] = interval.value;
  if (low <= 0) return `n = ${n}, too few to place the mean: its 95 % confidence interval reaches below zero`;
  const [from, to] = [forceFigures(low, uncertainty).kN, forceFigures(high, uncertainty).kN];
  return `95 % confidence interval of the mean ${from} to ${to} kN, n = ${n}`;
}

function onceByMessage(warning: Warning, index: number, all: readonly Warning[]): boolean {
  return all.findIndex(({ message }) => message === warning.message) === index;
}
