import { breakSize, slipSize } from "./fitter.ts";
import type { Top } from "./law.ts";
import { inverseOf, standardErrors } from "./plan.ts";
import type { Asked } from "./sample.ts";
import type { JudgedLaw } from "./tails.ts";
import type { Estimated, FittedBreak, FittedGrowth } from "./types.ts";

/** A law's slip part in the tester's terms: from the range of buries back to diameters. */
export function fittedGrowth(asked: Asked, { law, top, weight }: JudgedLaw): FittedGrowth {
  const { shortest, range, sample, slipNames, slipUnits } = asked;
  const { fitter } = law;
  fitter.setGrowth(top.growth);
  const at = Float64Array.of(top.level, top.grown, Math.log(top.slipScatter), ...top.slipEffects);
  fitter.slipHill.climb(at, true);
  const covariance = inverseOf(fitter.slipHill.size, fitter.slipHill.second);
  const estimated = (value: number, by: readonly number[]): Estimated => withError(value, covariance, by);
  const perDiameter = 1 / range;
  const level = Math.exp(top.level);
  const end = level * Math.exp(top.grown);
  const [intercept, slope] =
    top.growth === "exponential"
      ? [
          estimated(top.level - top.grown * shortest * perDiameter, [1, -shortest * perDiameter]),
          estimated(top.grown * perDiameter, [0, perDiameter]),
        ]
      : [
          estimated(level - (end - level) * shortest * perDiameter, [
            level - (end - level) * shortest * perDiameter,
            -end * shortest * perDiameter,
          ]),
          estimated((end - level) * perDiameter, [(end - level) * perDiameter, end * perDiameter]),
        ];
  const parameters = slipSize + breakSize + top.slipEffects.length + top.breakEffects.length;
  return {
    growth: top.growth,
    intercept,
    slope,
    scatter: estimated(top.slipScatter, [0, 0, top.slipScatter]),
    effects: Object.fromEntries(
      slipNames.map((name, j) => {
        const per = 1 / (slipUnits[j] as number);
        return [
          name,
          estimated((top.slipEffects[j] as number) * per, [...new Array<number>(slipSize + j).fill(0), per]),
        ];
      }),
    ),
    ...likelihoodOf(asked, top, parameters, sample.n),
    weight,
  };
}

/** The break part likewise. */
export function fittedBreak(
  asked: Asked,
  { law, top }: JudgedLaw,
  interval: readonly [number, number] | undefined,
): FittedBreak {
  const { breakNames, breakUnits } = asked;
  const { breakHill } = law.fitter;
  const at = Float64Array.of(top.plateau, Math.log(top.breakScatter), ...top.breakEffects);
  breakHill.climb(at, true);
  const errors = standardErrors(breakHill);
  const estimated = (value: number, index: number, per: number): Estimated => {
    const error = errors?.[index];
    return error === undefined || !Number.isFinite(error) ? { value } : { value, standardError: error * per };
  };
  return {
    mean: estimated(top.plateau, 0, 1),
    scatter: estimated(top.breakScatter, 1, top.breakScatter),
    effects: Object.fromEntries(
      breakNames.map((name, j) => {
        const per = 1 / (breakUnits[j] as number);
        return [name, estimated((top.breakEffects[j] as number) * per, breakSize + j, per)];
      }),
    ),
    plateau: { strength: Math.exp(top.plateau), ...(interval === undefined ? {} : { interval }) },
  };
}

/** Of the strengths themselves, not of their logarithms: each that slipped or broke counts with 1/strength. */
function likelihoodOf({ sample }: Asked, top: Top, parameters: number, n: number) {
  let logs = 0;
  for (let i = 0; i < n; i++) if (sample.kind[i] !== 2) logs += sample.y[i] as number;
  const logLikelihood = top.height - logs;
  const spare = n - parameters - 1;
  return {
    logLikelihood,
    ...(spare > 0
      ? { aicc: -2 * logLikelihood + 2 * parameters + (2 * parameters * (parameters + 1)) / spare }
      : {}),
  };
}

function withError(
  value: number,
  covariance: readonly (readonly number[])[] | undefined,
  by: readonly number[],
): Estimated {
  if (covariance === undefined) return { value };
  let variance = 0;
  for (const [i, a] of by.entries())
    for (const [j, b] of by.entries()) variance += a * b * ((covariance[i] as number[])[j] as number);
  return variance > 0 && Number.isFinite(variance)
    ? { value, standardError: Math.sqrt(variance) }
    : { value };
}
