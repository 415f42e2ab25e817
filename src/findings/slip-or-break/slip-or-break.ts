import { ok, type Result, type Warning } from "../../problem/mod.ts";
import { normalQuantile, studentTQuantile } from "../../stats/mod.ts";
import { lengthAtCovariates } from "./at-covariates.ts";
import { stateCounts, whatWouldSettle } from "./counts.ts";
import { fittedBreak, fittedGrowth } from "./fitted.ts";
import {
  columnOf,
  plateauError,
  prepareSlipOrBreak,
  refitSlipOrBreak,
  type SlipOrBreakPlan,
  type SlipOrBreakRefits,
} from "./plan.ts";
import { type Asked, readInput } from "./sample.ts";
import {
  chanceAt,
  chanceBounds,
  estimatedPlace,
  type JudgedLaw,
  judgeLaws,
  lawsThatCount,
  slipMedianAt,
  upperPlace,
} from "./tails.ts";
import type { CurvePoint, LengthAtChance, SlipOrBreak, SlipOrBreakInput } from "./types.ts";

/**
 * Is the bury long enough: where do specimens stop slipping first and break instead, and which bury may be stated?
 *
 * pulls: bury as made in diameters, strength in any one unit (a fraction of legs × rated strength is best), outcome; void
 * pulls are left out by the caller. Result: the chance of slipping first against bury, the bury at which it is as small as
 * asked with its upper confidence bound (the bury to state), the plateau of the break strength.
 * At the edges: too few slips or breaks (fewer than 3 and 2), only what counts say and which pulls would settle it; all
 * slips at one bury, a bound without an estimate; slip strength that does not grow, no length and a warning.
 * Formula: ln S = a + c·L/d + s₁ε (exponential) or ln S = ln(α + γ·L/d) + s₁ε (linear), ln B = b + s₂ε, the pull shows the
 * smaller; maximum likelihood; the bound where the signed root of the likelihood ratio falls to its quantile in refits.
 * Source: T. J. DiCiccio, M. A. Martin and S. E. Stern, Canad. J. Statist. 29 (2001), 67-76; docs/methods/slip-or-break.md.
 *
 * @example
 * const answer = slipOrBreak({ pulls: [20, 30, 40].map((buryDiameters) => ({ buryDiameters, strength: 0.9, outcome: "broke" })) });
 * answer.ok && answer.value.given // "counts"
 */
export function slipOrBreak(input: SlipOrBreakInput): Result<SlipOrBreak> {
  const plan = prepareSlipOrBreak(input);
  if (!plan.ok) return plan;
  return combineSlipOrBreak(plan.value, [refitSlipOrBreak(plan.value, 0, plan.value.refits)]);
}

/** The bury to state alone, without the curve and all else, which take longer than the refits of a simulation. */
export function buryToState(input: SlipOrBreakInput): Result<LengthAtChance> {
  const plan = prepareSlipOrBreak(input);
  if (!plan.ok) return plan;
  const read = readInput(input);
  if (!read.ok) return read;
  const { chance } = read.value;
  if (plan.value.given === "counts") return ok({ chance });
  const refits = refitSlipOrBreak(plan.value, 0, plan.value.refits);
  const laws = lawsThatCount(judgeLaws(read.value, plan.value, [refits]));
  return ok(lengthOf(read.value, plan.value, laws, chance));
}

/** The answer from a plan and all its refits, in any order. */
export function combineSlipOrBreak(
  plan: SlipOrBreakPlan,
  refits: readonly SlipOrBreakRefits[],
): Result<SlipOrBreak> {
  const read = readInput(plan.input);
  if (!read.ok) return read;
  const asked = read.value;
  const { pulls, chance, confidence, seed } = asked;
  const of = (outcome: string) => pulls.filter((pull) => pull.outcome === outcome).length;
  const toSettle = whatWouldSettle(pulls);
  const common = {
    n: pulls.length,
    slipped: of("slipped"),
    broke: of("broke"),
    stopped: of("stopped"),
    buries: [asked.shortest, asked.shortest + asked.range] as const,
    given: plan.given,
    confidence,
    counts: stateCounts(pulls, confidence),
    ...(toSettle === undefined ? {} : { toSettle }),
  };
  if (plan.given === "counts")
    return ok(
      {
        ...common,
        growths: [],
        curve: [],
        length: { chance },
        lengths: [],
        lengthsAt: [],
        refits: { made: 0, settled: 0, seed },
      },
      [countsOnly(common.slipped, common.broke, common.stopped)],
    );

  const all = judgeLaws(asked, plan, refits);
  const laws = lawsThatCount(all);
  const best = laws[0];
  const decided = laws.length === 1;
  const limit = 1 - confidence;
  const lengthAt = (share: number): LengthAtChance => lengthOf(asked, plan, laws, share);
  const length = lengthAt(chance);
  const growths = all.map((judged) => fittedGrowth(asked, judged));
  const slip = growths.find(({ growth }) => growth === best.growth);
  const unsettled = all.reduce((sum, law) => sum + law.unsettled, 0);
  const made = plan.refits * all.length;
  const value: SlipOrBreak = {
    ...common,
    growth: best.growth,
    growthDecided: decided,
    growths,
    ...(slip === undefined || plan.given === "bound" ? {} : { slip }),
    break: fittedBreak(asked, best, plateauInterval(asked, best, plan, refits)),
    curve: curveOf(asked, plan, laws, length.upper, limit),
    length,
    lengths: [0.5, 0.05, 0.01].map((share) => (share === chance ? length : lengthAt(share))),
    lengthsAt: asked.at.map((place) => lengthAtCovariates(asked, laws, place, plan.given === "length")),
    refits: { made, settled: made - unsettled, seed },
  };
  return ok(value, warningsOf(value, best, decided));
}

