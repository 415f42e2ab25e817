import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { Factor, LevelValue } from "../../series/mod.ts";
import { buryInDiameters, factorOfBury, numberOf } from "../bury-levels.ts";
import { pullName } from "../judge-pull.ts";
import type { JudgedPull } from "../types.ts";
import { listed } from "../words.ts";
import { mostCovariates, mostPlacesAt } from "./sample.ts";
import type {
  FittedLevel,
  LeftOutPull,
  OtherFactor,
  SlipOrBreakAsked,
  SlipOrBreakOfSeries,
  SlipOrBreakPoint,
} from "./series-types.ts";

/**
 * The pulls of a series as slip-or-break takes them: bury in rope diameters, strength as a share of legs × rated strength,
 * outcome.
 *
 * The bury is the shorter full bury as made over the rope's nominal diameter; where nobody measured it, the level of the
 * plan's bury. Stopped pulls and those whose recording does not show the peak are lower bounds. A factor beside the bury is
 * fitted as a covariate where it can be told from the others and the pulls are many enough. What lacks something is left
 * out with the reason. Refused: no pull has all that is needed.
 *
 * @example
 * pullsForSlipOrBreak({ id: "ser-1", factors: [] }, []).ok // false
 */
export function pullsForSlipOrBreak(
  series: { readonly id: string; readonly factors: readonly Factor[] },
  pulls: readonly JudgedPull[],
  asked: SlipOrBreakAsked = {},
): Result<SlipOrBreakOfSeries> {
  const bury = factorOfBury(series.factors);
  const points: (SlipOrBreakPoint & { readonly levels: JudgedPull["levels"] })[] = [];
  const leftOut: LeftOutPull[] = [];
  for (const pull of pulls) {
    const taken = pointOf(pull, bury);
    if (typeof taken === "string") leftOut.push({ pullId: pull.pullId, name: pullName(pull), why: taken });
    else points.push({ ...taken, levels: pull.levels });
  }
  if (points.length === 0) return refuse(nothingToFit(leftOut));
  const { covariates, otherFactors, levels } = covariatesOf(
    series.factors.filter((factor) => factor !== bury),
    points,
  );
  const { chance = 0.05, confidence = 0.95, growth = "auto", refits = 2000 } = asked;
  return ok({
    seriesId: series.id,
    input: {
      pulls: points.map(({ buryDiameters, strength, outcome }, i) => ({
        buryDiameters,
        strength,
        outcome,
        ...(covariates.length === 0
          ? {}
          : {
              covariates: Object.fromEntries(
                covariates.map(({ name, values }) => [name, values[i] as number]),
              ),
            }),
      })),
      growth,
      chance,
      confidence,
      refits,
      seed: asked.seed ?? seedFrom(series.id),
      ...(levels.length === 0 ? {} : { at: levels.map(({ at }) => at) }),
    },
    points: points.map(({ levels: _, ...point }) => point),
    leftOut,
    otherFactors,
    levels,
  });
}

/** Whether a plan varies the bury. */
export function variesBury(factors: readonly Factor[]): boolean {
  return factorOfBury(factors) !== undefined;
}

function pointOf(pull: JudgedPull, bury: Factor | undefined): SlipOrBreakPoint | string {
  if (pull.use === "left out") return pull.whyLeftOut ?? "left out";
  const { outcome, legEfficiency } = pull;
  if (outcome === undefined || outcome.kind === "void") return "nobody has said how it ended";
  if (legEfficiency === undefined) return "the rope's rated strength or the number of legs is not known";
  const made = madeBury(pull);
  const planned = made ?? plannedBury(pull, bury);
  if (planned === undefined)
    return bury === undefined
      ? "nobody measured its bury, and the plan has no bury as a factor"
      : "nobody measured its bury, and its specimen has no level of bury";
  return {
    pullId: pull.pullId,
    name: pullName(pull),
    buryDiameters: planned,
    strength: legEfficiency,
    outcome: pull.use === "lower bound" ? "stopped" : outcome.kind,
    buryFrom: made === undefined ? "plan" : "as made",
  };
}

function madeBury({ buryFullMm, nominalDiameterMm }: JudgedPull): number | undefined {
  return buryFullMm !== undefined && nominalDiameterMm !== undefined && nominalDiameterMm > 0
    ? buryFullMm / nominalDiameterMm
    : undefined;
}

function plannedBury(pull: JudgedPull, bury: Factor | undefined): number | undefined {
  if (bury === undefined || !Object.hasOwn(pull.levels, bury.name)) return undefined;
  return buryInDiameters(pull.levels[bury.name], bury.unit, pull.nominalDiameterMm);
}

type Covariate = { readonly name: string; readonly values: readonly number[] };

/** So many slips, and so many breaks, are wanted for each covariate beside those that a fit needs at all. */
const pullsPerCovariate = 2;

