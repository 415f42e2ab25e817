import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { nonCentralTTails } from "../distributions/non-central-t.ts";
import { moments } from "../numeric/moments.ts";
import { findRootFrom } from "../numeric/root.ts";
import { detectableDifference } from "../planning/power.ts";
import { logGamma } from "../special/gamma.ts";
import { problemsOfMany, problemsOfShare, problemsOfValues } from "../values.ts";
import { scatterWithin } from "./groups.ts";
import { type MannWhitney, mannWhitney } from "./mann-whitney.ts";
import { binomial, type Permutation, permutationTest } from "./permutation.ts";
import { pairedTest, pooledTest, type Welch, welchTest } from "./welch.ts";

export type CompareTwoInput = {
  readonly a: readonly number[];
  readonly b: readonly number[];
  /** Of the intervals; 0.95 unless said. */
  readonly confidence?: number;
  /** True where a[i] and b[i] belong together. */
  readonly paired?: boolean;
  /** For a random permutation test, where there are too many splits to count them all; 99 999 unless said. */
  readonly resamples?: number;
  readonly seed?: number;
};

export type CompareTwo = {
  readonly meanA: number;
  readonly meanB: number;
  /** Absent where a group has one value only, or where neither group scatters. */
  readonly welch?: Welch;
  readonly pooled?: Welch;
  readonly paired?: Welch;
  readonly permutation: Permutation;
  readonly mannWhitney: MannWhitney;
  readonly effect?: Effect;
  readonly canShow: CanShow;
};

export type Effect = {
  /** Hedges' g: the difference in pooled standard deviations, corrected for small n. */
  readonly standardised: number;
  readonly interval: readonly [low: number, high: number];
  /** The chance that a value of a is larger than one of b, ties counting half: u/(nₐ n_b). */
  readonly chanceALarger: number;
};

export type CanShow = {
  /** No arrangement of so few values can give a smaller permutation p. */
  readonly smallestP: number;
  /** The difference that a test at 5 % finds with a chance of 80 %, at the pooled sd of these values. */
  readonly detectable?: number;
  readonly sentence: string;
};

/**
 * Do two groups differ, by how much, and could so few values show it?
 *
 * Two groups of values in one unit, at least one each and three in all. difference is mean(a) − mean(b).
 * Formulas: Welch's t with its interval; the share of all splits whose means lie at least as far apart; Mann-Whitney with
 * midranks, counted out; Hedges' g with the interval of the non-central t.
 * Source: B. L. Welch, Biometrika 34 (1947), 28-35; L. V. Hedges, J. Educ. Statist. 6 (1981), 107-128; see the parts.
 *
 * @example
 * const answer = compareTwo({ a: [49, 47, 49, 51, 51], b: [55, 54, 55, 50, 54] });
 * answer.ok && answer.value.permutation.p // 0.0238…, 6 of 252 splits
 */
