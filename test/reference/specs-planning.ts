import type { StandardUncertainty, UncertaintyBudget } from "../../src/stats/mod.ts";
import { between, forces, oneOf, output, type Spec, whole } from "./spec.ts";

const power = output((v: { power: number }) => v.power, 1e-6, { size: 1e-3, why: "R's non-central t and F" });

/** How many pulls, and how sure a measured value is. */
export const planningSpecs: readonly Spec[] = [
  {
    name: "power-two",
    calculation: "power",
    group: "base",
    inR: "power.t.test",
    draw: (random) => ({ kind: "two", n: whole(random, 2, 40), ...two(random) }),
    outputs: { power },
  },
  {
    name: "power-many",
    calculation: "power",
    group: "base",
    inR: "power.anova.test",
    draw: (random) => ({ kind: "many", n: whole(random, 2, 20), ...many(random) }),
    outputs: { power },
  },
  {
    name: "power-bound",
    calculation: "power",
    group: "base",
    inR: "qt and pt with a non-centrality",
    draw: (random) => ({ kind: "bound", n: whole(random, 3, 30), ...clear(random) }),
    outputs: { power },
  },
  {
    name: "size-two",
    calculation: "sample-size",
    group: "base",
    inR: "power.t.test for one n after another",
    draw: (random) => ({ kind: "two", power: between(random, 0.3, 0.98), ...two(random) }),
    outputs: { n: output((v: { n: number }) => v.n), power },
  },
  {
    name: "size-many",
    calculation: "sample-size",
    group: "base",
    inR: "power.anova.test for one n after another",
    draw: (random) => ({ kind: "many", power: between(random, 0.3, 0.98), ...many(random) }),
    outputs: { n: output((v: { n: number }) => v.n), power },
  },
  {
    name: "size-bound",
    calculation: "sample-size",
    group: "base",
    inR: "qt and pt with a non-centrality for one n after another",
    draw: (random) => ({
      kind: "bound",
      power: between(random, 0.3, 0.9),
      mean: between(random, 57, 62),
      sd: 2.5,
      target: 50,
      content: 0.9,
      confidence: 0.95,
    }),
    outputs: { n: output((v: { n: number }) => v.n), power },
  },
  {
    name: "uncertainty-budget",
    calculation: "uncertainty-budget",
    group: "base",
    inR: "the GUM's formulas written anew with qt",
    draw: (random) => ({
      parts: Array.from({ length: whole(random, 1, 6) }, (_, i) => ({
        name: `part ${i}`,
        value: between(random, 0.01, 3),
        distribution: oneOf(random, ["normal", "t", "rectangular", "triangular", "u-shaped"]),
        sensitivity: between(random, -2, 2),
        ...(random.uniform() < 0.6 && { degreesOfFreedom: whole(random, 1, 30) }),
      })),
      probability: oneOf(random, [0.68, 0.95, 0.99]),
    }),
    outputs: {
      combined: output((v: UncertaintyBudget) => v.combined),
      degreesOfFreedom: output((v: UncertaintyBudget) => v.effectiveDegreesOfFreedom),
      factor: output((v: UncertaintyBudget) => [v.coverageFactor, v.expanded]),
    },
  },
  {
    name: "standard-uncertainty",
    calculation: "standard-uncertainty",
    group: "base",
    inR: "sd, qt, and the variance of each shape by integrate of its density",
    draw: (random) =>
      oneOf(random, [
        () => ({ form: "readings", values: forces(random, whole(random, 2, 20)) }),
        () => ({
          form: "interval",
          halfWidth: between(random, 0.1, 5),
          probability: between(random, 0.5, 0.99),
          degreesOfFreedom: whole(random, 1, 50),
        }),
        () => ({
          form: "limits",
          halfWidth: between(random, 0.1, 5),
          distribution: oneOf(random, ["rectangular", "triangular", "u-shaped", "trapezoidal"]),
          top: between(random, 0.05, 0.95),
        }),
      ])(),
    outputs: { u: output((v: StandardUncertainty) => v.u, 1e-8, { why: "R's integrate" }) },
  },
  {
    name: "coverage-factor",
    calculation: "coverage-factor",
    group: "base",
    inR: "qnorm, qt; of the other shapes the quantile of their distribution function by uniroot",
    draw: (random) => ({
      probability: between(random, 0.1, 0.995),
      ...oneOf<object>(random, [
        {},
        { degreesOfFreedom: between(random, 1, 60) },
        { shape: "rectangular" },
        { shape: "triangular" },
        { shape: "u-shaped" },
      ]),
    }),
    outputs: { k: output((v: { k: number }) => v.k, 1e-8, { why: "R's uniroot" }) },
  },
];

type Chance = Parameters<Spec["draw"]>[0];

function two(random: Chance) {
  return {
    difference: between(random, 1, 6),
    sd: between(random, 1, 4),
    alpha: oneOf(random, [0.01, 0.05, 0.1]),
  };
}

function many(random: Chance) {
  const means = Array.from({ length: whole(random, 2, 6) }, () => between(random, 45, 55));
  return { means, sd: between(random, 1, 6), alpha: oneOf(random, [0.01, 0.05, 0.1]) };
}

function clear(random: Chance) {
  return {
    mean: between(random, 53, 60),
    sd: between(random, 1, 2),
    target: 50,
    content: oneOf(random, [0.8, 0.9]),
    confidence: oneOf(random, [0.8, 0.9, 0.95]),
  };
}

/** Calculations that R does not answer, and what is done instead. */
export const without: readonly { readonly calculation: string; readonly reason: string }[] = [
  {
    calculation: "round",
    reason:
      "R rounds binary numbers, not the decimals they were written as; the tests check it against the examples of the GUM, SP 811 and ISO 80000-1",
  },
  {
    calculation: "convert",
    reason: "R brings no table of units; the tests check it against the exact factors of NIST SP 811",
  },
  {
    calculation: "nonlinear-fit",
    reason:
      "R's nls stops far from the least on hard cases; the tests check it against NIST's certified values",
  },
  {
    calculation: "slip-or-break",
    reason:
      "its tests hold the fit against R's survreg, of which it is two; the rest is by chance, and its coverage is drawn",
  },
];