/** The other factors as covariates: numbers as they are, words as one column for each level but the first. */
function covariatesOf(
  factors: readonly Factor[],
  points: readonly (SlipOrBreakPoint & { readonly levels: JudgedPull["levels"] })[],
): {
  readonly covariates: readonly Covariate[];
  readonly otherFactors: readonly OtherFactor[];
  readonly levels: readonly FittedLevel[];
} {
  const count = (kind: string) => points.filter(({ outcome }) => outcome === kind).length;
  const room = Math.floor(Math.min(count("slipped") - 3, count("broke") - 2) / pullsPerCovariate);
  const covariates: Covariate[] = [];
  const otherFactors: OtherFactor[] = [];
  const levels: FittedLevel[] = [];
  const basis = [points.map(() => 1), points.map(({ buryDiameters }) => buryDiameters)].reduce(
    withColumn,
    [],
  );
  let columns = basis;
  for (const factor of factors) {
    const given = points.map(({ levels }) =>
      Object.hasOwn(levels, factor.name) ? levels[factor.name] : undefined,
    );
    if (new Set(given.map(String)).size < 2) continue;
    const together = (why: string) => otherFactors.push({ factor: factor.name, as: "counted together", why });
    if (given.some((level) => level === undefined)) {
      together("some specimens have no level of it");
      continue;
    }
    const own = columnsOf(factor, given as LevelValue[]);
    if (covariates.length + own.length > Math.min(mostCovariates, room)) {
      together("so few pulls slipped or broke that its effect cannot be fitted as well");
      continue;
    }
    const wider = own.map(({ values }) => values).reduce(withColumn, columns);
    if (wider.length < columns.length + own.length) {
      together("it cannot be told from the bury or another factor");
      continue;
    }
    columns = wider;
    covariates.push(...own);
    otherFactors.push({ factor: factor.name, as: "fitted" });
    levels.push(...levelsOf(factor, given as LevelValue[], own, points));
  }
  return { covariates, otherFactors, levels: levels.slice(0, mostPlacesAt) };
}

function columnsOf({ name }: Factor, given: readonly LevelValue[]): Covariate[] {
  const numbers = given.map(numberOf);
  if (numbers.every((value) => value !== undefined)) return [{ name, values: numbers }];
  const [, ...levels] = [...new Set(given.map(String))].sort();
  return levels.map((level) => ({
    name: `${name}: ${level}`.slice(0, 100),
    values: given.map((one) => (String(one) === level ? 1 : 0)),
  }));
}

/** Each level with pulls, in the order of the plan, and what the covariates are there. */
function levelsOf(
  { name, unit, levels }: Factor,
  given: readonly LevelValue[],
  own: readonly Covariate[],
  points: readonly SlipOrBreakPoint[],
): FittedLevel[] {
  const inOrder = [...new Map([...levels, ...given].map((level) => [String(level), level])).values()];
  return inOrder.flatMap((level) => {
    const rows = given.flatMap((one, i) => (String(one) === String(level) ? [i] : []));
    const [first] = rows;
    if (first === undefined) return [];
    return [
      {
        factor: name,
        level,
        unit,
        pulls: rows.map((i) => (points[i] as SlipOrBreakPoint).pullId),
        at: Object.fromEntries(own.map((column) => [column.name, column.values[first] as number])),
      },
    ];
  });
}

/** The columns with one more, made orthogonal to them; without it where it is a combination of them. */
function withColumn(columns: readonly (readonly number[])[], next: readonly number[]): (readonly number[])[] {
  const dot = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, value, i) => sum + value * (b[i] ?? 0), 0);
  const rest = columns.reduce<readonly number[]>((left, column) => {
    const times = dot(left, column) / dot(column, column);
    return left.map((value, i) => value - times * (column[i] ?? 0));
  }, next);
  return dot(rest, rest) > 1e-9 * dot(next, next) ? [...columns, rest] : [...columns];
}

/** A seed that follows from an id, so that the same series gives the same answer on any machine (FNV-1a, 32 bits). */
function seedFrom(id: string): number {
  let hash = 0x811c9dc5;
  for (const letter of id) hash = Math.imul(hash ^ (letter.codePointAt(0) ?? 0), 0x01000193);
  return hash >>> 0;
}

function nothingToFit(leftOut: readonly LeftOutPull[]) {
  const whys = [...new Set(leftOut.map(({ why }) => why))];
  return {
    code: "FINDING_NO_BURY" as const,
    message: "No pull of this series has all that is needed: an outcome, a strength, a rating and a bury.",
    found: leftOut.length === 0 ? "no pulls" : listed(whys.slice(0, 4)),
    wayOut:
      "Enter the full bury of each specimen as made, or make the bury a factor of the plan; and say of each pull how it ended.",
  };
}
