import type { FactorEffect, Interaction, LevelDifference, OrderTrend, RateEffect } from "../effect-types.ts";
import { forceFigures } from "../rounding.ts";
import type { Finding } from "../types.ts";
import { counted, listed } from "../words.ts";
import { capital, estimateText, pText, roughPercent, significanceText, uncertaintyOf } from "./say.ts";

const alpha = 0.05;

/** What a factor did, or what so few pulls cannot tell. */
export function stateEffect(effect: FactorEffect, questions: number): Finding[] {
  const { factor, significance, pairs } = effect;
  const [first, ...others] = pairs;
  if (first === undefined) return [];
  const lead = others.reduce((best, pair) => (pair.p < best.p ? pair : best), first);
  const among = pairs.length > 1 ? ` Furthest apart of its ${effect.levels.length} levels:` : "";
  const found = `at ${lead.to} the specimens are ${comparedText(effect, lead)} than at ${lead.from}`;
  const how = significanceText(significance, questions);
  const sentence =
    significance.pOfAll < alpha
      ? `${capital(factor)} mattered.${among === "" ? capitalAfter(found) : `${among} ${found}`}; ${how}; n = ${effect.n}.`
      : significance.p < alpha
        ? `By itself ${factor} seems to matter (${pText(significance.p)}), but ${questions} questions were asked of these pulls, and together they leave that to chance (${pText(significance.pOfAll)}).${among === "" ? capitalAfter(found) : `${among} ${found}`}; n = ${effect.n}.`
        : `These ${counted(effect.n, "pull")} cannot tell whether ${factor} matters:${among.toLowerCase()} ${found}; ${how}. A difference under ${roughPercent(lead.wouldSee)} would hardly have been seen.`;
  return [
    {
      id: `effect-${factor}`,
      sentence,
      method: methodOf(effect),
      pulls: effect.pulls,
      warnings: effect.warnings,
    },
  ];
}

function capitalAfter(found: string): string {
  return ` ${capital(found)}`;
}

/** "12 % stronger (95 % interval 8 to 16 %; 5.1 kN, 3.3 to 6.9 kN)". */
function comparedText({ by }: FactorEffect, { relative, difference }: LevelDifference): string {
  const weaker = relative.value < 0;
  // Told as stronger with its sign kept, so that the interval reads in one direction.
  const { value, interval } = relative;
  const shown = weaker ? { value: -value, interval: [-interval[1], -interval[0]] as const } : relative;
  const kN = (force: number) => forceFigures(force, uncertaintyOf(difference)).kN;
  const sign = weaker ? -1 : 1;
  const ends = [sign * difference.interval[0], sign * difference.interval[1]].sort((a, b) => a - b) as [
    number,
    number,
  ];
  const forces =
    by === "strength" ? `; ${kN(sign * difference.value)} kN, ${kN(ends[0])} to ${kN(ends[1])} kN` : "";
  const share = estimateText(shown);
  return share
    .replace(" (", ` ${weaker ? "weaker" : "stronger"}${by === "strength" ? "" : " for their rope"} (`)
    .replace(/\)$/, `${forces})`);
}

function methodOf({ by, blockedBy, randomParts, significance, pairs }: FactorEffect): string {
  const blocks = blockedBy.length === 0 ? "" : ` within blocks of equal ${listed(blockedBy)}`;
  const parts = randomParts.length === 0 ? "" : ` ${capital(listed(randomParts))} stands as a random part.`;
  const together =
    pairs.length > 1
      ? ` The ${pairs.length} pairs of levels share the confidence (${significance.by === "mixed model" ? "Bonferroni" : "Tukey and Kramer"}).`
      : "";
  const p = {
    permutation:
      "p: strengths handed out anew among the levels within blocks, as often as they set the levels as far apart.",
    "F law": "p: too few arrangements for an exact one, so by the F law, for normally scattered logarithms.",
    "mixed model": "p: Student's t with Satterthwaite's degrees of freedom.",
  }[significance.by];
  return `Levels compared by ${by}${blocks}. Per cent: ratio of geometric means less 1.${parts}${together} ${p} Hardly seen: would show with a chance under 80 %.`;
}

/** Whether one factor's effect depends on another. */
export function stateInteraction(one: Interaction, questions: number): Finding {
  const [a, b] = one.factors;
  const how = `F(${one.df[0]}, ${one.df[1]}) = ${Number(one.f.toPrecision(3))}; ${significanceText(one.significance, questions)}; n = ${one.n}`;
  const size =
    one.relative === undefined
      ? ""
      : ` The effect of ${a} changes by ${estimateText(one.relative)} from one level of ${b} to the other.`;
  return {
    id: `interaction-${a}-${b}`,
    sentence:
      one.significance.pOfAll < alpha
        ? `What ${a} does depends on ${b}: one figure for ${a} alone would mislead (${how}).${size}`
        : `That the effect of ${a} depends on ${b} is not shown, nor that it does not (${how}).${size}`,
    method:
      "F test of all combinations against the two factors added, on logarithms: whether the effect in per cent is the same at every level of the other.",
    pulls: one.pulls,
    warnings: [],
  };
}

/** Whether strength went with the order of pulling. */
export function stateOrder(trend: OrderTrend): Finding {
  const how = significanceText(trend.significance);
  const { value } = trend.perTenPulls;
  const change = `over ten pulls ${value < 0 ? "it falls" : "it rises"} by ${estimateText(sized(trend.perTenPulls))}`;
  return {
    id: "order-trend",
    sentence:
      trend.significance.p < alpha
        ? `Strength goes with the order of pulling: ${change}; ${how}; n = ${trend.n}. What changed meanwhile (the maker's hand, the bench, the rope) is mixed into every difference between cells.`
        : `No trend in the order of pulling shows: ${change}; ${how}; n = ${trend.n}. One under ${roughPercent(trend.wouldSee)} over ten pulls would hardly have been seen.`,
    method:
      "Slope of log strength over the place in the order, within cells of the plan and ropes; p by exchanging strengths within cells.",
    pulls: trend.pulls,
    warnings: [],
  };
}

/** How strength goes with the loading rate. */
export function stateRate(rate: RateEffect): Finding {
  const how = significanceText(rate.significance);
  const change = `ten times the rate ${rate.perTenfold.value < 0 ? "lowers" : "raises"} strength by ${estimateText(sized(rate.perTenfold))}`;
  const range = `${kNPerS(rate.ratesNPerS[0])} to ${kNPerS(rate.ratesNPerS[1])} kN/s`;
  return {
    id: "rate",
    sentence:
      rate.significance.p < alpha
        ? `Strength goes with the loading rate (${range}): ${change}; ${how}; n = ${rate.n}.`
        : `These ${counted(rate.n, "pull")} (${range}) cannot tell whether the loading rate matters: ${change}; ${how}. Less than ${roughPercent(rate.wouldSee)} for ten times the rate would hardly have been seen.`,
    method:
      "Slope of log strength over log₁₀ of the loading rate, within cells of the plan and ropes; p by exchanging strengths within cells.",
    pulls: rate.pulls,
    warnings: rate.warnings,
  };
}

/** With the sign taken off, for words that say which way. */
function sized({ value, interval }: OrderTrend["perTenPulls"]) {
  return value < 0 ? { value: -value, interval: [-interval[1], -interval[0]] as const } : { value, interval };
}

function kNPerS(rate: number): string {
  return String(Number((rate / 1000).toPrecision(2)));
}
