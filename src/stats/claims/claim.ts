import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { nonCentralTTails } from "../distributions/non-central-t.ts";
import { normalCdf } from "../distributions/normal.ts";
import { studentTQuantile, studentTTails, studentTTwoSided } from "../distributions/student-t.ts";
import { percent } from "../lower-bound.ts";
import { moments } from "../numeric/moments.ts";
import { findRootFrom } from "../numeric/root.ts";
import { standardDeviation } from "../summary.ts";
import { differ, noScatter, problemsOfShare, problemsOfValues } from "../values.ts";

export type ClaimInput = {
  readonly values: readonly number[];
  readonly claimed: number;
  /** What the figure is published as: a mean, or a value that (nearly) all exceed. */
  readonly kind: "mean" | "least";
  /** For a mean: how far off still counts as the same, as a fraction of the figure; 0.05 unless said. */
  readonly margin?: number;
  /** For a least value: the share that is to exceed it; 0.95 unless said. */
  readonly content?: number;
  readonly confidence?: number;
};

export type Claim = {
  readonly verdict: "supported" | "contradicted" | "undecided";
  /** In words, with the figures. */
  readonly meaning: string;
  readonly mean?: {
    readonly difference: number;
    readonly interval: readonly [low: number, high: number];
    /** That the mean is the one claimed: two-sided t test. */
    readonly p: number;
    /** That the mean is within the margin: the larger p of two one-sided tests, small where it is shown. */
    readonly equivalenceP: number;
    readonly margin: number;
  };
  readonly least?: {
    /** Share of a normal population above the figure, with its interval. */
    readonly shareAbove: number;
    readonly interval: readonly [low: number, high: number];
    readonly countBelow: number;
  };
};

/**
 * Is a published figure compatible with these values?
 *
 * Two or more values that differ, in the unit of the figure; normal. A mean is supported where the values show it to be
 * within the margin, contradicted where its interval leaves the figure out and equivalence is not shown; a least value is
 * supported where the share above it is shown to be at least `content`, contradicted where it is shown to be less.
 * Formulas: t test and two one-sided t tests at (1 − confidence); the share above by z = (mean − figure)/sd, its limits by
 * the non-central t of √n z with n − 1 degrees of freedom.
 * Source: D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15 (1987), 657-680; D. B. Owen, Technometrics 10 (1968), 445-478.
 *
 * @example
 * const answer = claim({ values: [48.1, 50.3, 49.2, 51.0, 49.9], claimed: 60, kind: "mean" });
 * answer.ok && answer.value.verdict // "contradicted"
 */
export function claim(input: ClaimInput): Result<Claim> {
  const { values, claimed, kind, margin = 0.05, content = 0.95, confidence = 0.95 } = input;
  const name = "A comparison with a claim";
  const [problem, ...more] = [
    ...problemsOfValues(values, 2, name),
    ...problemsOfFigure(claimed, kind),
    ...problemsOfShare(margin, "margin"),
    ...problemsOfShare(content, "content"),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  if (!differ(values)) return refuse(noScatter(name, values[0] as number));
  const sd = standardDeviation(values);
  const sample = { n: values.length, mean: moments(values).mean, sd };
  return ok(
    kind === "mean"
      ? ofMean(sample, claimed, margin, confidence)
      : ofLeast(values, sample, claimed, content, confidence),
  );
}

type Sample = { readonly n: number; readonly mean: number; readonly sd: number };

function ofMean({ n, mean, sd }: Sample, claimed: number, marginShare: number, confidence: number): Claim {
  const df = n - 1;
  const error = sd / Math.sqrt(n);
  const difference = mean - claimed;
  const half = studentTQuantile(0.5 + confidence / 2, df) * error;
  const margin = marginShare * Math.abs(claimed);
  const p = studentTTwoSided(difference / error, df);
  const equivalenceP = Math.max(
    studentTTails((difference + margin) / error, df).upper,
    studentTTails((difference - margin) / error, df).lower,
  );
  const alike = equivalenceP < 1 - confidence;
  const apart = p < 1 - confidence;
  const verdict = alike ? "supported" : apart ? "contradicted" : "undecided";
  const off = `${roughly(Math.abs(difference / claimed))} ${difference < 0 ? "below" : "above"} the claimed one`;
  const words = {
    supported: `The ${n} values show with ${percent(confidence)} confidence that the mean is within ${percent(marginShare)} of the claimed one.`,
    contradicted: `The mean of the ${n} values is ${off}, more than chance explains, and is not shown to be within ${percent(marginShare)} of it.`,
    undecided: `The mean of the ${n} values is ${off}; that may be chance, and equally they do not show that it is within ${percent(marginShare)} of it.`,
  };
  return {
    verdict,
    meaning: words[verdict],
    mean: { difference, interval: [mean - half, mean + half], p, equivalenceP, margin },
  };
}

function ofLeast(
  values: readonly number[],
  { n, mean, sd }: Sample,
  claimed: number,
  content: number,
  confidence: number,
): Claim {
  const z = (mean - claimed) / sd;
  const root = Math.sqrt(n);
  // The true z at which so large (or so small) a z would have the chance (1 − confidence)/2.
  const limit = (p: number) =>
    findRootFrom(
      (shift) => p - nonCentralTTails(z * root, n - 1, shift).lower,
      z * root,
      Math.max(1, Math.abs(z)),
    ) / root;
  const tail = (1 - confidence) / 2;
  const interval = [normalCdf(limit(1 - tail)), normalCdf(limit(tail))] as const;
  const countBelow = values.filter((value) => value < claimed).length;
  const verdict = interval[0] >= content ? "supported" : interval[1] < content ? "contradicted" : "undecided";
  const shares = `between ${roughly(interval[0])} and ${roughly(interval[1])}`;
  const seen =
    countBelow === 0
      ? "none of them lies"
      : countBelow === 1
        ? "one of them lies"
        : `${countBelow} of them lie`;
  const words = {
    supported: `By these ${n} values ${shares} of the population exceed the figure, so that at least ${percent(content)} do.`,
    contradicted: `By these ${n} values only ${shares} of the population exceed the figure, less than ${percent(content)}.`,
    undecided: `By these ${n} values ${shares} of the population exceed the figure: they cannot tell whether ${percent(content)} do.`,
  };
  return {
    verdict,
    meaning: `${words[verdict]} Of the values themselves ${seen} below it.`,
    least: { shareAbove: normalCdf(z), interval, countBelow },
  };
}

/** Three digits are enough for a sentence. */
function roughly(share: number): string {
  return `${Number((100 * share).toPrecision(3))} %`;
}

function problemsOfFigure(claimed: number, kind: string): Problem[] {
  const figure: Problem[] =
    Math.abs(claimed) <= 1e100 && Math.abs(claimed) >= 1e-100
      ? []
      : [
          {
            code: "STAT_VALUE",
            message: "The claimed figure must be a finite number other than 0.",
            where: { field: "claimed" },
            found: String(claimed),
          },
        ];
  if (kind === "mean" || kind === "least") return figure;
  return [
    ...figure,
    {
      code: "INPUT_FIELD",
      message: "A claim is of a mean or of a least value.",
      where: { field: "kind" },
      found: kind,
      expected: '"mean" or "least"',
    },
  ];
}
