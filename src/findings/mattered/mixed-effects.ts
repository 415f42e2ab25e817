import { ok, type Result, refuse } from "../../problem/mod.ts";
import {
  type Columns,
  type MixedModel,
  mixedModel,
  studentTQuantile,
  studentTTwoSided,
} from "../../stats/mod.ts";
import type { Estimate, FactorEffect, LevelDifference } from "../effect-types.ts";
import type { ComparedPull } from "./compared.ts";

type About = {
  readonly labels: readonly string[];
  readonly order: readonly string[];
  readonly blocks: readonly string[];
  readonly pulls: readonly ComparedPull[];
};

/**
 * Levels compared where spools or makers met one level only: each such group as a random part beside fixed blocks. Pairs
 * of more than two levels share the confidence by Bonferroni; the factor's p is that of its furthest pair, made larger for
 * their number.
 */
export function mixedEffects(
  { labels, order, blocks, pulls }: About,
  group: readonly string[],
): Result<Pick<FactorEffect, "pairs" | "significance">> {
  const names = [...new Set([...order.filter((label) => labels.includes(label)), ...labels])];
  const count = (names.length * (names.length - 1)) / 2;
  const confidence = 1 - 0.05 / count;
  const warnings = [];
  const pairs: LevelDifference[] = [];
  for (const [i, from] of names.entries()) {
    const fixed: Columns = { ...levelColumns(names, from, labels), ...blockColumns(blocks) };
    if (i === names.length - 1) break;
    const relative = mixedModel({
      response: pulls.map(({ value }) => Math.log(value)),
      fixed,
      group,
      confidence,
    });
    if (!relative.ok) return relative;
    const absolute = mixedModel({ response: pulls.map(({ value }) => value), fixed, group, confidence });
    if (!absolute.ok) return absolute;
    if (i === 0) warnings.push(...relative.warnings);
    for (const to of names.slice(i + 1)) {
      const [ratio, plain] = [estimateOf(relative.value, to), estimateOf(absolute.value, to)];
      if (ratio === undefined || plain === undefined) return refuse(tooMany(pulls.length));
      const seen = studentTQuantile(0.5 + confidence / 2, ratio.df) + studentTQuantile(0.8, ratio.df);
      pairs.push({
        from,
        to,
        difference: plain.estimate,
        relative: {
          value: Math.expm1(ratio.estimate.value),
          interval: [Math.expm1(ratio.estimate.interval[0]), Math.expm1(ratio.estimate.interval[1])],
        },
        p: Math.min(1, count * studentTTwoSided(ratio.estimate.value / ratio.standardError, ratio.df)),
        wouldSee: Math.expm1(seen * ratio.standardError),
      });
    }
  }
  const p = Math.min(...pairs.map((pair) => pair.p));
  return ok({ pairs, significance: { by: "mixed model", p, pOfAll: p } }, warnings);
}

function levelColumns(names: readonly string[], reference: string, labels: readonly string[]): Columns {
  return Object.fromEntries(
    names
      .filter((name) => name !== reference)
      .map((name) => [`level ${name}`, labels.map((one) => (one === name ? 1 : 0))]),
  );
}

function blockColumns(blocks: readonly string[]): Columns {
  const [, ...others] = new Set(blocks);
  return Object.fromEntries(
    others.map((block, at) => [`block ${at}`, blocks.map((one) => (one === block ? 1 : 0))]),
  );
}

function estimateOf(
  model: MixedModel,
  level: string,
): { readonly estimate: Estimate; readonly standardError: number; readonly df: number } | undefined {
  const name = `level ${level}`;
  const [value, interval, standardError, df] = [
    model.fixed[name],
    model.intervals?.[name],
    model.standardErrors[name],
    model.satterthwaiteDf?.[name],
  ];
  if (value === undefined || interval === undefined || standardError === undefined || df === undefined)
    return undefined;
  return { estimate: { value, interval }, standardError, df };
}

function tooMany(n: number) {
  return {
    code: "STAT_VALUE" as const,
    message: "The mixed model gives intervals for up to 1500 pulls.",
    found: String(n),
    expected: "1500 or fewer",
  };
}
