import type { Warning } from "../../problem/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { decimalsFor, percentText } from "../rounding.ts";
import type { Finding } from "../types.ts";
import { counted, listed } from "../words.ts";
import type { LengthAtLevel, SeriesSlipOrBreak, SlipOrBreakOfSeries } from "./series-types.ts";
import type { SlipOrBreak } from "./types.ts";

const method =
  "slip-or-break: two competing strengths, fitted to slips, breaks and stopped pulls together; bounds from refits (docs/methods/slip-or-break.md)";

/**
 * What slip-or-break says of a series: the answer with the pulls it rests on, in sentences that are made from the numbers,
 * and what the pulls do not show.
 */
export function stateSlipOrBreak(
  { seriesId, input, points, leftOut, otherFactors, levels }: SlipOrBreakOfSeries,
  answer: SlipOrBreak,
  warnings: readonly Warning[],
): SeriesSlipOrBreak {
  const ids = points.map(({ pullId }) => pullId);
  const finding = (id: string, sentence: string | undefined, pulls: readonly string[] = ids): Finding[] =>
    sentence === undefined ? [] : [{ id: `slip-or-break-${id}`, sentence, method, pulls, warnings: [] }];
  const byLevel = levels.flatMap(({ at: _, ...level }, i): LengthAtLevel[] => {
    const found = answer.lengthsAt[i];
    if (found === undefined) return [];
    const { covariates: __, ...length } = found;
    return [{ ...level, ...length }];
  });
  const together = otherFactors.filter((one) => one.as === "counted together");
  const pooled: Warning[] = together.map(({ factor, why }) => ({
    code: "FINDING_CELLS_POOLED",
    message: `The levels of ${factor} are counted together: ${why}. They may slip differently.`,
  }));
  const [first, ...others] = [
    ...finding("length", lengthSentence(answer)),
    ...finding("turn", turnSentence(answer)),
    ...finding("plateau", plateauSentence(answer)),
    ...finding("counts", countsSentence(answer)),
    ...finding("factors", factorsSentence(answer, otherFactors)),
    ...[...new Set(byLevel.map(({ factor }) => factor))].flatMap((factor) => {
      const own = byLevel.filter((one) => one.factor === factor);
      return finding(
        `at-${factor}`,
        levelsSentence(own, answer),
        own.flatMap(({ pulls }) => pulls),
      );
    }),
    ...finding("not-shown", notShownSentence(answer)),
    ...finding("settle", settleSentence(answer)),
    ...finding(
      "left-out",
      leftOutSentence(leftOut),
      leftOut.map(({ pullId }) => pullId),
    ),
  ];
  return {
    method: { name: "slip-or-break", version: "3" },
    seriesId,
    asked: {
      chance: answer.length.chance,
      confidence: answer.confidence,
      growth: input.growth ?? "auto",
      refits: input.refits ?? 0,
      seed: answer.refits.seed,
    },
    answer,
    points,
    leftOut,
    otherFactors,
    byLevel,
    findings: first === undefined ? [] : [{ ...first, warnings: [...warnings, ...pooled] }, ...others],
    warnings: [...warnings, ...pooled],
  };
}

/** A chance as a percentage that keeps its size: "5 %", "0.1 %". */
export function chanceText(chance: number): string {
  return `${formatNumber(chance * 100, { significant: chance < 0.1 ? 1 : 2 })} %`;
}

/** A bound of a bury to the digits that its distance from the estimate leaves it, rounded to the safe side: up. */
export function buryBoundText({ estimate, upper }: SlipOrBreak["length"]): string {
  if (upper === undefined) return "none";
  const decimals = estimate === undefined ? 0 : Math.min(Math.max(decimalsFor((upper - estimate) / 2), 0), 1);
  const step = 10 ** -decimals;
  return `${formatNumber(Math.ceil(upper / step - 1e-6) * step, { decimals })} d`;
}

/** An estimate of a bury, to the digits that the distance to its bound leaves it. */
export function buryText({ estimate, upper }: SlipOrBreak["length"]): string {
  if (estimate === undefined) return "none";
  const decimals = upper === undefined ? 0 : Math.min(Math.max(decimalsFor((upper - estimate) / 2), 0), 1);
  return `${formatNumber(estimate, { decimals })} d`;
}

function lengthSentence({
  given,
  length,
  confidence,
  n,
  slipped,
  broke,
  stopped,
  growthDecided,
}: SlipOrBreak): string {
  const share = chanceText(length.chance);
  const sure = chanceText(confidence);
  const counts = `${counted(n, "pull")}: ${slipped} slipped, ${broke} broke${stopped === 0 ? "" : `, ${stopped} borne without an end`}`;
  if (given === "counts")
    return `No bury can be stated from these pulls (${counts}): too few slipped, or too few broke, to fit how they compete.`;
  const estimate =
    length.estimate === undefined
      ? "they give no estimate of it"
      : `the best estimate of that length, ${buryText(length)}, is as likely too short as too long`;
  const law =
    growthDecided === false ? "; both laws of growth count, as the pulls cannot tell them apart" : "";
  if (length.upper === undefined)
    return `No bury can be stated at which at most ${share} slip first (${counts}): the pulls put no upper end to it at ${sure} confidence; ${estimate}${law}.`;
  return `From ${buryBoundText(length)} of full bury on, at most ${share} of such splices slip before they break, with ${sure} confidence (${counts}); ${estimate}${law}.`;
}

