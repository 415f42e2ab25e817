import { normalCdf, normalQuantile, type Random, weibullCdf, weibullQuantile } from "../../src/stats/mod.ts";

/** A population with known truth, from which pulls are drawn. */
export type Law = {
  readonly name: string;
  /** In words, with its parameters. */
  readonly described: string;
  /** Which law of a fit it is, if one. */
  readonly family?: "normal" | "lognormal" | "weibull";
  readonly draw: (random: Random) => number;
  readonly quantile: (share: number) => number;
  readonly cdf: (value: number) => number;
  readonly mean: number;
  /** True where stretching a value keeps the law's shape, false where shifting does. */
  readonly stretches: boolean;
  /** Of a fit, by the names that the fit gives them. */
  readonly parameters: Readonly<Record<string, number>>;
};

const size = 50; // kN, say
const cv = 0.05; // common for spliced rope, no published source

const normal: Law = {
  name: "normal",
  described: "normal, mean 50, sd 2.5",
  family: "normal",
  draw: (random) => size * (1 + cv * random.normal()),
  quantile: (share) => size * (1 + cv * normalQuantile(share)),
  cdf: (value) => normalCdf((value / size - 1) / cv),
  mean: size,
  stretches: false,
  parameters: { mean: size, sd: size * cv },
};

const logNormal: Law = {
  name: "log-normal",
  described: "log-normal, median 50, sd of the logarithms 0.05",
  family: "lognormal",
  draw: (random) => size * Math.exp(cv * random.normal()),
  quantile: (share) => size * Math.exp(cv * normalQuantile(share)),
  cdf: (value) => (value > 0 ? normalCdf(Math.log(value / size) / cv) : 0),
  mean: size * Math.exp((cv * cv) / 2),
  stretches: true,
  parameters: { meanLog: Math.log(size), sdLog: cv },
};

function weibull(shape: number): Law {
  return {
    name: `Weibull ${shape}`,
    described: `Weibull, shape ${shape}, scale 50`,
    family: "weibull",
    draw: (random) => size * (-Math.log1p(-random.uniform())) ** (1 / shape),
    quantile: (share) => weibullQuantile(share, shape, size),
    cdf: (value) => (value > 0 ? weibullCdf(value, shape, size) : 0),
    mean: weibullMean(shape),
    stretches: true,
    parameters: { shape, scale: size },
  };
}

/** By the midpoint rule over shares: no gamma function of the program's own is leant on. */
function weibullMean(shape: number): number {
  const steps = 1_000_000;
  let total = 0;
  for (let i = 0; i < steps; i++) total += (-Math.log1p(-(i + 0.5) / steps)) ** (1 / shape);
  return (size * total) / steps;
}

/** One pull in five fails in another, weaker way. */
const weakShare = 0.2;
const twoModes: Law = {
  name: "two modes",
  described: "two modes: normal 50, sd 2, and for one in five normal 42, sd 2",
  draw: (random) => (random.uniform() < weakShare ? 42 : 50) + 2 * random.normal(),
  quantile: (share) => bisect((value) => twoModesCdf(value) - share, 20, 80),
  cdf: twoModesCdf,
  mean: weakShare * 42 + (1 - weakShare) * 50,
  stretches: false,
  parameters: {},
};

function twoModesCdf(value: number): number {
  return weakShare * normalCdf((value - 42) / 2) + (1 - weakShare) * normalCdf((value - 50) / 2);
}

export const laws: readonly Law[] = [normal, logNormal, weibull(10), weibull(20), weibull(40), twoModes];

/** Where a rising function passes zero. */
export function bisect(rising: (x: number) => number, low: number, high: number): number {
  let [from, to] = [low, high];
  for (let i = 0; i < 100; i++) {
    const middle = (from + to) / 2;
    if (rising(middle) < 0) from = middle;
    else to = middle;
  }
  return (from + to) / 2;
}
