import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { leastSquares } from "../numeric/least-squares.ts";
import { sum } from "../numeric/moments.ts";
import { problemsOfShare } from "../values.ts";
import { type Columns, dependent, problemsOfColumns, tooFewRows } from "./linear-model.ts";

export type MixedModelInput = {
  readonly response: readonly number[];
  /** Columns with a fixed effect; an intercept is always added. May be empty. */
  readonly fixed: Columns;
  /** Which group (spool, maker) each row belongs to. */
  readonly group: readonly (string | number)[];
  readonly confidence?: number;
};

export type MixedModel = {
  readonly n: number;
  readonly groups: number;
  readonly fixed: Readonly<Record<string, number>>;
  readonly standardErrors: Readonly<Record<string, number>>;
  /** Satterthwaite's; absent for more than 1500 rows. */
  readonly satterthwaiteDf?: Readonly<Record<string, number>>;
  readonly intervals?: Readonly<Record<string, readonly [low: number, high: number]>>;
  /** Scatter between groups and within them, as standard deviations. */
  readonly groupSd: number;
  readonly residualSd: number;
  /** Of the variance, the share between groups. */
  readonly groupShare: number;
  /** −2 × the restricted log-likelihood. */
  readonly remlCriterion: number;
};

/**
 * How a response depends on columns where rows come in groups (pulls of one spool, of one maker), and how much of the
 * scatter lies between the groups.
 *
 * Two groups or more, one of them with two rows or more; more rows than coefficients. The scatter between groups may come
 * out as 0, with a warning: it is then no larger than chance within groups makes it.
 * Formula: response = fixed effects + group effect + rest, both normal; restricted maximum likelihood over the ratio of the
 * variances; degrees of freedom by Satterthwaite from the observed information.
 * Source: H. D. Patterson and R. Thompson, Biometrika 58 (1971), 545-554; F. G. Giesbrecht and J. C. Burns, Biometrics 41
 * (1985), 477-486.
 *
 * @example
 * const answer = mixedModel({ response: [55, 53, 54, 26, 37, 32, 78, 91, 85], fixed: {}, group: ["1", "1", "1", "2", "2", "2", "3", "3", "3"] });
 * answer.ok && answer.value.groups // 3
 */
