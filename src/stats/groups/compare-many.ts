import { ok, type Result, refuse } from "../../problem/mod.ts";
import { chiSquaredTails } from "../distributions/chi-squared.ts";
import { fTails, nonCentralFUpper } from "../distributions/f.ts";
import { studentizedRangeQuantile, studentizedRangeTails } from "../distributions/studentized-range.ts";
import { moments } from "../numeric/moments.ts";
import { findRoot } from "../numeric/root.ts";
import { detectableSpread } from "../planning/power.ts";
import { differ, noScatter, problemsOfShare } from "../values.ts";
import { type Groups, midranks, problemsOfGroups, scatterWithin, tieCounts } from "./groups.ts";
import { type OneWay, oneWay } from "./one-way.ts";
import { welchDf } from "./welch.ts";

/** Two groups side by side: mean(group j) − mean(group i), groups counted from 0. */
export type Pair = {
  readonly i: number;
  readonly j: number;
  readonly difference: number;
  readonly lower: number;
  readonly upper: number;
  readonly p: number;
};

export type CompareMany = {
  readonly means: readonly number[];
  readonly anova: OneWay;
  /** Absent where a group does not scatter. */
  readonly welchAnova?: {
    readonly f: number;
    readonly df1: number;
    readonly df2: number;
    readonly p: number;
  };
  readonly kruskalWallis: { readonly h: number; readonly df: number; readonly p: number };
  readonly tukey: readonly Pair[];
  /** Absent where a group does not scatter. */
  readonly gamesHowell?: readonly Pair[];
  readonly residualSd: number;
  /** Share of all squared deviations that lies between groups. */
  readonly rSquared: number;
  readonly effect: {
    /** ω²: the same share in the population, corrected for what chance puts there; may come out below zero. */
    readonly omegaSquared: number;
    /** Interval of the share between groups, from the non-central F; absent where F is above 10 000: all but everything. */
    readonly interval?: readonly [low: number, high: number];
  };
  readonly canShow: {
    /** How far the means of the two smallest groups must lie apart, the others midway, for F at 5 % to find it in 80 of 100. */
    readonly detectable: number;
    readonly sentence: string;
  };
};

/**
 * Do several groups differ, which of them, and how much of the scatter lies between them?
 *
 * Two or more groups of two or more values each, in one unit. Refused where nothing scatters within groups.
 * Formulas: one-way F; Welch's F for unequal spreads; Kruskal-Wallis H corrected for ties; Tukey-Kramer and Games-Howell
 * intervals by the studentized range, all at the confidence asked for (0.95) for all pairs together.
 * Source: B. L. Welch, Biometrika 38 (1951), 330-336; W. H. Kruskal and W. A. Wallis, J. Amer. Statist. Assoc. 47 (1952),
 * 583-621; C. Y. Kramer, Biometrics 12 (1956), 307-310; P. A. Games and J. F. Howell, J. Educ. Statist. 1 (1976),
 * 113-125; J. H. Steiger, Psychol. Methods 9 (2004), 164-182, for the interval of the effect.
 *
 * @example
 * const answer = compareMany({ groups: [[6.9, 5.4, 5.8, 4.6, 4.0], [8.3, 6.8, 7.8, 9.2, 6.5], [8.0, 10.5, 8.1, 6.9, 9.3]] });
 * answer.ok && answer.value.anova.f // 9.59
 */
