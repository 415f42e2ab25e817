import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { studentTQuantile, studentTTwoSided } from "../distributions/student-t.ts";
import { type LeastSquares, leastSquares } from "../numeric/least-squares.ts";
import { moments, norm, sum } from "../numeric/moments.ts";
import { problemsOfShare, problemsOfValues } from "../values.ts";

export type Columns = Readonly<Record<string, readonly number[]>>;

export type LinearModelInput = {
  readonly columns: Columns;
  readonly response: readonly number[];
  /** A column of ones named "intercept" is added unless this is false. */
  readonly intercept?: boolean;
  readonly confidence?: number;
  /** Where the response is to be foretold: a number for each column. */
  readonly at?: Readonly<Record<string, number>>;
};

export type LinearModel = {
  readonly n: number;
  readonly coefficients: Readonly<Record<string, number>>;
  readonly standardErrors: Readonly<Record<string, number>>;
  readonly intervals: Readonly<Record<string, readonly [low: number, high: number]>>;
  /** Two-sided, for a coefficient of zero. */
  readonly p: Readonly<Record<string, number>>;
  readonly df: number;
  readonly residualSd: number;
  /** Of the scatter about the mean; without intercept about zero. */
  readonly rSquared: number;
  /** Standard errors that hold where the scatter is not everywhere the same; absent where one row decides a coefficient. */
  readonly hc3?: Readonly<Record<string, number>>;
  readonly prediction?: {
    readonly value: number;
    readonly standardError: number;
    readonly interval: readonly [low: number, high: number];
    /** Where one more value would lie. */
    readonly valueInterval: readonly [low: number, high: number];
  };
};

/**
 * How a response depends on one or more columns, in a straight line.
 *
 * Columns and response of one length, more rows than coefficients. Refused: a column that the others make up already.
 * Formula: least squares; standard errors s √((XᵀX)⁻¹); HC3 with residuals over 1 − leverage. Worked by Householder's QR
 * with refinement in doubled precision: NIST StRD Longley to 13 digits, Filip to 8 (its powers of x are rounded).
 * Source: NIST/SEMATECH e-Handbook 4.4.3; J. G. MacKinnon and H. White, J. Econometrics 29 (1985), 305-325.
 *
 * @example
 * const answer = linearModel({ columns: { x: [1, 2, 3, 4] }, response: [2.1, 3.9, 6.2, 7.8] });
 * answer.ok && answer.value.coefficients.x // 1.94
 */