export function mixedModel(input: MixedModelInput): Result<MixedModel> {
  const { response, fixed, group, confidence = 0.95 } = input;
  const names = ["intercept", ...Object.keys(fixed)];
  const [problem, ...more] = [
    ...problemsOfColumns(fixed, response, true),
    ...problemsOfGroup(group, response.length),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  if (response.length <= names.length) return refuse(tooFewRows(response.length, names.length));
  const rowsOf = new Map<string | number, number[]>();
  for (const [i, name] of group.entries()) rowsOf.set(name, [...(rowsOf.get(name) ?? []), i]);
  const clusters = [...rowsOf.values()];
  const data: Data = { y: response, x: names.map((name) => fixed[name] ?? response.map(() => 1)), clusters };
  const plain = leastSquares(data.x, response);
  if (typeof plain === "number") return refuse(dependent(names[plain] as string));
  const rest = sum([...plain.residuals].map((e) => e * e));
  if (!(rest > 1e-26 * sum(response.map((y) => y * y)))) return refuse(noRest);
  const ratio = bestRatio(data);
  if (ratio === undefined) return refuse(noRest);
  const best = atRatio(data, ratio);
  if (best === undefined) return refuse(noRest);
  const groupSd = Math.sqrt(ratio * best.variance);
  const named = (value: (j: number) => number) =>
    Object.fromEntries(names.map((name, j) => [name, value(j)]));
  const df = response.length <= 1500 ? satterthwaite(data, ratio, best) : undefined;
  const standardError = (j: number) => Math.sqrt(best.covariance[j]?.[j] as number);
  return ok(
    {
      n: response.length,
      groups: clusters.length,
      fixed: named((j) => best.beta[j] as number),
      standardErrors: named(standardError),
      ...(df !== undefined && {
        satterthwaiteDf: named((j) => df[j] as number),
        intervals: Object.fromEntries(
          names.map((name, j) => {
            const half = studentTQuantile(0.5 + confidence / 2, df[j] as number) * standardError(j);
            return [name, [(best.beta[j] as number) - half, (best.beta[j] as number) + half] as const];
          }),
        ),
      }),
      groupSd,
      residualSd: Math.sqrt(best.variance),
      groupShare: ratio / (1 + ratio),
      remlCriterion: best.criterion,
    },
    warningsFor(ratio, clusters.length, df === undefined),
  );
}

type Data = {
  readonly y: readonly number[];
  readonly x: readonly (readonly number[])[];
  readonly clusters: readonly (readonly number[])[];
};

type AtRatio = {
  readonly beta: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Of what is left within groups. */
  readonly variance: number;
  readonly criterion: number;
};

/** Everything at a given ratio of the variances, by least squares on rows that were made independent. */
function atRatio({ y, x, clusters }: Data, ratio: number): AtRatio | undefined {
  const free = (column: readonly number[]) => {
    const out = [...column];
    for (const rows of clusters) {
      const shrink = 1 - 1 / Math.sqrt(1 + rows.length * ratio);
      const mean = sum(rows.map((i) => column[i] as number)) / rows.length;
      for (const i of rows) out[i] = (column[i] as number) - shrink * mean;
    }
    return out;
  };
  const solved = leastSquares(x.map(free), free(y));
  if (typeof solved === "number") return undefined;
  const df = y.length - x.length;
  const variance = sum([...solved.residuals].map((e) => e * e)) / df;
  const inverse = solved.influence.map((a) =>
    solved.influence.map((b) => a.reduce((total, value, i) => total + value * (b[i] as number), 0)),
  );
  const logGroups = sum(clusters.map((rows) => Math.log1p(rows.length * ratio)));
  return {
    beta: [...solved.coefficients],
    covariance: inverse.map((row) => row.map((value) => value * variance)),
    variance,
    criterion: df * (1 + Math.log(2 * Math.PI * variance)) + logGroups - logDeterminant(inverse),
  };
}

/** The ratio at which the restricted likelihood is largest: a scan over many sizes, then golden section. */
function bestRatio(data: Data): number | undefined {
  const criterion = (logRatio: number) =>
    atRatio(data, Math.exp(logRatio))?.criterion ?? Number.POSITIVE_INFINITY;
  const zero = atRatio(data, 0)?.criterion;
  if (zero === undefined) return undefined;
  const scan = Array.from({ length: 61 }, (_, i) => -15 + 0.5 * i);
  const values = scan.map(criterion);
  const at = values.indexOf(Math.min(...values));
  let low = (scan[at] as number) - 0.5;
  let high = (scan[at] as number) + 0.5;
  // The criterion is flat at its least value: golden section brings the ratio to about 1e-8 of itself.
  const golden = (Math.sqrt(5) - 1) / 2;
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let [atLeft, atRight] = [criterion(left), criterion(right)];
  while (high - low > 1e-9) {
    if (atLeft <= atRight) {
      [high, right, atRight] = [right, left, atLeft];
      left = high - golden * (high - low);
      atLeft = criterion(left);
    } else {
      [low, left, atLeft] = [left, right, atRight];
      right = low + golden * (high - low);
      atRight = criterion(right);
    }
  }
  const found = (low + high) / 2;
  return criterion(found) < zero - 1e-9 * Math.max(1, Math.abs(zero)) ? Math.exp(found) : 0;
}

/**
 * Degrees of freedom of each coefficient: 2 C²/(gᵀ A g), C its variance, g the slopes of C in both variances, A the
 * covariance of the variances, twice the inverse of the second derivatives of the criterion.
 */
function satterthwaite(data: Data, ratio: number, best: AtRatio): number[] {
  const { x, y, clusters } = data;
  const n = y.length;
  // V⁻¹ a, group by group: (a − ratio/(1 + size·ratio) · Σ a)/variance.
  const inverse = (a: ArrayLike<number>) => {
    const out = new Float64Array(n);
    for (const rows of clusters) {
      const total = rows.reduce((part, i) => part + (a[i] as number), 0);
      const taken = (ratio / (1 + rows.length * ratio)) * total;
      for (const i of rows) out[i] = ((a[i] as number) - taken) / best.variance;
    }
    return out;
  };
  const dot = (a: ArrayLike<number>, b: ArrayLike<number>) => {
    let total = 0;
    for (let i = 0; i < a.length; i++) total += (a[i] as number) * (b[i] as number);
    return total;
  };
  const weighted = x.map(inverse);
  const project = (a: ArrayLike<number>) => {
    const out = inverse(a);
    const along = weighted.map((column) => dot(column, a));
    for (const [j, column] of weighted.entries()) {
      const times = dot(best.covariance[j] as readonly number[], along);
      for (let i = 0; i < n; i++) out[i] = (out[i] as number) - (column[i] as number) * times;
    }
    return out;
  };
  const groupSums = (a: ArrayLike<number>) =>
    clusters.map((rows) => rows.reduce((part, i) => part + (a[i] as number), 0));
  const spread = (sums: readonly number[]) => {
    const out = new Float64Array(n);
    for (const [g, rows] of clusters.entries()) for (const i of rows) out[i] = sums[g] as number;
    return out;
  };
  // Traces of P, column by column of Z (groups) and of the unit matrix.
  let [traceGG, traceGE, traceEE] = [0, 0, 0];
  for (const g of clusters.keys()) {
    const column = project(spread(clusters.map((_, h) => (h === g ? 1 : 0))));
    traceGE += dot(column, column);
    const sums = groupSums(column);
    traceGG += dot(sums, sums);
  }
  for (let i = 0; i < n; i++) {
    const unit = new Float64Array(n);
    unit[i] = 1;
    const column = project(unit);
    traceEE += dot(column, column);
  }
  const w = project(y);
  const zw = spread(groupSums(w));
  const pzw = project(zw);
  const pw = project(w);
  const hessian = [2 * dot(zw, pzw) - traceGG, 2 * dot(zw, pw) - traceGE, 2 * dot(w, pw) - traceEE] as const;
  const determinant = hessian[0] * hessian[2] - hessian[1] ** 2;
  return x.map((_, j) => {
    const combined = new Float64Array(n);
    for (const [k, column] of weighted.entries()) {
      for (let i = 0; i < n; i++)
        combined[i] = (combined[i] as number) + (column[i] as number) * (best.covariance[j]?.[k] as number);
    }
    const sums = groupSums(combined);
    const [byGroup, byRest] = [dot(sums, sums), dot(combined, combined)];
    const variance = best.covariance[j]?.[j] as number;
    // Where groups add nothing, or the curvature says nothing of them, only the rest's variance is in doubt.
    if (ratio === 0 || !(determinant > 0)) return (2 * variance ** 2 * hessian[2]) / (2 * byRest ** 2);
    const doubt =
      (2 * (byGroup ** 2 * hessian[2] - 2 * byGroup * byRest * hessian[1] + byRest ** 2 * hessian[0])) /
      determinant;
    return (2 * variance ** 2) / doubt;
  });
}

/** By elimination; the matrix is symmetric and positive. */
function logDeterminant(matrix: readonly (readonly number[])[]): number {
  const work = matrix.map((row) => [...row]);
  let total = 0;
  for (const [k, pivotRow] of work.entries()) {
    const pivot = pivotRow[k] as number;
    total += Math.log(pivot);
    for (const row of work.slice(k + 1)) {
      const times = (row[k] as number) / pivot;
      for (let j = k; j < row.length; j++) row[j] = (row[j] as number) - times * (pivotRow[j] as number);
    }
  }
  return total;
}

function problemsOfGroup(group: readonly (string | number)[], n: number): Problem[] {
  const field = { field: "group" };
  if (group.length !== n) {
    return [
      {
        code: "INPUT_FIELD",
        message: "Every row needs its group.",
        where: field,
        found: String(group.length),
        expected: String(n),
      },
    ];
  }
  const kinds = new Set(group).size;
  if (kinds < 2) {
    return [
      {
        code: "STAT_TOO_FEW",
        message: `A scatter between groups needs 2 groups, has ${kinds}.`,
        where: field,
        found: String(kinds),
        expected: "2 or more",
      },
    ];
  }
  if (kinds < n) return [];
  return [
    {
      code: "STAT_DEGENERATE",
      message:
        "Every row is a group of its own, so scatter between groups cannot be told from scatter within them.",
      where: field,
      wayOut: "At least one group must have two rows.",
    },
  ];
}

function warningsFor(ratio: number, groups: number, many: boolean): Warning[] {
  return [
    ...(ratio > 0
      ? []
      : [
          {
            code: "STAT_DEGENERATE" as const,
            message:
              "The groups differ no more than chance within them explains; their scatter comes out as 0.",
          },
        ]),
    ...(groups >= 5
      ? []
      : [
          {
            code: "STAT_APPROXIMATE" as const,
            message: `${groups} groups say little of the scatter between groups.`,
            found: String(groups),
          },
        ]),
    ...(many
      ? [{ code: "STAT_VALUE" as const, message: "Degrees of freedom are worked out for up to 1500 rows." }]
      : []),
  ];
}

const noRest: Problem = {
  code: "STAT_DEGENERATE",
  message: "Nothing is left to scatter once the model is fitted, so no variances can be given.",
  where: { field: "response" },
};
