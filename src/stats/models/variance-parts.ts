import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { chiSquaredQuantile, chiSquaredTails } from "../distributions/chi-squared.ts";
import { rowsOfBlocks, type Sorting, sortingOf, withinBlocks } from "../groups/in-blocks.ts";
import { findRoot } from "../numeric/root.ts";
import { cholesky, solveByFactor, symmetricEigen } from "../numeric/symmetric.ts";
import { noScatter, problemsOfShare, problemsOfValues, tooFew } from "../values.ts";

export type VariancePart = {
  readonly name: string;
  readonly groups: number;
  /** By restricted maximum likelihood; 0 where the groups differ no more than chance within them explains. */
  readonly sd: number;
  /** Of the whole variance. */
  readonly share: number;
  /** A value with its interval, or why there is none. */
  readonly interval: Result<readonly [low: number, high: number]>;
};

export type VarianceParts = {
  readonly n: number;
  readonly cells: number;
  readonly parts: readonly VariancePart[];
  /** What is left from value to value. */
  readonly rest: {
    readonly sd: number;
    readonly share: number;
    readonly df: number;
    readonly interval: readonly [low: number, high: number];
  };
  /** −2 × the restricted log-likelihood. */
  readonly remlCriterion: number;
};

/**
 * Of the scatter within cells, how much lies between groups of each kind (spools, makers), and how much is left from value
 * to value? Kinds may cross each other in any way that lets them be told apart.
 *
 * Values in one unit; `cells`: what was varied on purpose, taken out; `random`: for each kind the group of every value,
 * two groups or more, some with several values. An interval is refused where another kind or the cells swallow the kind.
 * Formulas: restricted maximum likelihood over all kinds at once. Interval of one kind: with cells and the other kinds
 * taken out, tᵢ² / (dᵢσ² + σ₀²) are squares of independent normals and SSE/σ₀² is chi-squared; the generalised pivot puts
 * SSE/χ² for σ₀² and asks which σ² chi-squared allows. Rest: SSE/χ² with all kinds taken out, which is exact.
 * Source: H. D. Patterson and R. Thompson, Biometrika 58 (1971), 545-554; S. Weerahandi, J. Amer. Statist. Assoc. 88
 * (1993), 899-905; J. Seely and Y. El-Bassiouni, Ann. Statist. 11 (1983), 197-201 (all from memory).
 *
 * @example
 * const answer = varianceParts({ values: [55, 53, 54, 26, 37, 32, 78, 91, 85], random: { rail: ["1", "1", "1", "2", "2", "2", "3", "3", "3"] } });
 * answer.ok && answer.value.parts[0]?.name // "rail"
 */
