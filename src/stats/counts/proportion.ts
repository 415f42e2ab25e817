import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { normalQuantile } from "../distributions/normal.ts";
import { findRoot } from "../numeric/root.ts";
import { betaTails } from "../special/beta.ts";
import { problemsOfShare } from "../values.ts";

export type Proportion = {
  readonly estimate: number;
  /** Wilson's score interval. */
  readonly interval: readonly [low: number, high: number];
  /** Clopper and Pearson's: never covers less than it says, and so is wider. */
  readonly exactInterval: readonly [low: number, high: number];
};

/**
 * How often does something happen, when it happened so often in n tries?
 *
 * successes a whole number from 0 to n, n at least 1; confidence 0.95 unless said. Fractions.
 * Formula: (p̂ + z²/2n ± z √(p̂(1 − p̂)/n + z²/4n²))/(1 + z²/n). Source: E. B. Wilson, J. Amer. Statist. Assoc. 22 (1927),
 * 209-212; C. J. Clopper and E. S. Pearson, Biometrika 26 (1934), 404-413; R. G. Newcombe, Statist. Med. 17 (1998), 857-872.
 *
 * @example
 * const answer = proportion({ successes: 1, n: 10 });
 * answer.ok && answer.value.interval // [0.0179, 0.4042]
 */
export function proportion(input: {
  readonly successes: number;
  readonly n: number;
  readonly confidence?: number;
}): Result<Proportion> {
  const { successes, n, confidence = 0.95 } = input;
  const [problem, ...more] = [
    ...problemsOfCounts(successes, n),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const z = normalQuantile(0.5 + confidence / 2);
  const estimate = successes / n;
  const scale = 1 + (z * z) / n;
  const centre = (estimate + (z * z) / (2 * n)) / scale;
  const half = (z * Math.sqrt((estimate * (1 - estimate)) / n + (z * z) / (4 * n * n))) / scale;
  return ok({
    estimate,
    // At either end the formula is exactly 0 or 1, but for its rounding.
    interval: [successes === 0 ? 0 : centre - half, successes === n ? 1 : centre + half],
    exactInterval: exactInterval(successes, n, (1 - confidence) / 2),
  });
}

function exactInterval(successes: number, n: number, tail: number): readonly [number, number] {
  const below = (p: number, a: number, b: number) => betaTails(p, 1 - p, a, b).lower;
  const low = successes === 0 ? 0 : findRoot((p) => below(p, successes, n - successes + 1) - tail, 0, 1);
  const high =
    successes === n ? 1 : findRoot((p) => below(p, successes + 1, n - successes) - (1 - tail), 0, 1);
  return [low, high];
}

function problemsOfCounts(successes: number, n: number): Problem[] {
  if (!Number.isInteger(n) || n < 1) {
    return [
      {
        code: n === 0 ? "STAT_TOO_FEW" : "STAT_VALUE",
        message: "A proportion needs one try or more.",
        where: { field: "n" },
        found: String(n),
        expected: "a whole number from 1 on",
      },
    ];
  }
  if (Number.isInteger(successes) && successes >= 0 && successes <= n) return [];
  return [
    {
      code: "STAT_VALUE",
      message: "The successes must be a whole number between 0 and the number of tries.",
      where: { field: "successes" },
      found: String(successes),
      expected: `a whole number from 0 to ${n}`,
    },
  ];
}
