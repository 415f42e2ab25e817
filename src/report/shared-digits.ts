import { decimalsFor } from "../findings/mod.ts";
import { formatNumber, fromForceUnit, newtons, toForceUnit } from "../units/mod.ts";

/** A number with its standard uncertainty, in the same unit. */
export type Measured = {
  readonly value: number;
  readonly uncertainty: number;
  /** Differences below this are not told apart; 0 unless said. For what is only shown beside the results. */
  readonly tell?: number;
};

/**
 * How many decimals the numbers of one table share: as many as the surest of them is given by its uncertainty, and more where two
 * numbers of one column that differ would look equal. Negative: rounded to tens, hundreds.
 *
 * Each column is a list of values with their standard uncertainties. Values that differ by less than a billionth of their size are
 * the same number, reckoned in two ways. Without a single uncertainty three decimals stand.
 * Source: GUM (JCGM 100:2008), 7.2.6: an estimate is rounded to be consistent with its uncertainty.
 *
 * @example
 * sharedDecimals([[{ value: 31.24, uncertainty: 0.3 }, { value: 31.19, uncertainty: 0.3 }]]) // 2: one decimal would make both 31.2
 */
export function sharedDecimals(columns: readonly (readonly Measured[])[]): number {
  const known = columns.flat().filter(({ value }) => Number.isFinite(value));
  const decimals = known
    .filter(({ uncertainty }) => Number.isFinite(uncertainty) && uncertainty > 0)
    .reduce((most, { uncertainty }) => Math.max(most, decimalsFor(uncertainty)), Number.NEGATIVE_INFINITY);
  const least = Math.min(Number.isFinite(decimals) ? decimals : 3, mostDecimals);
  return columns.reduce((shared, column) => apart(column, shared), least);
}

/**
 * Writes a number to so many decimals, without exponent; negative ones round to tens and hundreds.
 *
 * @example
 * toDecimals(13057, -1) // "13060"
 */
export function toDecimals(value: number, decimals: number): string {
  if (decimals >= 0) return formatNumber(value, { decimals });
  const step = 10 ** -decimals;
  return formatNumber(Math.round(value / step) * step, { decimals: 0 });
}

/** Forces of one table, written with the digits that they share in kN, and in lbf. */
export type SharedForces = (forceN: number) => { readonly kN: string; readonly lbf: string };

/** The digits that the forces of one table share, from values and uncertainties in newtons. */
export function sharedForces(columns: readonly (readonly Measured[])[]): SharedForces {
  const inUnit = (unit: "kN" | "lbf") => {
    const of = (forceN: number) => toForceUnit(newtons(forceN), unit);
    const unitN = fromForceUnit(1, unit);
    const decimals = sharedDecimals(
      columns.map((column) =>
        column.map(({ value, uncertainty, tell = 0 }) => ({
          value: of(value),
          uncertainty: uncertainty / unitN,
          tell: tell / unitN,
        })),
      ),
    );
    return (forceN: number) => toDecimals(of(forceN), decimals);
  };
  const [kN, lbf] = [inUnit("kN"), inUnit("lbf")];
  return (forceN) => ({ kN: kN(forceN), lbf: lbf(forceN) });
}

/** The digits that the percentages of one table share, from fractions with their uncertainties. */
export function sharedPercents(columns: readonly (readonly Measured[])[]): (fraction: number) => string {
  const decimals = sharedDecimals(
    columns.map((column) =>
      column.map(({ value, uncertainty, tell = 0 }) => ({
        value: value * 100,
        uncertainty: uncertainty * 100,
        tell: tell * 100,
      })),
    ),
  );
  return (fraction) => `${toDecimals(fraction * 100, decimals)} %`;
}

/** Beyond this a double holds no digits of a force in kN. */
const mostDecimals = 12;

/** Two ways of reckoning the same number differ by less than this share of it. */
const sameShare = 1e-9;

/** The decimals, from these on, with which no two different values of a column look equal. */
function apart(column: readonly Measured[], from: number): number {
  const sorted = column.filter(({ value }) => Number.isFinite(value)).sort((a, b) => a.value - b.value);
  const pairs = sorted.flatMap(({ value, tell = 0 }, at) => {
    const before = sorted[at - 1]?.value;
    if (before === undefined) return [];
    const same = Math.max(tell, sameShare * Math.max(Math.abs(value), Math.abs(before)));
    return value - before <= same ? [] : [[before, value] as const];
  });
  let decimals = from;
  while (
    decimals < mostDecimals &&
    pairs.some(([a, b]) => toDecimals(a, decimals) === toDecimals(b, decimals))
  )
    decimals++;
  return decimals;
}
