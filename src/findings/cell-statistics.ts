import { ok, type Problem, type Result, refuse, type Warning } from "../problem/mod.ts";
import { lowerBound, summary } from "../stats/mod.ts";
import type { Cell } from "./cells-of-plan.ts";
import { countOutcomes, countPlaces } from "./counts.ts";
import { hasStrength, pullName } from "./judge-pull.ts";
import { type BoundAsked, statedBound, statedBy } from "./stated-bound.ts";
import type { CellFindings, JudgedPull } from "./types.ts";
import { counted, listed } from "./words.ts";

/**
 * The statistics of one cell: over the pulls that count, each a value with its doubts or a refusal with its reason.
 *
 * Forces in newtons, efficiencies and CV as fractions. Stopped pulls stand in no mean or SD, and a warning says which way
 * that leans; the stated bound counts them as at least what they bore. No pull that counts: every statistic is refused. One: mean and lowest only.
 */
export function cellStatistics(cell: Cell, asked: BoundAsked): CellFindings {
  const used = cell.pulls.filter(({ use }) => use === "counted").filter(hasStrength);
  const stopped = cell.pulls.filter(({ use }) => use === "lower bound").filter(hasStrength);
  const strengths = used.map(({ strengthN }) => strengthN);
  const strength = describe(strengths);
  const line = describeEfficiency(cell.label, used, ({ lineEfficiency }) => lineEfficiency);
  const leg = describeEfficiency(cell.label, used, ({ legEfficiency }) => legEfficiency);
  return {
    kind: cell.kind,
    levels: cell.levels,
    label: cell.label,
    pulls: cell.pulls.map(({ pullId }) => pullId),
    n: used.length,
    stopped: stopped.length,
    leftOut: cell.pulls.filter(({ use }) => use === "left out").length,
    outcomes: countOutcomes(cell.pulls),
    places: countPlaces(cell.pulls),
    meanN: strength.mean,
    sdN: strength.sd,
    cv: strength.cv,
    lowestN: strength.lowest,
    meanIntervalN: strength.meanInterval,
    meanMinus3SdN: meanMinus3Sd(strengths),
    bound: statedBound(
      strengths,
      stopped.map(({ strengthN }) => strengthN),
      asked,
    ),
    meanLineEfficiency: line.mean,
    meanLineEfficiencyInterval: line.meanInterval,
    meanLegEfficiency: leg.mean,
    meanLegEfficiencyInterval: leg.meanInterval,
    warnings: [
      ...stoppedWarning(cell.label, used, stopped, asked),
      ...fewWarning(cell.label, used),
      ...mixedWarnings(cell.label, [...used, ...stopped]),
    ],
  };
}

type Described = {
  readonly mean: Result<number>;
  readonly sd: Result<number>;
  readonly cv: Result<number>;
  readonly lowest: Result<number>;
  readonly meanInterval: Result<readonly [number, number]>;
};

/** The summary's figures one by one, so that each carries its own doubts or its own refusal. */
function describe(values: readonly number[]): Described {
  const all = summary(values);
  if (!all.ok) return { mean: all, sd: all, cv: all, lowest: all, meanInterval: all };
  const { mean, lowest, sd, cv, meanInterval } = all.value;
  const [first = noScatter(values.length), ...more] = all.warnings;
  const unknown = refuse(first, ...more);
  return {
    mean: ok(mean),
    lowest: ok(lowest),
    sd: sd === undefined ? unknown : ok(sd, all.warnings),
    cv: cv === undefined ? unknown : ok(cv, all.warnings),
    // Equal values would make the interval a point, and so claim to know the mean without any doubt.
    meanInterval: meanInterval === undefined || sd === 0 ? unknown : ok(meanInterval),
  };
}

function noScatter(n: number): Problem {
  return {
    code: "STAT_DEGENERATE",
    message: "The values say nothing of their scatter.",
    found: `${n} values`,
  };
}

/** The same for an efficiency, over the pulls that have one; a warning or the refusal says how many do not. */
function describeEfficiency(
  label: string,
  used: readonly JudgedPull[],
  efficiency: (pull: JudgedPull) => number | undefined,
): Pick<Described, "mean" | "meanInterval"> {
  const known = used.flatMap((pull) => efficiency(pull) ?? []);
  const { mean, meanInterval } = describe(known);
  const lacking = used.length - known.length;
  if (lacking === 0) return { mean, meanInterval };
  const doubt: Warning = {
    code: "FINDING_NO_RATING",
    message: `Of ${counted(lacking, "pull")} in “${label}” the rated strength or the number of legs is not known; the efficiency rests on ${known.length}.`,
    wayOut: "Enter the rope's rated strength and the recipe's legs.",
  };
  return { mean: withDoubt(mean, doubt), meanInterval: withDoubt(meanInterval, doubt) };
}

