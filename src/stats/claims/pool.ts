import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { chiSquaredTails } from "../distributions/chi-squared.ts";
import { normalQuantile } from "../distributions/normal.ts";
import { studentTQuantile } from "../distributions/student-t.ts";
import { sum } from "../numeric/moments.ts";
import { findRoot } from "../numeric/root.ts";
import { largest, problemsOfShare, problemsOfValues, tooFew } from "../values.ts";
import { nextSource } from "./next-source.ts";
import { aboveAll, excess, freedomOf, weigh } from "./sources.ts";

export type Pooled = {
  readonly mean: number;
  readonly standardError: number;
  /** By the normal law, as if the scatter between sources were known. */
  readonly interval: readonly [low: number, high: number];
  /** Variance between the true values of the sources. */
  readonly tau2: number;
};

export type Pool = {
  readonly k: number;
  /** One true value for all. */
  readonly fixed: Pooled;
  /** DerSimonian and Laird's scatter between sources. */
  readonly dl: Pooled;
  /** Paule and Mandel's. */
  readonly pm: Pooled;
  /** Restricted maximum likelihood; the one to report. */
  readonly reml: Pooled & {
    readonly hartungKnapp: {
      readonly standardError: number;
      readonly interval: readonly [low: number, high: number];
    };
    /** Where the true value of the next source would lie, by Student's t; too narrow for few sources. */
    readonly predictionInterval: readonly [low: number, high: number];
  };
  /** The same with all that is not known of the scatter between sources; the one to report. */
  readonly nextSource: { readonly interval: readonly [low: number, high: number] };
  /** Cochran's Q, and the share of its excess: how much of the scatter is more than the standard errors explain. */
  readonly heterogeneity: {
    readonly q: number;
    readonly df: number;
    readonly p: number;
    readonly i2: number;
  };
};

/**
 * What several sources (testers, series) say together, and how far the next one may lie from it.
 *
 * Two or more estimates in one unit, each with its standard error above 0.
 * Formulas: weights 1/(se² + τ²); τ² by three methods, never below 0; Hartung-Knapp se² = Σ w (y − mean)²/((k − 1) Σ w) with
 * Student's t at k − 1; prediction mean ± t(k − 1) √(τ² + se²); next source by the confidence distribution of τ².
 * Source: R. DerSimonian and N. Laird, Controlled Clinical Trials 7 (1986), 177-188; J. Hartung and G. Knapp, Statist. Med.
 * 20 (2001), 3875-3889; J. P. T. Higgins et al., J. R. Statist. Soc. A 172 (2009), 137-159; R. C. Paule and J. Mandel, J.
 * Res. NBS 87 (1982), 377-385; K. Nagashima et al., Stat. Methods Med. Res. 28 (2019), 1689-1702.
 *
 * @example
 * const answer = pool({ estimates: [50.86, 47.77], standardErrors: [1.0, 0.87] });
 * answer.ok && answer.value.reml.tau2 // 3.8956
 */
export function pool(input: {
  readonly estimates: readonly number[];
  readonly standardErrors: readonly number[];
  readonly confidence?: number;
}): Result<Pool> {
  const { estimates, standardErrors, confidence = 0.95 } = input;
  const [problem, ...more] = [
    ...problemsOfSources(estimates, standardErrors),
    ...problemsOfShare(confidence, "confidence"),
  ];
  if (problem !== undefined) return refuse(problem, ...more);
  const { y, variances, back } = aboutOne(estimates, standardErrors);
  const [far] = problemsOfDistance(variances);
  if (far !== undefined) return refuse(far);
  const k = y.length;
  const p = 0.5 + confidence / 2;
  const z = normalQuantile(p);
  const t = studentTQuantile(p, k - 1);
  const pooled = (tau2: number): Pooled => {
    const { mean, total } = weigh(y, variances, tau2);
    const standardError = 1 / Math.sqrt(total);
    return {
      mean: back.place(mean),
      standardError: back.size(standardError),
      interval: [back.place(mean - z * standardError), back.place(mean + z * standardError)],
      tau2: back.size(back.size(tau2)),
    };
  };
  const q = excess(y, variances, 0);
  const tau2 = remlTau2(y, variances);
  const { mean, total } = weigh(y, variances, tau2);
  // Where all estimates are alike, the Hartung-Knapp error is 0, which is honest about them and not about the next.
  const spread = Math.sqrt(excess(y, variances, tau2) / (k - 1) / total);
  const about = (half: number) => [back.place(mean - half), back.place(mean + half)] as const;
  const [low, high] = nextSource(y, variances, confidence);
  return ok(
    {
      k,
      fixed: pooled(0),
      dl: pooled(derSimonianLaird(y, variances, q)),
      pm: pooled(pauleMandel(y, variances, q)),
      reml: {
        ...pooled(tau2),
        hartungKnapp: { standardError: back.size(spread), interval: about(t * spread) },
        predictionInterval: about(t * Math.hypot(Math.sqrt(tau2), spread)),
      },
      nextSource: { interval: [back.place(low), back.place(high)] },
      heterogeneity: {
        q,
        df: k - 1,
        p: chiSquaredTails(q, k - 1).upper,
        i2: q > 0 ? Math.max(0, (q - (k - 1)) / q) : 0,
      },
    },
    k < 5 ? [fewSources(k)] : [],
  );
}