export function compareTwo(input: CompareTwoInput): Result<CompareTwo> {
  const { a, b, confidence = 0.95, paired = false, resamples = 99_999, seed = 1 } = input;
  const [problem, ...more] = [
    ...problemsOfMany(a.length + b.length, mostValues, "A comparison of two groups", "a", manyWayOut),
    ...problemsOfValues(a, 1, "A comparison of two groups", "a"),
    ...problemsOfValues(b, 1, "A comparison of two groups", "b"),
    ...problemsOfShare(confidence, "confidence"),
    ...(paired ? problemsOfPairs(a, b) : []),
    ...(a.length + b.length === 2 ? [tooSmall] : []),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const each = a.length > 1 && b.length > 1;
  const welch = each ? welchTest(a, b, confidence) : undefined;
  const pooled = pooledTest(a, b, confidence);
  const pairs = paired ? pairedTest(a, b, confidence) : undefined;
  const ranks = mannWhitney(a, b);
  const permutation = permutationTest(a, b, resamples, seed);
  return ok(
    {
      meanA: moments(a).mean,
      meanB: moments(b).mean,
      ...(welch !== undefined && { welch }),
      ...(pooled !== undefined && { pooled }),
      ...(pairs !== undefined && { paired: pairs }),
      permutation,
      mannWhitney: ranks,
      ...(pooled !== undefined && { effect: effectOf(pooled, a.length, b.length, ranks.u, confidence) }),
      canShow: canShow(a, b),
    },
    [
      ...warningsFor(welch, each),
      ...(paired && pairs === undefined ? [allAlike] : []),
      ...warningsOfChance(permutation),
    ],
  );
}

/** Splits of more by chance take seconds, and show nothing that an interval does not. */
const mostValues = 100_000;
const manyWayOut = "The calculation compare-many takes more, with Welch's test among its answers.";

function effectOf(pooled: Welch, m: number, n: number, u: number, confidence: number): Effect {
  const { t, df } = pooled;
  const scale = Math.sqrt(1 / m + 1 / n);
  // Hedges' exact factor Γ(df/2) / (√(df/2) Γ((df − 1)/2)); at df = 1 it has none, and g is d.
  const shrink = df > 1 ? Math.exp(logGamma(df / 2) - logGamma((df - 1) / 2)) / Math.sqrt(df / 2) : 1;
  const shift = (share: number) =>
    findRootFrom((ncp) => share - nonCentralTTails(t, df, ncp).lower, t, Math.max(1, Math.abs(t) / 4));
  const tail = (1 - confidence) / 2;
  return {
    standardised: shrink * t * scale,
    interval: [shift(1 - tail) * scale, shift(tail) * scale],
    chanceALarger: u / (m * n),
  };
}

function canShow(a: readonly number[], b: readonly number[]): CanShow {
  const splits = binomial(a.length + b.length, a.length);
  // With groups of one size the mirrored split lies as far apart.
  const smallestP = (a.length === b.length ? 2 : 1) / splits;
  const [first, second] = [moments(a), moments(b)];
  const df = a.length + b.length - 2;
  const sd = Math.sqrt((first.sumOfSquares + second.sumOfSquares) / df);
  const detectable = scatterWithin([a, b])
    ? detectableDifference({ nA: a.length, nB: b.length, sd, alpha: 0.05, power: 0.8 })
    : undefined;
  const small =
    smallestP > 0.05
      ? `With ${a.length} and ${b.length} values no result can reach p = 0.05 by permutation; the least is ${smallestP.toPrecision(2)}.`
      : `With ${a.length} and ${b.length} values the least possible p by permutation is ${smallestP.toPrecision(2)}.`;
  const size =
    detectable === undefined
      ? ""
      : ` At this scatter a true difference of ${detectable.toPrecision(3)} would be found with a chance of 80 %; smaller ones mostly go unseen.`;
  return { smallestP, ...(detectable !== undefined && { detectable }), sentence: small + size };
}

function warningsFor(welch: Welch | undefined, each: boolean): Warning[] {
  if (!each) {
    return [
      {
        code: "STAT_TOO_FEW",
        message: "Welch's interval needs two values in each group.",
        found: "1",
        expected: "2 or more",
      },
    ];
  }
  if (welch !== undefined) return [];
  return [
    {
      code: "STAT_DEGENERATE",
      message: "Neither group scatters, so no interval of the difference can be given.",
    },
  ];
}

const allAlike: Warning = {
  code: "STAT_DEGENERATE",
  message:
    "All pairs differ by the same, within rounding, so no interval of the paired difference can be given.",
};

function warningsOfChance({ exact, splits }: Permutation): Warning[] {
  if (exact) return [];
  return [
    {
      code: "STAT_APPROXIMATE",
      message: `The permutation p is from ${splits} splits by chance. All are counted up to 44 values in all, and up to more where one group is small.`,
      found: `${splits} splits`,
    },
  ];
}

function problemsOfPairs(a: readonly number[], b: readonly number[]): Problem[] {
  if (a.length === b.length && a.length > 1) return [];
  return [
    {
      code: "INPUT_FIELD",
      message: "Pairs need two groups of the same length, of two or more.",
      where: { field: "paired" },
      found: `${a.length} and ${b.length} values`,
    },
  ];
}

const tooSmall: Problem = {
  code: "STAT_TOO_FEW",
  message: "A comparison of two groups needs three values in all, has 2.",
  where: { field: "a" },
  found: "1 and 1",
  expected: "3 or more",
};
