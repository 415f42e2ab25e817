import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { fTails } from "../distributions/f.ts";
import { studentTQuantile, studentTTwoSided } from "../distributions/student-t.ts";
import { studentizedRangeQuantile, studentizedRangeTails } from "../distributions/studentized-range.ts";
import { permuteLevels, permuteSlope } from "../groups/block-permutation.ts";
import { rowsOfBlocks, type Sorting, sortingOf, withinBlocks } from "../groups/in-blocks.ts";
import type { Permutation } from "../groups/permutation.ts";
import { cholesky, solveByFactor } from "../numeric/symmetric.ts";
import { noScatter, problemsOfShare, problemsOfValues } from "../values.ts";

export type BlockedInput = {
  readonly values: readonly number[];
  /** What was varied, for each value. */
  readonly levels: readonly string[];
  /** What stayed the same within a block: levels are compared within blocks only. One block where absent. */
  readonly blocks?: readonly string[];
  /** The order in which levels are told; that of their first values where absent. */
  readonly order?: readonly string[];
  readonly confidence?: number;
  readonly resamples?: number;
  readonly seed?: number;
};

/** Two levels side by side: the second less the first. */
export type LevelPair = {
  readonly from: string;
  readonly to: string;
  readonly difference: number;
  readonly standardError: number;
  /** Of all pairs together where there are more than two levels. */
  readonly interval: readonly [low: number, high: number];
  readonly p: number;
  /** The least true difference that such values would show with a chance of 80 %. */
  readonly wouldSee: number;
};

export type BlockedEffects = {
  readonly n: number;
  readonly levels: readonly { readonly name: string; readonly n: number; readonly mean: number }[];
  readonly blocks: number;
  readonly df: number;
  readonly residualSd: number;
  /** That no level differs: by the F law. */
  readonly f: number;
  readonly p: number;
  /** That no level differs: by handing the values out anew within blocks. */
  readonly permutation: Permutation;
  readonly pairs: readonly LevelPair[];
};

/**
 * How far do levels of one thing set values apart, where other things were kept apart as blocks?
 *
 * Values in one unit, each with its level and its block; two levels or more, that meet in blocks so that each can be
 * compared with each, at least one value more than levels and blocks need. Refused where nothing scatters within them.
 * Formulas: least squares with levels and blocks, added; pairs by Tukey and Kramer (Student's t for two levels); p by F and
 * by permutation within blocks of the sum of squares that the levels take up; would be seen with 80 %:
 * (t or q/√2 at the confidence + t at 0.8) × standard error.
 * Source: R. A. Fisher, The Design of Experiments (1935); C. Y. Kramer, Biometrics 12 (1956), 307-310; E. S. Edgington,
 * Randomization Tests (1995).
 *
 * @example
 * const answer = blockedEffects({ values: [50, 51, 55, 57], levels: ["a", "a", "b", "b"] });
 * answer.ok && answer.value.pairs[0]?.difference // 5.5
 */
export function blockedEffects(input: BlockedInput): Result<BlockedEffects> {
  const { values, confidence = 0.95, resamples = 9999, seed = 1 } = input;
  const [problem, ...more] = problemsOf(values, [input.levels, input.blocks], confidence);
  if (problem !== undefined) return refuse(problem, ...more);
  const levels = sortingOf(input.levels, input.order);
  const blocks = sortingOf(input.blocks ?? values.map(() => ""));
  const k = levels.names.length;
  if (k < 2) return refuse(oneLevel);
  const df = values.length - blocks.names.length - (k - 1);
  if (df < 1) return refuse(tooFewFor(values.length, blocks.names.length + k));
  const inverse = inverseOf(information(levels, blocks));
  if (inverse === undefined) return refuse(neverMeet);
  const centred = withinBlocks(values, blocks);
  const sums = new Float64Array(k);
  for (const [i, value] of centred.entries())
    sums[levels.of[i] as number] = (sums[levels.of[i] as number] as number) + value;
  const effects = inverse.map((row) =>
    row.reduce((total, value, j) => total + value * (sums[j] as number), 0),
  );
  const far = (of: Float64Array) => {
    let total = 0;
    for (let i = 1; i < k; i++)
      for (let j = 1; j < k; j++)
        total += (of[i] as number) * (of[j] as number) * (inverse[i]?.[j] as number);
    return total;
  };
  const between = far(sums);
  const all = centred.reduce((total, value) => total + value * value, 0);
  const rest = all - between;
  if (!(rest > 1e-24 * values.reduce((total, value) => total + value * value, 0)))
    return refuse(noScatter("A comparison of levels", values[0] as number));
  const residualSd = Math.sqrt(rest / df);
  const f = between / (k - 1) / (rest / df);
  const critical =
    k === 2
      ? studentTQuantile(0.5 + confidence / 2, df)
      : studentizedRangeQuantile(confidence, k, df) / Math.SQRT2;
  const seen = critical + studentTQuantile(0.8, df);
  const pairs = levels.names.flatMap((to, j) =>
    levels.names.slice(0, j).map((from, i): LevelPair => {
      const g = (a: number, b: number) => inverse[a]?.[b] as number;
      const difference = (effects[j] as number) - (effects[i] as number);
      const standardError = residualSd * Math.sqrt(g(i, i) + g(j, j) - 2 * g(i, j));
      const t = difference / standardError;
      return {
        from,
        to,
        difference,
        standardError,
        interval: [difference - critical * standardError, difference + critical * standardError],
        p: k === 2 ? studentTTwoSided(t, df) : studentizedRangeTails(Math.abs(t) * Math.SQRT2, k, df).upper,
        wouldSee: seen * standardError,
      };
    }),
  );
  return ok({
    n: values.length,
    levels: levels.names.map((name, l) => {
      const own = values.filter((_, i) => levels.of[i] === l);
      return { name, n: own.length, mean: own.reduce((total, value) => total + value, 0) / own.length };
    }),
    blocks: blocks.names.length,
    df,
    residualSd,
    f,
    p: fTails(f, k - 1, df).upper,
    permutation: permuteLevels({ values, levels, blocks, far, resamples, seed }),
    pairs,
  });
}