function turnSentence({ lengths }: SlipOrBreak): string | undefined {
  const half = lengths.find(({ chance }) => chance === 0.5);
  if (half?.estimate === undefined) return undefined;
  const bound = half.upper === undefined ? "with no upper end to that" : `${buryBoundText(half)} at most`;
  return `Slipping and breaking first are equally likely at about ${buryText(half)} (${bound}); shorter than that, the bury decides the strength.`;
}

function plateauSentence({ break: rope, confidence }: SlipOrBreak): string | undefined {
  if (rope === undefined) return undefined;
  const { strength, interval } = rope.plateau;
  if (interval === undefined)
    return `A splice that does not slip breaks at ${percentText(strength, 0.05)} of legs × rated strength in the median; these pulls do not say how surely.`;
  const by = (interval[1] - interval[0]) / 4;
  const percent = (value: number) => percentText(value, by);
  return `A splice that does not slip breaks at ${percent(strength)} of legs × rated strength in the median (${chanceText(confidence)} interval ${percent(interval[0])} to ${percent(interval[1])}): a longer bury adds no strength beyond that.`;
}

function countsSentence({ counts, confidence }: SlipOrBreak): string | undefined {
  if (counts.length === 0) return undefined;
  const parts = counts.map(({ kind, buryDiameters, slipped, ended, chance }) => {
    const where = kind === "at most" ? "and longer" : "and shorter";
    return `at ${formatNumber(buryDiameters, { decimals: 0 })} d ${where} ${kind} ${percentText(chance, 0.1 * chance)} slip (${slipped} of ${ended} counted)`;
  });
  return `Whatever the law of growth, if a longer bury slips no more often: ${listed(parts)}, each with ${chanceText(confidence)} confidence.`;
}

function levelsSentence(levels: readonly LengthAtLevel[], { length, confidence }: SlipOrBreak): string {
  const parts = levels.map((one) => {
    const bound =
      one.upper === undefined
        ? "no bury, as the pulls put no end to it"
        : `${buryBoundText(one)} of full bury`;
    const estimate = one.estimate === undefined ? "" : `, best estimate ${buryText(one)}`;
    return `${bound} at ${levelText(one)} (${counted(one.pulls.length, "pull")}${estimate})`;
  });
  const [{ factor }] = levels as [LengthAtLevel];
  return `By ${factor}, the bury from which on at most ${chanceText(length.chance)} slip first, with ${chanceText(confidence)} confidence each: ${listed(parts)}. Whether two of them differ is not tested by this.`;
}

/** A level with its factor's name or unit: "splice long", "8 mm". */
export function levelText({ factor, level, unit }: Pick<LengthAtLevel, "factor" | "level" | "unit">): string {
  return typeof level === "number" && unit !== "" ? `${level} ${unit}` : `${factor} ${level}`;
}

function factorsSentence(
  { growths }: SlipOrBreak,
  factors: SlipOrBreakOfSeries["otherFactors"],
): string | undefined {
  const fitted = factors.filter(({ as }) => as === "fitted").map(({ factor }) => factor);
  if (fitted.length === 0 || growths.length === 0) return undefined;
  return `The effects of ${listed(fitted)} on both strengths were fitted as well; the lengths above stand for the middle of the pulls' levels.`;
}

function notShownSentence({ given, length, buries }: SlipOrBreak): string | undefined {
  const longest = formatNumber(buries[1], { decimals: 0 });
  const beyond =
    length.upper !== undefined && length.upper > buries[1] * 1.0001
      ? `Nothing longer than ${longest} d was pulled: what is said beyond rests on the law of growth alone. `
      : "";
  if (given === "counts") return undefined;
  return `${beyond}The pulls do not show other ropes, coatings, tapers, makers or rates than theirs, nor repeated or sustained loads, under which splices creep and slip at lower forces.`;
}

function settleSentence({ toSettle, length, lengths, buries }: SlipOrBreak): string | undefined {
  if (toSettle !== undefined) {
    const where =
      toSettle.buryDiameters.length === 0 ? "" : ` at ${listed(toSettle.buryDiameters.map(String))} d`;
    return `More pulls${where} would make it surer: ${toSettle.reason}.`;
  }
  const half = lengths.find(({ chance }) => chance === 0.5)?.estimate;
  const goal = length.estimate;
  if (half === undefined || goal === undefined) return undefined;
  const inside = (bury: number) => Math.max(1, Math.round(Math.min(bury, 1.5 * buries[1])));
  const places = [...new Set([half, (half + goal) / 2, goal].map(inside))].sort((a, b) => a - b);
  return `More pulls at ${listed(places.map(String))} d, between where half slip and where ${chanceText(length.chance)} do, would make it surer.`;
}

function leftOutSentence(leftOut: SlipOrBreakOfSeries["leftOut"]): string | undefined {
  if (leftOut.length === 0) return undefined;
  const reasons = new Map<string, string[]>();
  for (const { name, why } of leftOut) reasons.set(why, [...(reasons.get(why) ?? []), name]);
  const parts = [...reasons].map(([why, names]) => {
    const shown = names.length > 6 ? [...names.slice(0, 5), `${names.length - 5} more`] : names;
    return `${listed(shown)} (${why})`;
  });
  return `Left out: ${parts.join("; ")}.`;
}
