import type {
  Bootstrap,
  Claim,
  Fit,
  FitComparison,
  LowerBound,
  Normality,
  Outliers,
  Summary,
} from "../../src/stats/mod.ts";
import { between, exact, forces, level, marks, oneOf, output, type Spec, whole } from "./spec.ts";

const nonCentralT = "R's non-central t (AS 243) stops its series at 1e-12 and its quantile by bisection";
const integrals = "R's integrate and uniroot, asked for 1e-10";

/** One list of values: what it shows, what may be claimed, which law it follows. */
export const valueSpecs: readonly Spec[] = [
  {
    name: "summary",
    calculation: "summary",
    group: "base",
    inR: "mean, sd, t.test, acf",
    draw: (random) => ({ values: forces(random, whole(random, 3, 40)), confidence: level(random) }),
    outputs: {
      mean: output((v: Summary) => v.mean),
      sd: output((v: Summary) => v.sd),
      cv: output((v: Summary) => v.cv),
      meanInterval: output((v: Summary) => v.meanInterval),
      lag1: output((v: Summary) => v.lag1Autocorrelation, exact, { size: 0.1 }),
    },
  },
  {
    name: "tolerance-one",
    calculation: "tolerance-factor",
    group: "bounds",
    inR: "qt with a non-centrality, which R takes up to 37.62",
    draw: (random) => {
      const n = whole(random, 2, 60);
      return {
        n,
        content: between(random, 0.5, n > 20 ? 0.99 : 0.9999),
        confidence: between(random, 0.05, 0.999),
        sides: "one",
      };
    },
    outputs: { factor: output((v: { factor: number }) => v.factor, 1e-6, { why: nonCentralT }) },
  },
  {
    name: "tolerance-two",
    calculation: "tolerance-factor",
    group: "bounds",
    inR: "integrate of pchisq over the mean, uniroot",
    draw: (random) => ({
      n: whole(random, 2, 200),
      content: between(random, 0.5, 0.9999),
      confidence: between(random, 0.5, 0.999),
      sides: "two",
    }),
    outputs: { factor: output((v: { factor: number }) => v.factor, 1e-7, { why: integrals }) },
  },
  ...(["normal", "lognormal"] as const).map(
    (method): Spec => ({
      name: `bound-${method}`,
      calculation: "lower-bound",
      group: "bounds",
      inR: "qt with a non-centrality on the values, or on their logarithms",
      draw: (random) => ({ ...bound(forces(random, whole(random, 2, 40)), random), method }),
      outputs: { bound: output((v: LowerBound) => v.bound, 1e-6, { size: sizeOf, why: nonCentralT }) },
    }),
  ),
  {
    name: "bound-mean-3sd",
    calculation: "lower-bound",
    group: "bounds",
    inR: "mean, sd, pt with a non-centrality",
    draw: (random) => ({
      ...bound(forces(random, whole(random, 2, 40)), random),
      content: oneOf(random, [0.9, 0.95, 0.99]),
      method: "mean-3sd",
    }),
    outputs: {
      bound: output((v: LowerBound) => v.bound, exact, { size: sizeOf }),
      confidence: output((v: LowerBound) => v.confidence, 1e-8, { why: nonCentralT }),
    },
  },
  {
    name: "bound-weibull",
    calculation: "lower-bound",
    group: "bounds",
    inR: "the conditional integral written anew: integrate over log b, pgamma, uniroot",
    draw: (random) => {
      const values = forces(random, whole(random, 2, 25));
      return { ...bound(values, random), censored: marks(random, values), method: "weibull" };
    },
    outputs: { bound: output((v: LowerBound) => Math.log(v.bound), 1e-6, { size: 1, why: integrals }) },
  },
  ...(["normal", "lognormal"] as const).map(
    (method): Spec => ({
      name: `bound-censored-${method}`,
      calculation: "lower-bound",
      group: "bounds",
      costly: true,
      inR: "brute force: the posterior over mean and spread on a grid of 600 by 900, its quantile",
      draw: (random) => {
        const values = forces(random, whole(random, 6, 15));
        for (;;) {
          const censored = marks(random, values);
          const stopped = censored.filter(Boolean).length;
          if (stopped > 0 && values.length - stopped > 3)
            return {
              values,
              censored,
              content: oneOf(random, [0.9, 0.95]),
              confidence: oneOf(random, [0.9, 0.95]),
              method,
            };
        }
      },
      outputs: {
        bound: output((v: LowerBound) => v.bound, 5e-4, { size: sizeOf, why: "the grid of the brute force" }),
      },
    }),
  ),
  {
    name: "bound-distribution-free",
    calculation: "lower-bound",
    group: "bounds",
    inR: "pbinom over all orders",
    draw: (random) => {
      const content = oneOf(random, [0.5, 0.75, 0.9, 0.95]);
      const confidence = oneOf(random, [0.5, 0.9, 0.95, 0.99]);
      const needs = Math.ceil(Math.log(1 - confidence) / Math.log(content)) + 1;
      return {
        values: forces(random, whole(random, needs, needs + 100)),
        content,
        confidence,
        method: "distribution-free",
      };
    },
    outputs: { bound: output((v: LowerBound) => v.bound), order: output((v: LowerBound) => v.order) },
  },
  {
    name: "bound-hanson-koopmans",
    calculation: "lower-bound",
    group: "bounds",
    inR: "integrate over the upper of the two order statistics, uniroot",
    draw: (random) => {
      const values = forces(random, whole(random, 2, 25));
      const form = oneOf(random, ["arithmetic", "ratio"]);
      return {
        ...bound(values, random),
        form,
        upperOrder: whole(random, 2, values.length),
        method: "hanson-koopmans",
      };
    },
    outputs: { factor: output((v: LowerBound) => v.factor, 1e-6, { why: integrals }) },
  },
  ...(["normal", "lognormal", "weibull"] as const).map(
    (family): Spec => ({
      name: `fit-${family}`,
      calculation: "fit",
      group: "survival",
      inR: "survreg; the profile likelihood by survreg with an offset or a fixed scale, uniroot",
      draw: (random) => {
        const values = forces(random, whole(random, 4, 30));
        return { values, censored: marks(random, values), family, confidence: oneOf(random, [0.9, 0.95]) };
      },
      outputs: {
        parameters: output((v: Fit) => Object.values(v.parameters), 1e-6, {
          why: "survreg stops at its own tolerance",
        }),
        logLikelihood: output((v: Fit) => v.logLikelihood, exact, { size: 1 }),
        aicc: output((v: Fit) => v.aicc, exact, { size: 1 }),
        first: output((v: Fit) => Object.values(v.intervals)[0], 1e-5, { why: "uniroot over survreg" }),
        second: output((v: Fit) => Object.values(v.intervals)[1], 1e-5, { why: "uniroot over survreg" }),
      },
    }),
  ),
  {
    name: "fit-compare",
    calculation: "fit-compare",
    group: "survival",
    inR: "survreg of all three laws",
    draw: (random) => {
      const values = forces(random, whole(random, 3, 30));
      return { values, censored: marks(random, values) };
    },
    outputs: {
      difference: output((v: FitComparison) => inOrder(v, "difference"), 1e-7, { size: 1 }),
      weight: output((v: FitComparison) => inOrder(v, "weight"), 1e-7, { size: 0.01 }),
    },
  },
  {
    name: "normality",
    calculation: "normality",
    group: "nortest",
    inR: "shapiro.test; nortest's ad.test",
    draw: (random) => ({ values: forces(random, whole(random, 8, 60)) }),
    outputs: {
      w: output((v: Normality) => v.shapiroWilk?.statistic),
      wP: output((v: Normality) => v.shapiroWilk?.p, 1e-7),
      a: output((v: Normality) => v.andersonDarling?.statistic),
      aP: output((v: Normality) => v.andersonDarling?.p, 1e-7),
    },
  },
  {
    name: "normality-few",
    calculation: "normality",
    group: "base",
    inR: "shapiro.test",
    draw: (random) => ({ values: forces(random, whole(random, 3, 12)) }),
    outputs: {
      w: output((v: Normality) => v.shapiroWilk?.statistic),
      wP: output((v: Normality) => v.shapiroWilk?.p, 1e-7),
    },
  },
  {
    name: "outliers",
    calculation: "outliers",
    group: "base",
    inR: "Grubbs' and Rosner's formulas written anew with qt",
    draw: (random) => {
      const values = forces(random, whole(random, 5, 30));
      if (random.uniform() < 0.5) values[0] = (values[0] as number) * between(random, 0.4, 1.6);
      return {
        values,
        alpha: oneOf(random, [0.01, 0.05, 0.1]),
        sides: oneOf(random, ["two", "low", "high"]),
        atMost: whole(random, 1, Math.min(3, values.length - 2)),
      };
    },
    outputs: {
      statistics: output((v: Outliers) => v.steps.map(({ statistic }) => statistic), exact, { size: 1 }),
      criticals: output((v: Outliers) => v.steps.map(({ critical }) => critical)),
      suspects: output((v: Outliers) => v.suspects.length),
    },
  },
  {
    name: "bootstrap",
    calculation: "bootstrap",
    group: "base",
    inR: "the statistic and its jackknife; the random part of the bootstrap has no counterpart",
    draw: (random) => {
      const values = forces(random, whole(random, 4, 25));
      const others = values.map((value) => value * between(random, 0.8, 1.2));
      return {
        values,
        others,
        statistic: oneOf(random, ["mean", "median", "sd", "cv", "correlation"]),
        resamples: 200,
      };
    },
    outputs: {
      estimate: output((v: Bootstrap) => v.estimate, exact, { size: 1e-3 }),
      jackknife: output((v: Bootstrap) => v.jackknife.standardError, 1e-8, { size: 1e-6 }),
      bias: output((v: Bootstrap) => v.jackknife.bias, 1e-8, { size: 0.01 }),
    },
  },
  {
    name: "claim-mean",
    calculation: "claim",
    group: "base",
    inR: "t.test, two-sided and twice one-sided",
    draw: (random) => {
      const values = forces(random, whole(random, 2, 20));
      return {
        values,
        claimed: (values[0] as number) * between(random, 0.9, 1.1),
        kind: "mean",
        margin: between(random, 0.01, 0.2),
        confidence: level(random),
      };
    },
    outputs: {
      interval: output((v: Claim) => v.mean?.interval, exact, { size: sizeOf }),
      p: output((v: Claim) => v.mean?.p, 1e-8),
      equivalenceP: output((v: Claim) => v.mean?.equivalenceP, 1e-8),
    },
  },
  {
    name: "claim-least",
    calculation: "claim",
    group: "base",
    inR: "pt with a non-centrality, uniroot",
    draw: (random) => {
      const values = forces(random, whole(random, 3, 20));
      return { values, claimed: (values[0] as number) * between(random, 0.85, 1.0), kind: "least" };
    },
    outputs: {
      shareAbove: output((v: Claim) => v.least?.shareAbove, exact),
      interval: output((v: Claim) => v.least?.interval, 1e-6, { size: 1e-3, why: nonCentralT }),
    },
  },
];

function bound(values: readonly number[], random: Parameters<Spec["draw"]>[0]) {
  return { values, content: between(random, 0.5, 0.99), confidence: between(random, 0.5, 0.99) };
}

function sizeOf(input: { readonly values: readonly number[] }): number {
  return Math.max(...input.values.map(Math.abs));
}

/** By the name of the family, since R lists them so. */
function inOrder({ fits }: FitComparison, field: "difference" | "weight"): number[] {
  return fits.toSorted((a, b) => (a.family < b.family ? -1 : 1)).map((fit) => fit[field]);
}
