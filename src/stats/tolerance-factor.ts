import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { chiSquaredQuantile, chiSquaredTails } from "./distributions/chi-squared.ts";
import { nonCentralTQuantile } from "./distributions/non-central-t.ts";
import {
  normalCdf,
  normalDensity,
  normalQuantile,
  normalUpper,
  normalUpperQuantile,
} from "./distributions/normal.ts";
import { findRootFrom } from "./numeric/root.ts";

export type ToleranceFactorInput = {
  readonly n: number;
  /** Share of the population above the bound (one side) or within the limits (two). */
  readonly content: number;
  readonly confidence: number;
  readonly sides: "one" | "two";
};

/**
 * How many standard deviations below the mean of n values a bound must lie, so that with the stated confidence at least
 * the stated share of a normal population lies above it; with sides "two", below and above, so that the share lies
 * between.
 *
 * n from 2 to 1e6; content and confidence fractions from 0.0001 to 0.9999. Result: a factor without unit; relative
 * error about 1e-12.
 * Formula: one side t(confidence; n − 1, z(content) √n)/√n, the quantile of the non-central t; two sides: the k at which
 * the mean over Z of P(χ²(n − 1) > (n − 1) r²/k²) is the confidence, where Φ(Z/√n + r) − Φ(Z/√n − r) = content.
 * Source: R. E. Odeh and D. B. Owen, Tables for Normal Tolerance Limits, Sampling Plans, and Screening (1980);
 * ISO 16269-6:2014. Exact, where the older tables of Bowker and of Howe approximate.
 *
 * @example
 * const answer = toleranceFactor({ n: 10, content: 0.95, confidence: 0.95, sides: "one" });
 * answer.ok && answer.value.factor // 2.9109634…
 */
export function toleranceFactor(input: ToleranceFactorInput): Result<{ readonly factor: number }> {
  const { n, content, confidence, sides } = input;
  const [problem, ...more] = [
    ...problemsOfN(n),
    ...problemsOfLevel(content, "content"),
    ...problemsOfLevel(confidence, "confidence"),
    ...problemsOfSides(sides),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  return ok({
    factor: sides === "one" ? oneSidedFactor(n, content, confidence) : twoSidedFactor(n, content, confidence),
  });
}

/** The factor for a bound on one side, for inputs that were checked; see `toleranceFactor`. */
export function oneSidedFactor(n: number, content: number, confidence: number): number {
  const root = Math.sqrt(n);
  return nonCentralTQuantile(confidence, n - 1, normalQuantile(content) * root) / root;
}

function twoSidedFactor(n: number, content: number, confidence: number): number {
  const df = n - 1;
  const root = Math.sqrt(n);
  // Trapezium rule over Z, folded at 0; beyond 9 the density is below 1e-18, and the integrand is analytic.
  const step = 0.125;
  const nodes = Array.from({ length: 73 }, (_, i) => {
    const z = i * step;
    return { weight: (i === 0 ? 1 : 2) * normalDensity(z) * step, radius: halfWidth(z / root, content) };
  });
  const missed = (k: number) =>
    nodes.reduce(
      (sum, { weight, radius }) => sum + weight * chiSquaredTails(df * (radius / k) ** 2, df).lower,
      0,
    );
  // Howe's approximation (1969) as a start.
  const z = normalQuantile(0.5 + content / 2);
  const guess = z * Math.sqrt((df * (1 + 1 / n)) / chiSquaredQuantile(1 - confidence, df));
  const aim = Math.log1p(-confidence);
  return Math.exp(findRootFrom((logK) => aim - Math.log(missed(Math.exp(logK))), Math.log(guess), 0.01));
}

/** The r at which a standard normal population has the share `content` between shift − r and shift + r. */
function halfWidth(shift: number, content: number): number {
  // In terms of what is left outside: accurate for contents near 1.
  const outside = Math.log1p(-content);
  const start = Math.abs(shift) + normalUpperQuantile(1 - content);
  return findRootFrom(
    (r) => outside - Math.log(normalUpper(r + shift) + normalCdf(shift - r)),
    Math.max(start, normalQuantile(0.5 + content / 2)),
    0.05,
  );
}

function problemsOfN(n: number): Problem[] {
  if (Number.isInteger(n) && n >= 2 && n <= 1e6) return [];
  return [
    {
      code: n < 2 ? "STAT_TOO_FEW" : "STAT_VALUE",
      message: "A tolerance factor is for 2 to 1 000 000 values.",
      where: { field: "n" },
      found: String(n),
      expected: "a whole number from 2 to 1000000",
    },
  ];
}

function problemsOfLevel(level: number, field: string): Problem[] {
  if (level >= 0.0001 && level <= 0.9999) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `The ${field} must be a fraction from 0.0001 to 0.9999.`,
      where: { field },
      found: String(level),
      expected: "a fraction such as 0.95",
    },
  ];
}

function problemsOfSides(sides: unknown): Problem[] {
  if (sides === "one" || sides === "two") return [];
  return [
    {
      code: "INPUT_FIELD",
      message: "A tolerance factor is for one side or for two.",
      where: { field: "sides" },
      found: String(sides),
      expected: '"one" or "two"',
    },
  ];
}
