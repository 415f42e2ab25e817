import { normalQuantile } from "../../stats/mod.ts";
import { createLaw } from "./law.ts";
import type { Asked } from "./sample.ts";
import { estimatedPlace, type JudgedLaw, upperPlace } from "./tails.ts";
import type { LengthAtCovariates } from "./types.ts";

/**
 * The length at values of the covariates. The same likelihood, with the covariates counted from those values instead of their
 * means: the tops are the same ones, and the chance is held there. The roots' quantile is that of the refits at the means.
 */
export function lengthAtCovariates(
  asked: Asked,
  laws: readonly JudgedLaw[],
  covariates: Readonly<Record<string, number>>,
  withEstimate: boolean,
): LengthAtCovariates {
  const { shortest, range, chance, confidence, sample } = asked;
  const off = (names: readonly string[], means: readonly number[], units: readonly number[]) =>
    names.map((name, j) => {
      const value = Object.hasOwn(covariates, name) ? covariates[name] : undefined;
      return value === undefined ? 0 : (value - (means[j] as number)) / (units[j] as number);
    });
  const slipOff = off(asked.slipNames, asked.slipMeans, asked.slipUnits);
  const breakOff = off(asked.breakNames, asked.breakMeans, asked.breakUnits);
  const there = {
    ...sample,
    slipBy: sample.slipBy.map((column, j) => column.map((value) => value - (slipOff[j] as number))),
    breakBy: sample.breakBy.map((column, j) => column.map((value) => value - (breakOff[j] as number))),
  };
  const moved = laws.map((judged) => ({
    ...judged,
    law: createLaw(there, judged.growth),
    top: {
      ...judged.top,
      level: judged.top.level + dot(judged.top.slipEffects, slipOff),
      plateau: judged.top.plateau + dot(judged.top.breakEffects, breakOff),
    },
  }));
  const upper = upperPlace(moved, normalQuantile(1 - chance), 1 - confidence);
  const estimate = withEstimate ? estimatedPlace(moved, chance) : undefined;
  return {
    chance,
    covariates,
    plateau: Math.exp(moved[0]?.top.plateau as number),
    ...(estimate === undefined ? {} : { estimate: shortest + range * estimate }),
    ...(upper === undefined ? {} : { upper: shortest + range * Math.max(upper, estimate ?? 0) }),
  };
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * (b[i] as number), 0);
}
