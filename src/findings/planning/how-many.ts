import type { Result } from "../../problem/mod.ts";
import { detectableDifference, power, sampleSize, toleranceFactor } from "../../stats/mod.ts";
import type { ExpectedScatter } from "./scatter.ts";

/** How many pulls each cell needs for a difference worth knowing. */
export type HowMany = {
  /** The difference worth knowing, as a share of a cell's mean. */
  readonly difference: number;
  readonly power: number;
  /** Pulls in each of two cells that are compared; and at either end of the range of the scatter. */
  readonly pullsPerCell: Result<number>;
  readonly range: readonly [Result<number>, Result<number>];
  /** Pairs of cells in the plan, and the pulls in each cell where every pair is compared. */
  readonly pairs: number;
  readonly forAllPairs: Result<number>;
  /** What the plan as it stands can do; absent where it has fewer than 2 pulls in a cell. */
  readonly planned?: {
    readonly pullsPerCell: number;
    readonly power: Result<number>;
    /** The difference that it finds with the chance asked for, as a share of the mean. */
    readonly difference: number;
  };
};

/**
 * How many pulls does each cell need, so that a difference worth knowing is found with the chance asked for?
 *
 * difference and scatter as shares of the mean; power above 0, below 1; cells of the plan. Result: the least n for two cells
 * (two-sided t test at 5 %), the same where all pairs are compared (5 % shared out among them, Bonferroni), and what the
 * planned number can show. The difference is a share of the larger of the two means.
 * Refused as `sampleSize` refuses: a difference of 0, more than 100 000 pulls.
 * Formula: `sample-size` with sd = CV.
 * Source: docs/methods/sample-size.md.
 *
 * @example
 * const answer = howMany({ difference: 0.1, power: 0.8, scatter: typedScatter(0.08), cells: 2, pullsPerCell: 5 });
 * answer.pullsPerCell.ok && answer.pullsPerCell.value // 12
 */
export function howMany(input: {
  readonly difference: number;
  readonly power: number;
  readonly scatter: ExpectedScatter;
  readonly cells: number;
  readonly pullsPerCell: number;
}): HowMany {
  const { difference, scatter, cells } = input;
  const need = (cv: number, alpha = usualAlpha): Result<number> => {
    const answer = sampleSize({ kind: "two", difference, sd: cv, alpha, power: input.power });
    return answer.ok ? { ...answer, value: answer.value.n } : answer;
  };
  const pairs = (cells * (cells - 1)) / 2;
  const n = input.pullsPerCell;
  return {
    difference,
    power: input.power,
    pullsPerCell: need(scatter.cv),
    range: [need(scatter.range[0]), need(scatter.range[1])],
    pairs,
    forAllPairs: need(scatter.cv, usualAlpha / Math.max(pairs, 1)),
    ...(n < 2 ? {} : { planned: shownBy(n, input) }),
  };
}

const usualAlpha = 0.05;

function shownBy(
  n: number,
  { difference, scatter: { cv }, power: wanted }: Parameters<typeof howMany>[0],
): NonNullable<HowMany["planned"]> {
  const chance = power({ kind: "two", n, difference, sd: cv, alpha: usualAlpha });
  return {
    pullsPerCell: n,
    power: chance.ok ? { ...chance, value: chance.value.power } : chance,
    difference: detectableDifference({ nA: n, nB: n, sd: cv, alpha: usualAlpha, power: wanted }),
  };
}

/** What a lower bound at n costs. */
export type BoundAtCount = {
  readonly n: number;
  /** Standard deviations below the mean. */
  readonly factor: number;
  /** How far below the mean that is, as a share of it; 1 or more promises nothing. */
  readonly below: number;
};

const customaryCounts = [3, 4, 5, 6, 8, 10, 15, 20, 30];

/**
 * How far below the mean does a lower bound lie, for few pulls and for many?
 *
 * Of normal strengths with the scatter given, as a share of the mean; the plan's own number stands in the list as well.
 * Formula: factor · CV, factor as `tolerance-factor`, one side. Source: docs/methods/tolerance-factor.md.
 *
 * @example
 * boundsAtCounts({ cv: 0.08, content: 0.95, confidence: 0.95, planned: 5 })[2]?.factor // 4.2027
 */
export function boundsAtCounts(input: {
  readonly cv: number;
  readonly content: number;
  readonly confidence: number;
  readonly planned: number;
}): BoundAtCount[] {
  const { cv, content, confidence, planned } = input;
  const counts = [...new Set([...customaryCounts, ...(planned < 2 ? [] : [planned])])].sort((a, b) => a - b);
  return counts.flatMap((n) => {
    const answer = toleranceFactor({ n, content, confidence, sides: "one" });
    return answer.ok ? [{ n, factor: answer.value.factor, below: answer.value.factor * cv }] : [];
  });
}
