import { formatNumber } from "../../units/mod.ts";
import { force, percent, seconds } from "../shown-units.ts";

type Figure = string | number | boolean;

/** What a person compares first, in this order; all else that moved is told beneath. */
const foremost = [
  "pull",
  "deep.peak.valueN",
  "deep.peak.expandedN",
  "peakN",
  "netPeakN",
  "restN",
  "end",
  "deep.outcome.likeliest",
  "deep.phases",
  "deep.slips",
  "deep.firstSlipN",
  "loadingRateNPerS",
  "warnings",
];

const words: Readonly<Record<string, string>> = {
  pull: "the pull itself",
  startRow: "first row",
  endRow: "last row",
  startS: "begin",
  endS: "end of the load",
  peakN: "highest sample",
  peakRow: "row of the highest sample",
  peakTimeS: "time of the highest sample",
  restN: "rest level",
  netPeakN: "highest sample less the rest",
  loadingRateNPerS: "loading rate",
  drops: "biggest drops, in newtons",
  dropCount: "drops",
  end: "how it ended",
  noiseN: "noise",
  warnings: "doubts",
  "deep.phases": "phases, in rows",
  "deep.bedding.cycles": "bedding cycles",
  "deep.hold.startN": "force where the hold began",
  "deep.hold.endN": "force where the hold ended",
  "deep.hold.settling.perDecade.value": "settling per decade",
  "deep.hold.settling.preferred": "settling is read as",
  "deep.strokes": "re-strokes",
  "deep.slips": "slips, in newtons",
  "deep.firstSlipN": "first slip",
  "deep.timeToPeakS": "time to the peak",
  "deep.collapseS": "time of the collapse",
  "deep.residualN": "force left after the collapse",
  "deep.stiffnessNPerM": "stiffness",
  "deep.energyToPeakJ": "energy to the peak",
  "deep.peak.valueN": "peak",
  "deep.peak.expandedN": "its expanded uncertainty",
  "deep.peak.standardN": "its standard uncertainty",
  "deep.peak.parts": "parts of its uncertainty, in newtons",
  "deep.outcome.likeliest": "what the recording speaks for",
  "deep.outcome.probabilities.broke": "chance that it broke",
  "deep.outcome.probabilities.slipped": "chance that it slipped",
  "deep.outcome.probabilities.stopped": "chance that it was stopped",
  "deep.outcome.reasons": "reasons for that",
};

/**
 * The name of a figure of a reading, as the pages have it; a figure that they do not show keeps its path.
 *
 * @example
 * fieldWords("deep.peak.valueN") // "peak"
 */
export function fieldWords(field: string): string {
  return words[field] ?? field.replace(/^deep\./, "").replaceAll(".", ", ");
}

/** Whether a figure is among those that a person compares first, and where it stands there. */
export function rankOf(field: string): number | undefined {
  const at = foremost.indexOf(field);
  return at === -1 ? undefined : at;
}

/**
 * A figure with its unit, which its name carries at the end.
 *
 * @example
 * figureWords("restN", 12.4) // "12.4 N"
 */
export function figureWords(field: string, value: Figure | undefined): string {
  if (value === undefined) return "nothing";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "string") return value === "" ? "none" : value;
  if (/NPerS$/.test(field)) return `${force(value)}/s`;
  if (/NPerM$/.test(field)) return `${force(value)}/m`;
  if (/[a-z]N$/.test(field)) return force(value);
  if (/[a-z]S$/.test(field)) return seconds(value);
  if (/[a-z]J$/.test(field)) return `${formatNumber(value, { significant: 4 })} J`;
  if (/probabilities|perDecade\.value/.test(field)) return percent(value);
  return Number.isInteger(value) ? String(value) : formatNumber(value, { significant: 5 });
}

/**
 * Both values of a figure that moved. Where they would look alike as rounded, they are told to the digits that they
 * differ by, in the figure's own unit.
 */
export function movedWords(
  field: string,
  from: Figure | undefined,
  to: Figure | undefined,
): readonly [from: string, to: string] {
  const pair = [figureWords(field, from), figureWords(field, to)] as const;
  if (pair[0] !== pair[1] || typeof from !== "number" || typeof to !== "number") return pair;
  const unit = /NPerS$/.test(field)
    ? " N/s"
    : /[a-z]N$/.test(field)
      ? " N"
      : /[a-z]S$/.test(field)
        ? " s"
        : /[a-z]J$/.test(field)
          ? " J"
          : "";
  for (let significant = 4; significant < 17; significant += 1) {
    const finer = [from, to].map((value) => `${formatNumber(value, { significant })}${unit}`);
    if (finer[0] !== finer[1]) return [finer[0] ?? "", finer[1] ?? ""];
  }
  return [`${from}${unit}`, `${to}${unit}`];
}
