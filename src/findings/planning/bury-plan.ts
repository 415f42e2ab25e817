import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { createRandom } from "../../stats/mod.ts";
import { seedOf } from "../slip-or-break/resample.ts";
import { fewestRefits } from "../slip-or-break/sample.ts";
import { buryToState } from "../slip-or-break/slip-or-break.ts";
import type { SlipOrBreakPull } from "../slip-or-break/types.ts";
import { type BuryTruth, buryAtChance, checkBuries, problemsOfTruth, slipMedian } from "./bury-truth.ts";

export type BuryPlanInput = {
  /** Buries to pull at, in diameters. */
  readonly levels: readonly number[];
  readonly pullsPerLevel: number;
  readonly truth: BuryTruth;
  /** How unlikely slipping first is to be at the bury to state; 0.05 unless said. */
  readonly chance?: number;
  readonly confidence?: number;
  /** How many series are simulated; 100 unless said. */
  readonly series?: number;
  readonly seed?: number;
};

/** What came of one simulated series: absent where it could state nothing. */
export type SimulatedBury = { readonly estimate?: number; readonly upper?: number };

/** A middle value and the two between which 80 of 100 series lie; absent where they are not finite. */
export type Spread = { readonly low?: number; readonly median?: number; readonly high?: number };

/** What a plan of buries may be expected to answer, in the world that was assumed. */
export type BuryPlan = {
  readonly levels: readonly number[];
  readonly pullsPerLevel: number;
  readonly pulls: number;
  /** The bury at which slipping first has the chance, in that world. */
  readonly trueBury: number;
  readonly series: number;
  /** The bury to state less the true one, in diameters; a series that could state none counts as one without end. */
  readonly beyond: Spread;
  /** The plain estimate less the true one, likewise. */
  readonly estimateOff: Spread;
  /** Share of series that could state no bury. */
  readonly nothing: number;
  /** Share whose bury to state was shorter than the true one. */
  readonly tooShort: number;
};

export const mostPlanSeries = 1000;
export const mostBuryLevels = 20;

/**
 * What would this plan tell? Series are drawn from an assumed truth, pulled in the mind, and judged by the book's own fit.
 *
 * levels in diameters, at least two; pullsPerLevel from 1; truth: see `BuryTruth`. Result: how far beyond the true bury the
 * bury to state would lie (median, and where 80 of 100 series lie), and the share of series that could state nothing.
 * At the edges: levels at which all slip or all break give mostly series that state nothing; that is the answer.
 * Formula: simulation; each series has its own seed, so that any stretch of them gives the same. Each fit has 200 refits.
 * Source: docs/methods/slip-or-break.md for the fit; the assumed truth is the tester's.
 *
 * @example
 * // docs/methods/bury-plan.md; src/findings/planning/bury-plan.test.ts
 */
export function buryPlan(input: BuryPlanInput): Result<BuryPlan> {
  const checked = checkBuryPlan(input);
  if (!checked.ok) return checked;
  return ok(combineBuryPlan(input, simulateBuryPlan(input, 0, input.series ?? usualSeries)));
}

export const usualSeries = 100;

/** Says whether the plan can be simulated. `simulateBuryPlan` takes one that was checked. */
export function checkBuryPlan(input: BuryPlanInput): Result<BuryPlanInput> {
  const [problem, ...more] = problemsOf(input);
  if (problem !== undefined) return refuse(problem, ...more);
  const buries = checkBuries(input.truth, input.levels);
  return buries.ok ? ok(input) : buries;
}

/** The series from `from` up to but not with `to`: each the same however the work is shared out. */
export function simulateBuryPlan(input: BuryPlanInput, from: number, to: number): SimulatedBury[] {
  const { chance = 0.05, confidence = 0.95, seed = 1 } = input;
  return Array.from({ length: to - from }, (_, i) => {
    const own = seedOf(seed, 77, from + i);
    const answer = buryToState({
      pulls: drawSeries(input, own),
      chance,
      confidence,
      refits: fewestRefits,
      seed: own,
    });
    if (!answer.ok) throw new Error("a plan is simulated after it was checked");
    const { estimate, upper } = answer.value;
    return { ...(estimate === undefined ? {} : { estimate }), ...(upper === undefined ? {} : { upper }) };
  });
}