export function linearModel(input: LinearModelInput): Result<LinearModel> {
  const { columns, response, confidence = 0.95, intercept = true, at } = input;
  const names = [...(intercept ? ["intercept"] : []), ...Object.keys(columns)];
  const [problem, ...more] = [
    ...problemsOfColumns(columns, response, intercept),
    ...problemsOfShare(confidence, "confidence"),
    ...(at === undefined ? [] : problemsOfPlace(columns, at)),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const n = response.length;
  const df = n - names.length;
  if (df < 1) return refuse(tooFewRows(n, names.length));
  const table = names.map((name) => columns[name] ?? new Array<number>(n).fill(1));
  const solved = leastSquares(table, response);
  if (typeof solved === "number") return refuse(dependent(names[solved] as string));
  const rss = sum([...solved.residuals].map((e) => e * e));
  const residualSd = Math.sqrt(rss / df);
  const total = intercept ? moments(response).sumOfSquares : sum(response.map((y) => y * y));
  const named = (value: (j: number) => number) =>
    Object.fromEntries(names.map((name, j) => [name, value(j)]));
  const error = (j: number) => residualSd * norm(solved.influence[j] as Float64Array);
  const coefficient = (j: number) => solved.coefficients[j] as number;
  const t = studentTQuantile(0.5 + confidence / 2, df);
  const hc3 = robustErrors(solved);
  const value: LinearModel = {
    n,
    coefficients: named(coefficient),
    standardErrors: named(error),
    intervals: Object.fromEntries(
      names.map((name, j) => [name, [coefficient(j) - t * error(j), coefficient(j) + t * error(j)] as const]),
    ),
    p: named((j) => (error(j) > 0 ? studentTTwoSided(coefficient(j) / error(j), df) : 0)),
    df,
    residualSd,
    rSquared: total > 0 ? 1 - rss / total : 0,
    ...(hc3 !== undefined && { hc3: named((j) => hc3[j] as number) }),
    ...(at !== undefined && { prediction: predict(solved, names, at, residualSd, t) }),
  };
  const finite = [...Object.values(value.coefficients), ...Object.values(value.standardErrors)].every(
    Number.isFinite,
  );
  return finite ? ok(value, hc3 === undefined ? [noHc3] : []) : refuse(outOfRange);
}

function robustErrors({ influence, residuals, leverage }: LeastSquares): number[] | undefined {
  if (leverage.some((h) => h > 1 - 1e-10)) return undefined;
  return influence.map((row) =>
    norm(row.map((a, i) => (a * (residuals[i] as number)) / (1 - (leverage[i] as number)))),
  );
}

function predict(
  solved: LeastSquares,
  names: readonly string[],
  at: Readonly<Record<string, number>>,
  sd: number,
  t: number,
): NonNullable<LinearModel["prediction"]> {
  const place = names.map((name) => at[name] ?? 1);
  const value = place.reduce((total, x, j) => total + x * (solved.coefficients[j] as number), 0);
  const pull = solved.residuals.map((_, i) =>
    place.reduce((total, x, j) => total + x * (solved.influence[j]?.[i] as number), 0),
  );
  const standardError = sd * norm(pull);
  const wide = Math.hypot(standardError, sd);
  return {
    value,
    standardError,
    interval: [value - t * standardError, value + t * standardError],
    valueInterval: [value - t * wide, value + t * wide],
  };
}

/** Shared with the mixed model: columns that are no table, or that take the name of the intercept. */
export function problemsOfColumns(
  columns: Columns,
  response: readonly number[],
  intercept: boolean,
): Problem[] {
  const names = Object.keys(columns);
  if (!intercept && names.length === 0) {
    return [
      {
        code: "STAT_TOO_FEW",
        message: "A model needs a column or an intercept.",
        where: { field: "columns" },
        found: "0",
      },
    ];
  }
  return [
    ...problemsOfValues(response, 2, "A model", "response"),
    ...names.flatMap((name): Problem[] => {
      const column = columns[name] ?? [];
      if (intercept && name === "intercept") {
        return [
          {
            code: "INPUT_FIELD",
            message: "The name intercept is taken by the column that is added.",
            where: { field: `columns.${name}` },
            found: name,
          },
        ];
      }
      if (column.length !== response.length) {
        return [
          {
            code: "INPUT_FIELD",
            message: "Every column must be as long as the response.",
            where: { field: `columns.${name}` },
            found: String(column.length),
            expected: String(response.length),
          },
        ];
      }
      return problemsOfValues(column, 1, "A model", `columns.${name}`);
    }),
  ];
}

function problemsOfPlace(columns: Columns, at: Readonly<Record<string, number>>): Problem[] {
  const missing = Object.keys(columns).find((name) => !Number.isFinite(at[name]));
  if (missing === undefined) return [];
  return [
    {
      code: "INPUT_FIELD",
      message: "A prediction needs a number for every column.",
      where: { field: `at.${missing}` },
      found: String(at[missing]),
      expected: "a finite number",
    },
  ];
}

export function tooFewRows(n: number, p: number): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: `A model of ${p} coefficients needs ${p + 1} rows, has ${n}.`,
    where: { field: "response" },
    found: String(n),
    expected: `${p + 1} or more`,
  };
}

export function dependent(name: string): Problem {
  return {
    code: "STAT_DEGENERATE",
    message: `The column ${name} is made up of the columns before it, so its effect cannot be told from theirs.`,
    where: { field: `columns.${name}` },
    wayOut: "Leave it out, or vary it on its own.",
  };
}

const noHc3: Warning = {
  code: "STAT_DEGENERATE",
  message: "Robust standard errors cannot be given: one row alone decides a coefficient.",
};

const outOfRange: Problem = {
  code: "STAT_VALUE",
  message: "The numbers are too far apart in size for the model to be worked out.",
  where: { field: "columns" },
};