function withDoubt<T>(result: Result<T>, doubt: Warning): Result<T> {
  return result.ok ? ok(result.value, [...result.warnings, doubt]) : refuse(doubt);
}

function meanMinus3Sd(strengths: readonly number[]): Result<number> {
  const found = lowerBound({ values: strengths, method: "mean-3sd" });
  return found.ok ? ok(found.value.bound, found.warnings) : found;
}

type Strong = JudgedPull & { readonly strengthN: number };

/**
 * Which way leaving out stopped pulls leans. Stopped at a set force, the strong ones go missing: the mean of the rest is
 * too low and its scatter too small, so that mean − k·SD may err to either side. Stopped because it gave way, a weak one
 * goes missing and the mean is too high. Only the tester knows which it was.
 */
function stoppedWarning(
  label: string,
  used: readonly Strong[],
  stopped: readonly Strong[],
  asked: BoundAsked,
): Warning[] {
  if (stopped.length === 0) return [];
  const each = listed(
    stopped.map(
      (pull) =>
        `${pullName(pull)} at ${(pull.strengthN / 1000).toFixed(1)} kN${isCutOff(pull) ? " (peak cut off)" : ""}`,
    ),
  );
  const bounds = stopped.length === 1 ? "a lower bound" : "lower bounds";
  const opening = stopped.some(isCutOff)
    ? `In “${label}” ${each} ${stopped.length === 1 ? "is" : "are"} ${bounds}.`
    : `In “${label}” ${each} ${stopped.length === 1 ? "was" : "were"} stopped before the end: ${bounds}.`;
  const code = "FINDING_STOPPED_LEFT_OUT";
  if (used.length === 0)
    return [
      {
        code,
        message: `${opening} No pull of this cell went to its end, so its strength is known from below only.`,
      },
    ];
  const lowest = Math.min(...used.map(({ strengthN }) => strengthN));
  const early = stopped.filter(({ strengthN }) => strengthN < lowest);
  const hidden =
    early.length === 0 ? "" : ` Taken further, ${listed(early.map(pullName))} might have become the lowest.`;
  return [
    {
      code,
      message: `${opening} ${stopped.length === 1 ? "It stands" : "They stand"} in no mean or SD. Where pulls are stopped at a set force, the strong ones go missing: then the mean is too low, the SD too small, and mean − 3 SD may err either way. Where one was stopped because it gave way, the mean is too high.${hidden} ${countedIn(asked, stopped.length)}`,
    },
  ];
}

/** What the stated bound makes of stopped pulls. */
function countedIn(asked: BoundAsked, stopped: number): string {
  const it = stopped === 1 ? "it" : "them";
  const { name } = statedBy(asked);
  return asked.boundMethod === "mean-3sd" || asked.boundMethod === "hanson-koopmans"
    ? `The stated bound (${name}) cannot count ${it} and is not given.`
    : `The stated bound (${name}) counts ${it} as at least this strong; it promises less than it says where ${stopped === 1 ? "it was" : "one was"} stopped because it gave way.`;
}

/** It failed, at a peak that the recording does not show. */
function isCutOff({ outcome }: JudgedPull): boolean {
  return outcome?.kind !== "stopped";
}

function fewWarning(label: string, used: readonly JudgedPull[]): Warning[] {
  if (used.length === 0 || used.length >= 3) return [];
  return [
    {
      code: "FINDING_FEW_PULLS",
      message:
        used.length === 1
          ? `Only one pull counts in “${label}”: an anecdote, and nothing can be said of scatter.`
          : `Only two pulls count in “${label}”: they say next to nothing of scatter, and their interval and bounds are far too wide to use.`,
    },
  ];
}

function mixedWarnings(label: string, pulls: readonly JudgedPull[]): Warning[] {
  const names = (of: (pull: JudgedPull) => string | undefined) => [
    ...new Set(pulls.map((pull) => of(pull) ?? "none named")),
  ];
  const ropes = names(({ ropeName }) => ropeName);
  const recipes = names(({ recipeName }) => recipeName);
  const warnings: Warning[] = [];
  if (ropes.length > 1)
    warnings.push({
      code: "FINDING_MIXED_ROPES",
      message: `“${label}” mixes ropes (${listed(ropes)}): their strengths are no sample of one thing, and the scatter holds the difference between them.`,
    });
  if (recipes.length > 1)
    warnings.push({
      code: "FINDING_MIXED_RECIPES",
      message: `“${label}” mixes recipes (${listed(recipes)}): the scatter holds the difference between them.`,
    });
  return warnings;
}
