import type { Warning } from "../problem/mod.ts";
import type { SeriesFields } from "../series/mod.ts";
import { cellStatistics } from "./cell-statistics.ts";
import { cellsOfPlan, mostPlannedCells, plannedCells } from "./cells-of-plan.ts";
import { countOutcomes, countPlaces } from "./counts.ts";
import { judgePull, pullName } from "./judge-pull.ts";
import { stateWhatMattered } from "./mattered/state.ts";
import { whatMattered } from "./mattered/what-mattered.ts";
import { judgeClaim } from "./outside/judge-claim.ts";
import { poolSeries } from "./outside/pool-series.ts";
import { stateClaim, statePool } from "./outside/state.ts";
import { statePlanChanges } from "./planning/state-plan-changes.ts";
import { statedBy } from "./stated-bound.ts";
import { stateFindings } from "./statements.ts";
import type { CellFindings, JudgedPull, Outside, PullToJudge, SeriesFindings } from "./types.ts";
import { counted } from "./words.ts";

/**
 * What a series shows: each pull judged, the statistics of each cell of the plan, and findings in sentences.
 *
 * series: its factors and levels make the plan. pulls: forces in newtons at the specimen, in any order; the result has
 * them in the order of pulling and does not depend on the order in which they came.
 * Result: per cell n, mean, SD, CV, lowest, 95 % confidence interval of the mean, mean − 3 SD and the lower bound that
 * the series keeps, each a value or a refusal with its reason; outcomes and places counted; what mattered; claims and other series
 * beside it; warnings. No pull vanishes: what does not
 * count stands there with its reason.
 * At the edges: no pulls, one finding that says so; one pull in a cell, its mean and no scatter; all stopped, no mean.
 * Source: docs/methods/series-findings.md, with a case worked by hand.
 *
 * @example
 * judgeSeries({ id: "ser-1", ...seriesFields.parse({ title: "Empty" }) }, []).findings[0]?.sentence
 * // "No pull has been entered yet: there is nothing to judge."
 */
export function judgeSeries(
  series: SeriesFields & { readonly id: string },
  pulls: readonly PullToJudge[],
  outside: Outside = { claims: [], pooled: [] },
): SeriesFindings {
  const judged = pulls.map(judgePull).sort(byOrder);
  const cells = cellsOfPlan(series.factors, judged).map((cell) => cellStatistics(cell, series));
  const mattered = whatMattered(series.factors, judged);
  const claims = outside.claims.map((claim) => judgeClaim(claim, judged));
  const pooled = poolSeries(outside.pooled, judged);
  const more = [
    ...stateWhatMattered(mattered),
    ...claims.map(stateClaim),
    ...pooled.map(statePool),
    ...statePlanChanges(series),
  ];
  return {
    method: { name: "series-findings", version: "3" },
    seriesId: series.id,
    pulls: judged,
    statedBy: statedBy(series),
    cells,
    outcomes: countOutcomes(judged),
    places: countPlaces(judged),
    mattered,
    claims,
    pooled,
    findings: stateFindings(series, judged, cells, more),
    warnings: once([...seriesWarnings(series, judged), ...fewTogether(cells)]),
  };
}