/** What the simulated series say together. */
export function combineBuryPlan(input: BuryPlanInput, simulated: readonly SimulatedBury[]): BuryPlan {
  const { levels, pullsPerLevel, truth, chance = 0.05 } = input;
  const trueBury = buryAtChance(truth, chance);
  const off = (values: readonly (number | undefined)[]) =>
    spreadOf(values.map((value) => (value ?? Number.POSITIVE_INFINITY) - trueBury));
  const share = (count: number) => (simulated.length === 0 ? 0 : count / simulated.length);
  return {
    levels,
    pullsPerLevel,
    pulls: levels.length * pullsPerLevel,
    trueBury,
    series: simulated.length,
    beyond: off(simulated.map(({ upper }) => upper)),
    estimateOff: off(simulated.map(({ estimate }) => estimate)),
    nothing: share(simulated.filter(({ upper }) => upper === undefined).length),
    tooShort: share(simulated.filter(({ upper }) => upper !== undefined && upper < trueBury).length),
  };
}

function drawSeries({ levels, pullsPerLevel, truth }: BuryPlanInput, seed: number): SlipOrBreakPull[] {
  const random = createRandom(seed);
  return levels.flatMap((buryDiameters) =>
    Array.from({ length: pullsPerLevel }, (): SlipOrBreakPull => {
      const slip = slipMedian(truth, buryDiameters) * Math.exp(truth.slipScatter * random.normal());
      const rope = truth.plateau * Math.exp(truth.breakScatter * random.normal());
      return { buryDiameters, strength: Math.min(slip, rope), outcome: slip < rope ? "slipped" : "broke" };
    }),
  );
}

function spreadOf(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(Math.floor(share * sorted.length), sorted.length - 1)];
  const finite = (value: number | undefined) =>
    value !== undefined && Number.isFinite(value) ? value : undefined;
  const [low, median, high] = [finite(at(0.1)), finite(at(0.5)), finite(at(0.9))];
  return {
    ...(low === undefined ? {} : { low }),
    ...(median === undefined ? {} : { median }),
    ...(high === undefined ? {} : { high }),
  };
}

function problemsOf({
  levels,
  pullsPerLevel,
  truth,
  chance = 0.05,
  confidence = 0.95,
  series = usualSeries,
  seed = 1,
}: BuryPlanInput): Problem[] {
  return [
    ...between(new Set(levels).size, 2, mostBuryLevels, "levels", "The number of buries"),
    ...levels.flatMap((level, at) => between(level, 0.1, 1000, `levels[${at}]`, "A bury in diameters")),
    ...whole(pullsPerLevel, 1, 100, "pullsPerLevel", "The number of pulls at each bury"),
    ...between(chance, 0.001, 0.5, "chance", "The chance of slipping first"),
    ...between(confidence, 0.5, 0.99, "confidence", "The confidence"),
    ...whole(series, 1, mostPlanSeries, "series", "The number of simulated series"),
    ...whole(seed, 0, 2 ** 32 - 1, "seed", "The seed"),
    ...problemsOfTruth(truth),
  ];
}

function whole(value: number, low: number, high: number, field: string, what: string): Problem[] {
  return between(Number.isInteger(value) ? value : Number.NaN, low, high, field, what);
}

function between(value: number, low: number, high: number, field: string, what: string): Problem[] {
  if (value >= low && value <= high) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `${what} must lie between ${low} and ${high}.`,
      where: { field },
      found: String(value),
      expected: `a number from ${low} to ${high}`,
    },
  ];
}