/**
 * Estimates counted from the first, in a power of two that brings distances and standard errors below 1: what lies close
 * together far from zero keeps its digits, and no square leaves the range of a number.
 */
function aboutOne(estimates: readonly number[], standardErrors: readonly number[]) {
  const first = estimates[0] as number; // two or more
  const away = estimates.map((value) => value - first);
  const size = 2 ** Math.ceil(Math.log2(largest([...standardErrors, ...away.map(Math.abs)])));
  return {
    y: away.map((value) => value / size),
    variances: standardErrors.map((se) => (se / size) ** 2),
    back: { place: (value: number) => first + value * size, size: (value: number) => value * size },
  };
}

/** Weights are squared, so that the smallest standard error must not vanish beside the rest. */
function problemsOfDistance(variances: readonly number[]): Problem[] {
  const wrong = variances.findIndex((variance) => variance < 1e-120);
  if (wrong < 0) return [];
  return [
    {
      code: "STAT_VALUE",
      message:
        "A standard error is too small beside the others, or beside the distances, to be pooled with them.",
      where: { field: `standardErrors[${wrong}]` },
      expected: "standard errors within sixty powers of ten of the largest, and of the distances",
    },
  ];
}

function derSimonianLaird(y: readonly number[], variances: readonly number[], q: number): number {
  const { weights, total } = weigh(y, variances, 0);
  return Math.max(0, (q - (y.length - 1)) / freedomOf(weights, total));
}

function pauleMandel(y: readonly number[], variances: readonly number[], q: number): number {
  const df = y.length - 1;
  if (q <= df) return 0;
  // Twice that, since at it Q may come out at 1 and a last bit more.
  return findRoot((tau2) => excess(y, variances, tau2) - df, 0, 2 * aboveAll(y));
}

/** The slope of the restricted log-likelihood in τ² is followed over many sizes, so that of two peaks the higher is found. */
function remlTau2(y: readonly number[], variances: readonly number[]): number {
  const slope = (tau2: number) => {
    const { weights, total, mean } = weigh(y, variances, tau2);
    const squares = sum(y.map((value, i) => ((weights[i] as number) * (value - mean)) ** 2));
    return squares - freedomOf(weights, total);
  };
  const likelihood = (tau2: number) => {
    const { weights, total } = weigh(y, variances, tau2);
    return sum(weights.map(Math.log)) - Math.log(total) - excess(y, variances, tau2);
  };
  const top = aboveAll(y);
  const sizes = [0, ...Array.from({ length: 81 }, (_, i) => top * 10 ** (-10 + i / 8))];
  const peaks = sizes.slice(1).flatMap((high, i) => {
    const low = sizes[i] as number;
    return slope(low) > 0 && slope(high) <= 0 ? [findRoot(slope, low, high)] : [];
  });
  return [...(slope(0) <= 0 ? [0] : []), ...peaks].reduce(
    (best, tau2) => (likelihood(tau2) > likelihood(best) ? tau2 : best),
    peaks[0] ?? 0,
  );
}

function problemsOfSources(y: readonly number[], standardErrors: readonly number[]): Problem[] {
  if (y.length !== standardErrors.length) {
    return [
      {
        code: "INPUT_FIELD",
        message: "Every estimate needs its standard error.",
        where: { field: "standardErrors" },
        found: String(standardErrors.length),
        expected: String(y.length),
      },
    ];
  }
  if (y.length > 10_000) {
    return [
      {
        code: "STAT_VALUE",
        message: "Pooling is for up to 10 000 sources.",
        where: { field: "estimates" },
        found: String(y.length),
        expected: "10000 or fewer",
      },
    ];
  }
  const wrong = standardErrors.findIndex((se) => !(se >= 1e-100 && se <= 1e100));
  return [
    ...(y.length < 2
      ? [tooFew(y.length, 2, "Pooling", "estimates")]
      : problemsOfValues(y, 2, "Pooling", "estimates")),
    ...(wrong < 0
      ? []
      : [
          {
            code: "STAT_VALUE" as const,
            message: "A standard error must be above 0.",
            where: { field: `standardErrors[${wrong}]` },
            found: String(standardErrors[wrong]),
            expected: "a number above 0, from 1e-100 to 1e100",
          },
        ]),
  ];
}

function fewSources(k: number): Warning {
  return {
    code: "STAT_APPROXIMATE",
    message: `${k} sources say little of the scatter between sources; where the next would lie rests on it.`,
    found: String(k),
  };
}
