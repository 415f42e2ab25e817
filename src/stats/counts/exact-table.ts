import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { findRootFrom } from "../numeric/root.ts";
import { createRandom } from "../random/random.ts";
import { logGamma } from "../special/gamma.ts";
import { problemsOfShare } from "../values.ts";

export type ExactTable = {
  readonly p: number;
  readonly exact: boolean;
  /** How many tables with the same sums were looked at. */
  readonly tables: number;
  /** For a table of two by two only. */
  readonly twoByTwo?: {
    /** Share of tables whose first cell is at least, at most as large. */
    readonly pGreater: number;
    readonly pLess: number;
    /** Conditional maximum-likelihood odds ratio; absent where it is infinite. */
    readonly oddsRatio?: number;
    /** Without a high end where there is none. */
    readonly oddsInterval: { readonly low: number; readonly high?: number };
  };
};

/** Beyond so many tables a random sample of them is taken. */
const allOf = 1_000_000;

/**
 * Do the shares of kinds differ between groups (where pulls broke, by recipe)? Exact for small counts.
 *
 * A table of whole counts, two rows and columns or more, every row and column with something in it, 100 000 in all at
 * most. p is the share of all tables with these sums that are at most as probable as the one observed.
 * Source: R. A. Fisher, The Design of Experiments (1935); G. H. Freeman and J. H. Halton, Biometrika 38 (1951), 141-149;
 * A. Agresti, Categorical Data Analysis (1990), 3.5 for the odds ratio.
 *
 * @example
 * const answer = exactTable({ table: [[3, 1], [1, 3]] });
 * answer.ok && answer.value.p // 0.4857142857142857
 */
export function exactTable(input: {
  readonly table: readonly (readonly number[])[];
  readonly confidence?: number;
  readonly resamples?: number;
  readonly seed?: number;
}): Result<ExactTable> {
  const { table, confidence = 0.95, resamples = 99_999, seed = 1 } = input;
  const [problem, ...more] = [...problemsOfTable(table), ...problemsOfShare(confidence, "confidence")];
  if (problem !== undefined) return refuse(problem, ...more);
  const rows = table.map((row) => row.reduce((sum, count) => sum + count, 0));
  const columns = (table[0] as readonly number[]).map((_, j) =>
    table.reduce((sum, row) => sum + (row[j] as number), 0),
  );
  const logFactorial = logFactorials(rows.reduce((sum, count) => sum + count, 0));
  const logCells = (cells: readonly number[]) =>
    cells.reduce((sum, count) => sum + (logFactorial[count] as number), 0);
  const logMargins = logCells(rows) + logCells(columns) - (logFactorial[logFactorial.length - 1] as number);
  // Equally probable tables may differ in the last digits of their logarithms.
  const limit = logMargins - logCells(table.flat()) + 1e-7;
  const counted =
    enumerate(rows, columns, logFactorial, logMargins, limit) ??
    sample(table, logMargins, logCells, limit, resamples, seed);
  const twoByTwo =
    rows.length === 2 && columns.length === 2
      ? oddsOf(table, rows, columns, logFactorial, confidence)
      : undefined;
  return ok({ ...counted, ...(twoByTwo !== undefined && { twoByTwo }) });
}

type Counted = Pick<ExactTable, "p" | "exact" | "tables">;

/** All tables, column by column; nothing where there are too many. */
function enumerate(
  rows: readonly number[],
  columns: readonly number[],
  logFactorial: Float64Array,
  logMargins: number,
  limit: number,
): Counted | undefined {
  const left = [...rows];
  let p = 0;
  let total = 0;
  let tables = 0;
  const fill = (column: number, row: number, rest: number, logWeight: number): void => {
    if (tables > allOf) return;
    if (column === columns.length - 1) {
      // The last column is what the rows have left.
      const log = left.reduce((sum, count) => sum - (logFactorial[count] as number), logWeight);
      const chance = Math.exp(log);
      tables += 1;
      total += chance;
      if (log <= limit) p += chance;
      return;
    }
    if (row === rows.length - 1) {
      if (rest > (left[row] as number)) return;
      left[row] = (left[row] as number) - rest;
      fill(column + 1, 0, columns[column + 1] as number, logWeight - (logFactorial[rest] as number));
      left[row] = (left[row] as number) + rest;
      return;
    }
    const room = left[row] as number;
    for (let count = Math.min(room, rest); count >= 0; count--) {
      left[row] = room - count;
      fill(column, row + 1, rest - count, logWeight - (logFactorial[count] as number));
    }
    left[row] = room;
  };
  fill(0, 0, columns[0] as number, logMargins);
  return tables > allOf ? undefined : { p: Math.min(1, p / total), exact: true, tables };
}