function seriesWarnings(series: SeriesFields, pulls: readonly JudgedPull[]): Warning[] {
  const warnings: Warning[] = [];
  const used = pulls.filter(({ use }) => use !== "left out");
  const open = pulls.filter(({ leftOutAs }) => leftOutAs === "not judged").length;
  if (open > 0)
    warnings.push({
      code: "FINDING_NOT_JUDGED",
      message: `${counted(open, "pull")} ${open === 1 ? "has" : "have"} no outcome yet; what is found here may change when ${open === 1 ? "it has" : "they have"}.`,
      wayOut: "Say of each pull whether it broke, slipped, was stopped or is void.",
    });
  const nameless = used.filter(({ specimenLabel }) => specimenLabel === undefined).length;
  if (nameless > 0)
    warnings.push({
      code: "FINDING_NO_SPECIMEN",
      message: `Of ${counted(nameless, "pull")} nobody said which specimen it was; ${nameless === 1 ? "it stands" : "they stand"} in a cell of ${nameless === 1 ? "its" : "their"} own.`,
      wayOut: "Choose the specimen on the pull's page.",
    });
  warnings.push(...pulls.flatMap(outcomeDiffers));
  const bases = new Set(
    used
      .filter(({ ratedStrengthN }) => ratedStrengthN !== undefined)
      .map(
        ({ ratedStrengthBasis = "not stated", ratedStrengthEnds = "not stated" }) =>
          `${ratedStrengthBasis}, ends ${ratedStrengthEnds}`,
      ),
  );
  if (bases.size > 1)
    warnings.push({
      code: "FINDING_RATING_BASIS",
      message: `The ropes' rated strengths do not mean the same (${[...bases].sort().join("; ")}): their efficiencies cannot be set side by side as they are.`,
    });
  if ([...bases].some((basis) => basis.endsWith("ends spliced")))
    warnings.push({
      code: "FINDING_RATING_SPLICED",
      message:
        "A rated strength here was itself measured with spliced ends. The loss in a splice is in it already, so an efficiency near 100 % is no surprise.",
    });
  const planned = plannedCells(series.factors);
  if (planned > mostPlannedCells)
    warnings.push({
      code: "FINDING_PLAN_TOO_LARGE",
      message: `The plan has ${planned} cells; those without a pull are not listed.`,
    });
  return warnings;
}

/** Where the recording speaks against what a person said, both stand, with the recording's reasons. */
function outcomeDiffers(pull: JudgedPull): Warning[] {
  const { evidence, outcome } = pull;
  if (pull.outcomeDiffers !== true || evidence === undefined || outcome === undefined) return [];
  const reasons = evidence.reasons.map((reason) => ` ${reason}`).join("");
  return [
    {
      code: "FINDING_OUTCOME_DIFFERS",
      message: `${pullName(pull)} is entered as ${outcome.kind}, and counts as that; its recording looks like ${evidence.likeliest} (${Math.round(evidence.probability * 100)} %).${reasons}`,
      found: outcome.kind,
      expected: evidence.likeliest,
      wayOut: "Look at the trace and the specimen once more; the word of the person who saw it is final.",
    },
  ];
}

/** The cells' warnings; where too few pulls count in many cells, that is said once for all of them. */
function fewTogether(cells: readonly CellFindings[]): Warning[] {
  const all = cells.flatMap(({ warnings }) => warnings);
  const others = all.filter(({ code }) => code !== "FINDING_FEW_PULLS");
  if (all.length - others.length < 3) return all;
  const few = cells.filter(({ n }) => n === 1 || n === 2).length;
  const filled = cells.filter(({ n }) => n > 0).length;
  return [
    {
      code: "FINDING_FEW_PULLS",
      message: `In ${few} of the ${filled} cells that have any, only one or two pulls count: they say next to nothing of scatter, and their intervals and bounds are far too wide to use.`,
    },
    ...others,
  ];
}

function byOrder(a: JudgedPull, b: JudgedPull): number {
  const places = [a.order ?? Number.MAX_SAFE_INTEGER, b.order ?? Number.MAX_SAFE_INTEGER] as const;
  return (
    places[0] - places[1] ||
    byText(a.specimenLabel ?? last, b.specimenLabel ?? last) ||
    byText(a.pullId, b.pullId)
  );
}

/** Pulls of which nobody said the specimen stand after the others. */
const last = "\uFFFF";

/** By code unit, so that the order is the same in every place and locale. */
function byText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function once(warnings: readonly Warning[]): Warning[] {
  const seen = new Map(warnings.map((warning) => [`${warning.code} ${warning.message}`, warning]));
  return [...seen.values()];
}
