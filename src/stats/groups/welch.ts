import { studentTQuantile, studentTTwoSided } from "../distributions/student-t.ts";
import { moments } from "../numeric/moments.ts";
import { differ } from "../values.ts";
import { scatterWithin } from "./groups.ts";

export type Welch = {
  /** mean(a) − mean(b). */
  readonly difference: number;
  readonly interval: readonly [low: number, high: number];
  readonly t: number;
  readonly df: number;
  readonly p: number;
};

/** Welch's t test and interval for two groups of two or more that do not both stand still; df by Welch-Satterthwaite. */
export function welchTest(a: readonly number[], b: readonly number[], confidence: number): Welch | undefined {
  if (!scatterWithin([a, b])) return undefined;
  const [first, second] = [moments(a), moments(b)];
  const [va, vb] = [first, second].map(({ n, sumOfSquares }) => sumOfSquares / (n - 1) / n) as [
    number,
    number,
  ];
  const variance = va + vb;
  const df = welchDf(va, a.length, vb, b.length);
  return tTest(first.mean - second.mean, Math.sqrt(variance), df, confidence);
}

/** Degrees of freedom by Welch and Satterthwaite, of the squared standard errors of two means and their counts. */
export function welchDf(va: number, na: number, vb: number, nb: number): number {
  // By shares: the squares themselves may leave the range of a number.
  const all = va + vb;
  return 1 / ((va / all) ** 2 / (na - 1) + (vb / all) ** 2 / (nb - 1));
}

/** The same with one spread for both groups, as Student had it. */
export function pooledTest(
  a: readonly number[],
  b: readonly number[],
  confidence: number,
): Welch | undefined {
  if (!scatterWithin([a, b])) return undefined;
  const [first, second] = [moments(a), moments(b)];
  const df = a.length + b.length - 2;
  const variance = ((first.sumOfSquares + second.sumOfSquares) / df) * (1 / a.length + 1 / b.length);
  return tTest(first.mean - second.mean, Math.sqrt(variance), df, confidence);
}

/** The same for pairs that do not all differ by the same: the mean of a − b, pair by pair. */
export function pairedTest(
  a: readonly number[],
  b: readonly number[],
  confidence: number,
): Welch | undefined {
  const differences = a.map((value, i) => value - (b[i] as number));
  if (!differ(differences, [...a, ...b])) return undefined;
  const { n, mean, sumOfSquares } = moments(differences);
  return tTest(mean, Math.sqrt(sumOfSquares / (n - 1) / n), n - 1, confidence);
}

function tTest(difference: number, standardError: number, df: number, confidence: number): Welch {
  const half = studentTQuantile(0.5 + confidence / 2, df) * standardError;
  const t = difference / standardError;
  return { difference, interval: [difference - half, difference + half], t, df, p: studentTTwoSided(t, df) };
}