/** Random tables with the same sums: every single thing keeps its row and draws its column. */
function sample(
  table: readonly (readonly number[])[],
  logMargins: number,
  logCells: (cells: readonly number[]) => number,
  limit: number,
  resamples: number,
  seed: number,
): Counted {
  const width = (table[0] as readonly number[]).length;
  const rowOf = table.flatMap((row, i) => row.flatMap((count) => new Array<number>(count).fill(i)));
  const columnOf = table.flatMap((row) => row.flatMap((count, j) => new Array<number>(count).fill(j)));
  const random = createRandom(seed);
  const draws = Math.max(999, Math.min(resamples, Math.floor(2e8 / rowOf.length)));
  let asRare = 1;
  for (let draw = 0; draw < draws; draw++) {
    const cells = new Array<number>(table.length * width).fill(0);
    for (const [i, column] of random.shuffle(columnOf).entries()) {
      const cell = (rowOf[i] as number) * width + column;
      cells[cell] = (cells[cell] as number) + 1;
    }
    if (logMargins - logCells(cells) <= limit) asRare += 1;
  }
  return { p: asRare / (draws + 1), exact: false, tables: draws + 1 };
}

function oddsOf(
  table: readonly (readonly number[])[],
  rows: readonly number[],
  columns: readonly number[],
  logFactorial: Float64Array,
  confidence: number,
): NonNullable<ExactTable["twoByTwo"]> {
  const [r1, r2] = rows as [number, number];
  const [c1] = columns as [number, number];
  const observed = (table[0] as readonly number[])[0] as number;
  const low = Math.max(0, c1 - r2);
  const high = Math.min(r1, c1);
  const log = (n: number) => logFactorial[n] as number;
  const logs = Array.from({ length: high - low + 1 }, (_, i) => {
    const x = low + i;
    return -(log(x) + log(r1 - x) + log(c1 - x) + log(r2 - c1 + x));
  });
  // The law of the first cell where the odds ratio is e^t.
  const chances = (t: number) => {
    const tilted = logs.map((value, i) => value + (low + i) * t);
    const top = Math.max(...tilted);
    const weights = tilted.map((value) => Math.exp(value - top));
    const total = weights.reduce((sum, w) => sum + w, 0);
    return weights.map((w) => w / total);
  };
  const atLeast = (t: number) => chances(t).reduce((sum, w, i) => sum + (low + i >= observed ? w : 0), 0);
  const atMost = (t: number) => chances(t).reduce((sum, w, i) => sum + (low + i <= observed ? w : 0), 0);
  const mean = (t: number) => chances(t).reduce((sum, w, i) => sum + w * (low + i), 0);
  const tail = (1 - confidence) / 2;
  const solve = (f: (t: number) => number) => Math.exp(findRootFrom(f, 0, 1));
  return {
    pGreater: Math.min(1, atLeast(0)),
    pLess: Math.min(1, atMost(0)),
    ...(observed < high && { oddsRatio: observed === low ? 0 : solve((t) => mean(t) - observed) }),
    oddsInterval: {
      low: observed === low ? 0 : solve((t) => atLeast(t) - tail),
      ...(observed < high && { high: solve((t) => tail - atMost(t)) }),
    },
  };
}

function logFactorials(n: number): Float64Array {
  return Float64Array.from({ length: n + 1 }, (_, i) => logGamma(i + 1));
}

function problemsOfTable(table: readonly (readonly number[])[]): Problem[] {
  const width = table[0]?.length ?? 0;
  const field = { field: "table" };
  if (table.length < 2 || width < 2 || table.some((row) => row.length !== width)) {
    return [
      {
        code: "STAT_VALUE",
        message: "The table needs two rows and two columns or more, all rows of one length.",
        where: field,
        found: `rows of ${table.map((row) => row.length).join(", ")}`,
      },
    ];
  }
  const wrong = table.flat().find((count) => !Number.isInteger(count) || count < 0);
  if (wrong !== undefined) {
    return [
      {
        code: "STAT_VALUE",
        message: "The table holds counts.",
        where: field,
        found: String(wrong),
        expected: "whole numbers from 0 on",
      },
    ];
  }
  const total = table.flat().reduce((sum, count) => sum + count, 0);
  const emptyColumn = Array.from({ length: width }, (_, j) => table.every((row) => row[j] === 0)).some(
    Boolean,
  );
  if (emptyColumn || table.some((row) => row.every((count) => count === 0))) {
    return [
      {
        code: "STAT_DEGENERATE",
        message: "A row or column is empty and says nothing.",
        where: field,
        wayOut: "Leave it out.",
      },
    ];
  }
  if (total <= 100_000) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "The exact test is for tables of up to 100 000 counts.",
      where: field,
      found: String(total),
      expected: "100000 or fewer",
    },
  ];
}