export function compareMany(input: {
  readonly groups: Groups;
  readonly confidence?: number;
}): Result<CompareMany> {
  const { groups, confidence = 0.95 } = input;
  const name = "A comparison of groups";
  const [problem, ...more] = [
    ...problemsOfGroups(groups, 2, name),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const anova = oneWay(groups);
  if (!scatterWithin(groups)) return refuse(noScatter(`${name}, within the groups,`, groups[0]?.[0] ?? 0));
  const cells = groups.map((group) => {
    const { n, mean, sumOfSquares } = moments(group);
    return { n, mean, variance: sumOfSquares / (n - 1) };
  });
  const all = groups.flat();
  const allScatter = groups.every((group) => differ(group, all));
  return ok({
    means: cells.map(({ mean }) => mean),
    anova,
    ...(allScatter && { welchAnova: welchAnova(cells), gamesHowell: gamesHowell(cells, confidence) }),
    kruskalWallis: kruskalWallis(groups),
    tukey: tukey(cells, anova, confidence),
    residualSd: Math.sqrt(anova.msWithin),
    rSquared: anova.ssBetween / (anova.ssBetween + anova.ssWithin),
    effect: {
      omegaSquared:
        (anova.ssBetween - anova.dfBetween * anova.msWithin) /
        (anova.ssBetween + anova.ssWithin + anova.msWithin),
      ...(anova.f <= 10_000 && {
        interval: [
          shareBetween(anova, all.length, 0.5 + confidence / 2),
          shareBetween(anova, all.length, 0.5 - confidence / 2),
        ] as const,
      }),
    },
    canShow: canShow(groups, anova),
  });
}

function canShow(groups: Groups, anova: OneWay): CompareMany["canShow"] {
  const sizes = groups.map(({ length }) => length);
  const detectable = detectableSpread({ sizes, sd: Math.sqrt(anova.msWithin), alpha: 0.05, power: 0.8 });
  const [least, most] = [Math.min(...sizes), Math.max(...sizes)];
  const given = least === most ? `${least}` : `${least} to ${most}`;
  const which = least === most ? "two of the groups" : "the two smallest groups";
  return {
    detectable,
    sentence: `With ${groups.length} groups of ${given} values and this scatter a true difference of ${detectable.toPrecision(3)} between ${which}, the others midway, would be found with a chance of 80 %; smaller ones mostly go unseen.`,
  };
}

type Cell = { readonly n: number; readonly mean: number; readonly variance: number };

function welchAnova(cells: readonly Cell[]): NonNullable<CompareMany["welchAnova"]> {
  const k = cells.length;
  const weights = cells.map(({ n, variance }) => n / variance);
  const all = weights.reduce((sum, w) => sum + w, 0);
  const centre = cells.reduce((sum, { mean }, i) => sum + (weights[i] as number) * mean, 0) / all;
  const between =
    cells.reduce((sum, { mean }, i) => sum + (weights[i] as number) * (mean - centre) ** 2, 0) / (k - 1);
  const spread = cells.reduce((sum, { n }, i) => sum + (1 - (weights[i] as number) / all) ** 2 / (n - 1), 0);
  const f = between / (1 + ((2 * (k - 2)) / (k * k - 1)) * spread);
  const df2 = (k * k - 1) / (3 * spread);
  return { f, df1: k - 1, df2, p: fTails(f, k - 1, df2).upper };
}

function kruskalWallis(groups: Groups): CompareMany["kruskalWallis"] {
  const all = groups.flat();
  const n = all.length;
  const ranks = midranks(all);
  let start = 0;
  let squares = 0;
  for (const group of groups) {
    const mean = ranks.slice(start, start + group.length).reduce((sum, rank) => sum + rank, 0) / group.length;
    squares += group.length * (mean - (n + 1) / 2) ** 2;
    start += group.length;
  }
  const tied = tieCounts(all).reduce((sum, t) => sum + t ** 3 - t, 0);
  const h = ((12 / (n * (n + 1))) * squares) / (1 - tied / (n ** 3 - n));
  const df = groups.length - 1;
  return { h, df, p: chiSquaredTails(h, df).upper };
}

function pairs(
  cells: readonly Cell[],
  compare: (first: Cell, second: Cell) => Omit<Pair, "i" | "j">,
): Pair[] {
  return cells.flatMap((first, i) =>
    cells.slice(i + 1).map((second, step) => ({ i, j: i + 1 + step, ...compare(first, second) })),
  );
}

function tukey(cells: readonly Cell[], anova: OneWay, confidence: number): Pair[] {
  const q = studentizedRangeQuantile(confidence, cells.length, anova.dfWithin);
  return pairs(cells, (first, second) => {
    const difference = second.mean - first.mean;
    const unit = Math.sqrt((anova.msWithin / 2) * (1 / first.n + 1 / second.n));
    const p = studentizedRangeTails(Math.abs(difference) / unit, cells.length, anova.dfWithin).upper;
    return { difference, lower: difference - q * unit, upper: difference + q * unit, p };
  });
}

function gamesHowell(cells: readonly Cell[], confidence: number): Pair[] {
  return pairs(cells, (first, second) => {
    const difference = second.mean - first.mean;
    const [va, vb] = [first.variance / first.n, second.variance / second.n];
    const df = welchDf(va, first.n, vb, second.n);
    const unit = Math.sqrt((va + vb) / 2);
    const q = studentizedRangeQuantile(confidence, cells.length, df);
    const p = studentizedRangeTails(Math.abs(difference) / unit, cells.length, df).upper;
    return { difference, lower: difference - q * unit, upper: difference + q * unit, p };
  });
}

/** The share of variance between groups at which an F this large or larger has the chance 1 − share; 0 where none has. */
function shareBetween({ f, dfBetween, dfWithin }: OneWay, total: number, share: number): number {
  const upper = 1 - share;
  const beyond = (ncp: number) => nonCentralFUpper(f, dfBetween, dfWithin, ncp) - upper;
  if (beyond(0) >= 0) return 0;
  let high = Math.max(1, 2 * f * dfBetween);
  while (beyond(high) < 0) high *= 2;
  const ncp = findRoot(beyond, 0, high);
  return ncp / (ncp + total);
}