export function varianceParts(input: {
  readonly values: readonly number[];
  readonly cells?: readonly string[];
  readonly random: Readonly<Record<string, readonly string[]>>;
  readonly confidence?: number;
}): Result<VarianceParts> {
  const { values, random, confidence = 0.95 } = input;
  const names = Object.keys(random);
  const [problem, ...more] = [
    ...problemsOfValues(values, 3, "A split of the scatter"),
    ...problemsOfShare(confidence, "confidence"),
    ...problemsOfKinds(
      names.map((name) => random[name] as readonly string[]),
      values.length,
    ),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const n = values.length;
  const cells = sortingOf(input.cells ?? values.map(() => ""));
  const kinds = names.map((name) => sortingOf(random[name] as readonly string[]));
  const y = withinBlocks(values, cells);
  const columns = kinds.map((kind) => columnsOf(kind, cells));
  const left = takenOut(y, columns.flat());
  const df = n - cells.names.length - left.taken;
  if (df < 1) return refuse(tooFew(n, n - df + 1, "A split of the scatter into these parts"));
  const sse = squares(left.vector);
  if (!(sse > 1e-24 * squares(values)))
    return refuse(noScatter("A split of the scatter", values[0] as number));
  const fit = bestRatios(y, columns, n - cells.names.length);
  const total = fit.ratios.reduce((sum, ratio) => sum + ratio, 1);
  const tail = (1 - confidence) / 2;
  const parts = names.map((name, a): VariancePart => {
    const others = columns.filter((_, b) => b !== a).flat();
    return {
      name,
      groups: (kinds[a] as Sorting).names.length,
      sd: Math.sqrt((fit.ratios[a] as number) * fit.variance),
      share: (fit.ratios[a] as number) / total,
      interval: intervalOf(name, y, columns[a] as number[][], others, { sse, df, tail }),
    };
  });
  return ok({
    n,
    cells: cells.names.length,
    parts,
    rest: {
      sd: Math.sqrt(fit.variance),
      share: 1 / total,
      df,
      interval: [
        Math.sqrt(sse / chiSquaredQuantile(1 - tail, df)),
        Math.sqrt(sse / chiSquaredQuantile(tail, df)),
      ],
    },
    remlCriterion: fit.criterion + rowsOfBlocks(cells).reduce((sum, rows) => sum + Math.log(rows.length), 0),
  });
}

/** One column for each group, less the means of the cells. */
function columnsOf(kind: Sorting, cells: Sorting): number[][] {
  return kind.names.map((_, g) =>
    withinBlocks(
      kind.of.map((of) => (of === g ? 1 : 0)),
      cells,
    ),
  );
}

type Fit = { readonly ratios: readonly number[]; readonly variance: number; readonly criterion: number };

/** Ratios of the kinds' variances to the rest's at which the restricted likelihood is largest: one by one, in rounds. */
function bestRatios(y: readonly number[], columns: readonly (readonly number[][])[], freedom: number): Fit {
  const all = columns.flat();
  const kindOf = columns.flatMap((own, a) => own.map(() => a));
  const cross = all.map((a) => all.map((b) => dot(a, b)));
  const right = all.map((a) => dot(a, y));
  const total = squares(y);
  const at = (ratios: readonly number[]): Fit => {
    const kept = kindOf.flatMap((a, i) => ((ratios[a] as number) > 0 ? [i] : []));
    // Scaled by the root of the ratio: no division by a ratio that is all but 0.
    const scale = (i: number) => Math.sqrt(ratios[kindOf[i] as number] as number);
    const matrix = kept.map((i) =>
      kept.map((j) => scale(i) * scale(j) * (cross[i]?.[j] as number) + (i === j ? 1 : 0)),
    );
    const factor = cholesky(matrix) as number[][]; // the unit matrix is in it: every pivot is 1 or more
    const b = kept.map((i) => scale(i) * (right[i] as number));
    const solved = solveByFactor(factor, b);
    const variance = (total - dot(b, solved)) / freedom;
    const logs = factor.reduce((sum, row, i) => sum + 2 * Math.log(row[i] as number), 0);
    return { ratios, variance, criterion: freedom * (1 + Math.log(2 * Math.PI * variance)) + logs };
  };
  let best = at(columns.map(() => 0));
  for (let round = 0; round < 60; round++) {
    const before = best.criterion;
    for (const a of columns.keys()) {
      const along = (ratio: number) => at((best.ratios as number[]).with(a, ratio));
      const found = leastAlong((log) => along(Math.exp(log)).criterion);
      const [zero, there] = [along(0), along(Math.exp(found))];
      best = there.criterion < zero.criterion - 1e-9 * Math.max(1, Math.abs(zero.criterion)) ? there : zero;
    }
    if (Math.abs(before - best.criterion) <= 1e-11 * Math.max(1, Math.abs(before)) && round > 0) break;
  }
  return best;
}

/** Where a function of the logarithm is least: a scan over many sizes, then golden section. */
function leastAlong(f: (log: number) => number): number {
  const scan = Array.from({ length: 34 }, (_, i) => -13 + i);
  const values = scan.map(f);
  const place = scan[values.indexOf(Math.min(...values))] as number;
  let [low, high] = [place - 1, place + 1];
  const golden = (Math.sqrt(5) - 1) / 2;
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let [atLeft, atRight] = [f(left), f(right)];
  while (high - low > 1e-8) {
    if (atLeft <= atRight) {
      [high, right, atRight] = [right, left, atLeft];
      left = high - golden * (high - low);
      atLeft = f(left);
    } else {
      [low, left, atLeft] = [left, right, atRight];
      right = low + golden * (high - low);
      atRight = f(right);
    }
  }
  return (low + high) / 2;
}

function intervalOf(
  name: string,
  y: readonly number[],
  own: readonly number[][],
  others: readonly number[][],
  { sse, df, tail }: { readonly sse: number; readonly df: number; readonly tail: number },
): VariancePart["interval"] {
  const free = own.map((column) => takenOut(column, others).vector);
  const { values, vectors } = symmetricEigen(free.map((a) => free.map((b) => dot(a, b))));
  const rest = takenOut(y, others).vector;
  const along = free.map((column) => dot(column, rest));
  const seen = values.flatMap((d, i) =>
    d > 1e-8 ? [{ d, square: dot(vectors[i] as number[], along) ** 2 / d }] : [],
  );
  if (seen.length === 0) return refuse(swallowed(name));
  // Shares of chi-squared, each standing for as much chance as the others.
  const steps = 60;
  const rests = Array.from({ length: steps }, (_, i) => sse / chiSquaredQuantile((i + 0.5) / steps, df));
  const below = (variance: number) =>
    rests.reduce((sum, own) => {
      const q = seen.reduce((total, { d, square }) => total + square / (d * variance + own), 0);
      return sum + chiSquaredTails(q, seen.length).upper;
    }, 0) / steps;
  const largest = seen.reduce((sum, { d, square }) => sum + square / d, 0) + sse;
  const limit = (p: number) => {
    if (below(0) >= p) return 0;
    let high = largest;
    while (below(high) < p) high *= 4;
    return Math.sqrt(findRoot((variance) => below(variance) - p, 0, high));
  };
  const high = limit(1 - tail);
  return high === 0 ? refuse(tooAlike(name)) : ok([limit(tail), high] as const);
}

/** What is left of a vector when its share of some columns is taken out, and how many of these were independent. */
function takenOut(vector: readonly number[], columns: readonly (readonly number[])[]) {
  const basis: number[][] = [];
  for (const column of columns) {
    const own = reduced(reduced([...column], basis), basis);
    const size = Math.sqrt(squares(own));
    if (size > 1e-7 * (Math.sqrt(squares(column)) + 1e-7)) basis.push(own.map((value) => value / size));
  }
  return { vector: reduced([...vector], basis), taken: basis.length };
}

function reduced(vector: number[], basis: readonly (readonly number[])[]): number[] {
  for (const one of basis) {
    const share = dot(vector, one);
    for (let i = 0; i < vector.length; i++) vector[i] = (vector[i] as number) - share * (one[i] as number);
  }
  return vector;
}

function dot(a: readonly number[], b: readonly number[]): number {
  let total = 0;
  for (let i = 0; i < a.length; i++) total += (a[i] as number) * (b[i] as number);
  return total;
}

function squares(a: readonly number[]): number {
  return dot(a, a);
}

function problemsOfKinds(kinds: readonly (readonly string[])[], n: number): Problem[] {
  if (kinds.length === 0)
    return [{ code: "STAT_TOO_FEW", message: "A split of the scatter needs a kind of group.", found: "0" }];
  return kinds.flatMap((kind): Problem[] => {
    const groups = new Set(kind).size;
    if (kind.length !== n)
      return [
        {
          code: "INPUT_FIELD",
          message: "Every value needs its group.",
          where: { field: "random" },
          found: String(kind.length),
          expected: String(n),
        },
      ];
    return groups >= 2 ? [] : [tooFew(groups, 2, "A scatter between groups", "random")];
  });
}

function swallowed(name: string): Problem {
  return {
    code: "STAT_DEGENERATE",
    message: `The scatter between groups of ${name} cannot be told from that of what else differs with them.`,
    where: { field: `random.${name}` },
    wayOut: "Let each group stand beside others while the rest stays the same.",
  };
}

function tooAlike(name: string): Problem {
  return {
    code: "STAT_DEGENERATE",
    message: `The groups of ${name} are more alike than chance within them explains, so no interval can be given.`,
    where: { field: `random.${name}` },
  };
}
