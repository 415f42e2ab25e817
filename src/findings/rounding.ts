import { formatNumber, fromForceUnit, newtons, toForceUnit, withMinus } from "../units/mod.ts";

/**
 * How many decimals a number deserves whose standard uncertainty is known: down to the first digit of the uncertainty,
 * or to its second where the first is 1. Negative: the digits left of the point that are rounded away.
 *
 * Uncertainty: in the number's unit, above 0. Where it is 0 or not finite nothing can be said and three decimals stand.
 * Source: the spirit of JCGM 100:2008 (GUM) 7.2.6, which leaves one or two digits of the uncertainty to judgement; where
 * the change from one to two lies is common practice.
 *
 * @example
 * decimalsFor(0.58) // 1
 */
export function decimalsFor(uncertainty: number): number {
  if (!Number.isFinite(uncertainty) || uncertainty <= 0) return 3;
  const [digits = "1", exponent = "0"] = uncertainty.toExponential(1).split("e");
  return (Number(digits) < 2 ? 1 : 0) - Number(exponent);
}

/**
 * Writes a number to the digits that its uncertainty leaves it, without exponent, for people to read: below 0 with the sign
 * of arithmetic.
 *
 * @example
 * toUncertainty(13057, 131) // "13060"
 */
export function toUncertainty(value: number, uncertainty: number): string {
  const decimals = decimalsFor(uncertainty);
  if (decimals >= 0) return withMinus(formatNumber(value, { decimals: Math.min(decimals, 6) }));
  const step = 10 ** -decimals;
  return withMinus(formatNumber(Math.round(value / step) * step, { decimals: 0 }));
}

/**
 * A force in kilonewtons with pounds-force beside it, each to the digits that the uncertainty leaves it.
 *
 * @example
 * forceText(58130, 580) // "58.1 kN (13070 lbf)"
 */
export function forceText(forceN: number, uncertaintyN: number): string {
  const { kN, lbf } = forceFigures(forceN, uncertaintyN);
  return `${kN} kN (${lbf} lbf)`;
}

/** The two figures of `forceText` alone, for a table whose heading names the units. */
export function forceFigures(forceN: number, uncertaintyN: number): { kN: string; lbf: string } {
  const inUnit = (unit: "kN" | "lbf") =>
    toUncertainty(toForceUnit(newtons(forceN), unit), uncertaintyN / fromForceUnit(1, unit));
  return { kN: inUnit("kN"), lbf: inUnit("lbf") };
}

/** A fraction as a percentage, to the digits that its uncertainty (a fraction too) leaves it. */
export function percentText(fraction: number, uncertainty: number): string {
  return `${toUncertainty(fraction * 100, uncertainty * 100)} %`;
}

/**
 * Standard uncertainty to round a mean by: its own from the scatter, s/√n, or that of a single strength where a handful of
 * pulls happened to agree better than the bench can tell.
 */
export function meanUncertainty(mean: number, sd: number | undefined, n: number): number {
  return Math.max((sd ?? 0) / Math.sqrt(n), singlePullUncertainty(mean));
}

/**
 * Standard uncertainty taken for a single strength where nothing better is known: 1 % of it, the accuracy class that
 * ISO 2307 asks of a rope-testing machine. It only sets how many digits are printed.
 */
export function singlePullUncertainty(value: number): number {
  return Math.abs(value) * 0.01;
}
