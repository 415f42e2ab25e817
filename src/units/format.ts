import type { Newtons } from "./brands.ts";
import { toForceUnit } from "./force.ts";
import type { ForceUnit } from "./names.ts";

/** How many digits to print: significant digits, or digits after the point. */
export type NumberFormat = { readonly significant: number } | { readonly decimals: number };

/** A force as printed: the figure and its unit apart, for a table, and together, for a sentence. */
export type ForceText = { readonly figure: string; readonly unit: ForceUnit; readonly text: string };

/**
 * Writes a number without exponent, without thousands marks, with a point and in plain ASCII, the same in every place
 * and locale. Trailing zeros stay: they say how many digits count. Never "-0.0".
 *
 * @example
 * formatNumber(0.0123456, { significant: 3 }) // "0.0123"
 */
export function formatNumber(value: number, format: NumberFormat): string {
  if (!Number.isFinite(value)) return String(value);
  const text =
    "decimals" in format ? fixed(value, format.decimals) : withSignificant(value, format.significant);
  return /^-[0.]+$/.test(text) ? text.slice(1) : text;
}

/**
 * A written number for people to read: with the sign of arithmetic where a hyphen stands. Data, and fields to type in,
 * keep the hyphen.
 *
 * @example
 * withMinus("-5.86") // "−5.86"
 */
export function withMinus(figure: string): string {
  return figure.replace(/^-/, "−");
}

/**
 * Words for people to read in which a figure and its unit, its thousands, or a sign and its figure, stay on one line. Only for computed text.
 *
 * @example
 * withUnitsKept("at 54 d, 95 %") // "at 54\u00a0d, 95\u00a0%"
 */
export function withUnitsKept(text: string): string {
  return text
    .replace(/(\d) (?=(?:%|kN|lbf|N|mm|d|m|s)(?![\p{L}\d]))/gu, "$1\u00a0")
    .replace(/(\d) (?=\d{3}(?!\d))/g, "$1\u00a0")
    .replace(/([−×=≥]) (?=\d)/g, "$1\u00a0");
}

/**
 * Writes a force in a unit, by default in kilonewtons with three significant digits.
 *
 * @example
 * formatForce(newtons(41234)).text // "41.2 kN"
 */
export function formatForce(
  force: Newtons,
  unit: ForceUnit = "kN",
  format: NumberFormat = { significant: 3 },
): ForceText {
  const figure = formatNumber(toForceUnit(force, unit), format);
  return { figure, unit, text: `${figure} ${unit}` };
}

/**
 * Writes a force in kilonewtons with pounds-force beside it, both to the same number of significant digits.
 *
 * @example
 * formatForceTwice(newtons(41234)) // "41.2 kN (9270 lbf)"
 */
export function formatForceTwice(force: Newtons, significant = 3): string {
  const format = { significant };
  return `${formatForce(force, "kN", format).text} (${formatForce(force, "lbf", format).text})`;
}

function withSignificant(value: number, significant: number): string {
  if (value === 0) return fixed(0, significant - 1);
  // toExponential rounds first, so that 9.996 to three digits becomes 10.0 and not 10.00.
  const exponent = Number(value.toExponential(significant - 1).split("e")[1]);
  const decimals = significant - 1 - exponent;
  return decimals >= 0 ? fixed(value, decimals) : plain(Number(value.toPrecision(significant)));
}

function fixed(value: number, decimals: number): string {
  // toFixed turns to exponents from 1e21 on and takes at most 100 digits.
  return Math.abs(value) < 1e21 ? value.toFixed(Math.min(Math.max(decimals, 0), 100)) : plain(value);
}

function plain(value: number): string {
  return BigInt(Math.round(value)).toString();
}