export type BlockedSlope = {
  readonly n: number;
  readonly blocks: number;
  readonly slope: number;
  readonly standardError: number;
  readonly interval: readonly [low: number, high: number];
  readonly df: number;
  readonly residualSd: number;
  /** That the slope is 0, by Student's t. */
  readonly p: number;
  readonly permutation: Permutation;
  /** The least true slope that such values would show with a chance of 80 %. */
  readonly wouldSee: number;
};

/**
 * How steeply do values go with a number, within blocks? As `blockedEffects`, with one slope for all blocks.
 *
 * @example
 * const answer = blockedSlope({ values: [1, 2.1, 2.9, 11, 12.2], x: [1, 2, 3, 1, 2], blocks: ["a", "a", "a", "b", "b"] });
 * answer.ok && answer.value.slope // 1
 */
export function blockedSlope(
  input: Omit<BlockedInput, "levels" | "order"> & { readonly x: readonly number[] },
): Result<BlockedSlope> {
  const { values, x, confidence = 0.95, resamples = 9999, seed = 1 } = input;
  const [problem, ...more] = [
    ...problemsOf(values, [x, input.blocks], confidence),
    ...problemsOfValues(x, 2, "A slope", "x"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const blocks = sortingOf(input.blocks ?? values.map(() => ""));
  const df = values.length - blocks.names.length - 1;
  if (df < 1) return refuse(tooFewFor(values.length, blocks.names.length + 2));
  const [y, along] = [withinBlocks(values, blocks), withinBlocks(x, blocks)];
  const squares = along.reduce((total, value) => total + value * value, 0);
  if (!(squares > 1e-24 * x.reduce((total, value) => total + value * value, 0)))
    return refuse(noScatter("A slope", x[0] as number));
  const slope = along.reduce((total, value, i) => total + value * (y[i] as number), 0) / squares;
  const rest = y.reduce((total, value, i) => total + (value - slope * (along[i] as number)) ** 2, 0);
  if (!(rest > 1e-24 * values.reduce((total, value) => total + value * value, 0)))
    return refuse(noScatter("A slope", values[0] as number));
  const residualSd = Math.sqrt(rest / df);
  const standardError = residualSd / Math.sqrt(squares);
  const critical = studentTQuantile(0.5 + confidence / 2, df);
  return ok({
    n: values.length,
    blocks: blocks.names.length,
    slope,
    standardError,
    interval: [slope - critical * standardError, slope + critical * standardError],
    df,
    residualSd,
    p: studentTTwoSided(slope / standardError, df),
    permutation: permuteSlope({ values, x, blocks, resamples, seed }),
    wouldSee: (critical + studentTQuantile(0.8, df)) * standardError,
  });
}

/** What the blocks leave to tell levels apart by: on the diagonal how often a level stands beside others. */
function information(levels: Sorting, blocks: Sorting): number[][] {
  const matrix = levels.names.map(() => levels.names.map(() => 0));
  const put = (i: number, j: number, value: number) => {
    (matrix[i] as number[])[j] = (matrix[i]?.[j] as number) + value;
  };
  for (const rows of rowsOfBlocks(blocks))
    for (const a of rows) {
      put(levels.of[a] as number, levels.of[a] as number, 1);
      for (const b of rows) put(levels.of[a] as number, levels.of[b] as number, -1 / rows.length);
    }
  return matrix;
}

/** Its inverse with the first level held at 0; nothing where some level never meets the others. */
function inverseOf(matrix: readonly (readonly number[])[]): number[][] | undefined {
  const reduced = matrix.slice(1).map((row) => row.slice(1));
  const factor = cholesky(reduced);
  if (typeof factor === "number") return undefined;
  const columns = reduced.map((_, j) =>
    solveByFactor(
      factor,
      reduced.map((_, i) => (i === j ? 1 : 0)),
    ),
  );
  return [matrix.map(() => 0), ...columns.map((column) => [0, ...column])];
}

function problemsOf(
  values: readonly number[],
  beside: readonly (readonly unknown[] | undefined)[],
  confidence: number,
): Problem[] {
  const short = beside.find((list) => list !== undefined && list.length !== values.length);
  return [
    ...problemsOfValues(values, 3, "A comparison in blocks"),
    ...problemsOfShare(confidence, "confidence"),
    ...(short === undefined
      ? []
      : [
          {
            code: "INPUT_FIELD" as const,
            message: "Every value needs its level and its block.",
            found: String(short.length),
            expected: String(values.length),
          },
        ]),
  ];
}

const oneLevel: Problem = {
  code: "STAT_TOO_FEW",
  message: "A comparison of levels needs 2 levels, has 1.",
  where: { field: "levels" },
  found: "1",
  expected: "2 or more",
};

const neverMeet: Problem = {
  code: "STAT_DEGENERATE",
  message: "The levels cannot all be compared: some never stand in one block with the others.",
  where: { field: "blocks" },
  wayOut: "Vary one thing while the others stay as they are.",
};

function tooFewFor(n: number, needs: number): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: `A comparison in so many blocks and levels needs ${needs} values, has ${n}.`,
    where: { field: "values" },
    found: String(n),
    expected: `${needs} or more`,
  };
}