function lengthOf(
  asked: Asked,
  plan: SlipOrBreakPlan,
  laws: readonly JudgedLaw[],
  chance: number,
): LengthAtChance {
  const { shortest, range, confidence } = asked;
  const upper = upperPlace(laws, normalQuantile(1 - chance), 1 - confidence);
  const estimate = plan.given === "bound" ? undefined : estimatedPlace(laws, chance);
  return {
    chance,
    ...(estimate === undefined ? {} : { estimate: shortest + range * estimate }),
    ...(upper === undefined ? {} : { upper: shortest + range * Math.max(upper, estimate ?? 0) }),
  };
}

/** So many places from the shortest bury to a little beyond the longest, or to the bury to state where that lies farther. */
const curveSteps = 32;

function curveOf(
  asked: Asked,
  plan: SlipOrBreakPlan,
  laws: readonly JudgedLaw[],
  upper: number | undefined,
  limit: number,
): CurvePoint[] {
  if (plan.given === "bound") return [];
  const { shortest, range } = asked;
  const farther = upper === undefined ? 0 : (upper - shortest) / range;
  const end = Math.min(Math.max(1.1, 1.05 * farther), 2);
  return Array.from({ length: curveSteps + 1 }, (_, i) => {
    const t = (end * i) / curveSteps;
    const probability = chanceAt(laws, t);
    const { lower, upper: above } = chanceBounds(laws, t, limit);
    return {
      buryDiameters: shortest + range * t,
      probability,
      lower: Math.min(lower, probability),
      upper: Math.max(above, probability),
      slipStrength: slipMedianAt(laws, t),
    };
  });
}

/** The plateau by the quantiles of its pivot in the refits; by Student's t where these are not finite; none without end. */
function plateauInterval(
  { confidence }: Asked,
  judged: JudgedLaw,
  plan: SlipOrBreakPlan,
  refits: readonly SlipOrBreakRefits[],
): readonly [number, number] | undefined {
  const { top, law } = judged;
  law.top(top, 1e-18);
  const error = plateauError(law.fitter.breakHill, top);
  const pivots = Float64Array.from(columnOf(plan, refits, "plateau")).sort();
  const tail = (1 - confidence) / 2;
  const quantile = (share: number) => {
    const found = pivots[Math.min(Math.floor(share * pivots.length), pivots.length - 1)] as number;
    return Number.isFinite(found) && Math.abs(found) < 100
      ? found
      : studentTQuantile(share, Math.max(plan.input.pulls.length - 5, 1));
  };
  const low = Math.exp(top.plateau - quantile(1 - tail) * error);
  const high = Math.exp(top.plateau - quantile(tail) * error);
  return Number.isFinite(high) && low > 0 ? [low, high] : undefined;
}

function countsOnly(slipped: number, broke: number, stopped: number): Warning {
  return {
    code: "FINDING_COUNTS_ONLY",
    message:
      "No length can be given: a fit needs three pulls that slipped, two that broke, and two buries at least.",
    found: `${slipped} slipped, ${broke} broke, ${stopped} stopped`,
  };
}

function warningsOf(
  { length, given, refits, buries }: SlipOrBreak,
  best: JudgedLaw,
  decided: boolean,
): Warning[] {
  const longest = buries[1];
  const rounded = (value: number) => String(Number(value.toPrecision(3)));
  return [
    ...(given === "bound"
      ? [
          {
            code: "FINDING_BURY_BOUND_ONLY" as const,
            message:
              "All slips lie at one bury: how slip strength grows cannot be estimated, and only a bound is given.",
          },
        ]
      : []),
    ...(best.top.grown <= 0
      ? [
          {
            code: "FINDING_SLIP_NO_GROWTH" as const,
            message: "In these pulls the slip strength does not grow with bury.",
          },
        ]
      : []),
    ...(decided
      ? []
      : [
          {
            code: "FINDING_GROWTH_OPEN" as const,
            message:
              "The pulls cannot tell whether the slip strength or its logarithm grows in a straight line (AICc differs by less than 4); both laws count.",
          },
        ]),
    ...(length.upper === undefined
      ? [
          {
            code: "FINDING_BURY_OPEN" as const,
            message: "The pulls put no upper end to the bury that would be long enough.",
            wayOut: "Pull longer buries, and more at the buries where some slip and some break.",
          },
        ]
      : length.upper > longest * 1.0001
        ? [
            {
              code: "FINDING_BURY_BEYOND" as const,
              message: `The bury to state, ${rounded(length.upper)} diameters, lies beyond the longest that was pulled: it rests on the law of growth alone.`,
              found: `longest ${rounded(longest)} diameters`,
              wayOut: "Pull specimens at that bury to see it.",
            },
          ]
        : []),
    ...(refits.settled < refits.made
      ? [
          {
            code: "STAT_APPROXIMATE" as const,
            message: `${refits.made - refits.settled} of ${refits.made} refits did not settle; they count as the most unfavourable.`,
          },
        ]
      : []),
  ];
}
