import type { Problem } from "../problem/mod.ts";

/**
 * What is wrong with a list of values, if anything: too few, not finite, or of a size whose square is no number any more.
 * The first offending value is named by its place, counted from 0 as in JSON.
 */
export function problemsOfValues(
  values: readonly number[],
  least: number,
  forWhat: string,
  field = "values",
): Problem[] {
  const problems = problemsOfFinite(values, least, forWhat, field);
  return problems.length > 0 ? problems : problemsOfRange(values, forWhat, field);
}

/** The same for what works by order alone, or scales its values: any finite size will do. */
export function problemsOfFinite(
  values: readonly number[],
  least: number,
  forWhat: string,
  field = "values",
): Problem[] {
  let wrong = 0;
  while (wrong < values.length && Number.isFinite(values[wrong])) wrong++;
  if (wrong < values.length) {
    return [
      {
        code: "STAT_VALUE",
        message: `${forWhat} needs finite numbers.`,
        where: { field: `${field}[${wrong}]` },
        found: String(values[wrong]),
        expected: "a finite number",
      },
    ];
  }
  return values.length < least ? [tooFew(values.length, least, forWhat, field)] : [];
}

/** Sums of squares and products must stay numbers: sizes up to 1e100, and the largest not below 1e-100. */
export function problemsOfRange(values: readonly number[], forWhat: string, field = "values"): Problem[] {
  let size = 0;
  for (const value of values) size = Math.max(size, Math.abs(value));
  if (size === 0 || (size <= 1e100 && size >= 1e-100)) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `${forWhat} cannot be worked out for values of this size. Choose another unit.`,
      where: { field },
      found: `values up to ${size}`,
      expected: "values between 1e-100 and 1e100 in size",
    },
  ];
}

/** A refusal that says how many values are wanted and how many there are. */
export function tooFew(found: number, least: number, forWhat: string, field = "values"): Problem {
  return {
    code: "STAT_TOO_FEW",
    message: `${forWhat} needs ${least} ${least === 1 ? "value" : "values"}, has ${found}.`,
    where: { field },
    found: String(found),
    expected: `${least} or more`,
  };
}

/** A refusal of more values than are worked out in a moment. */
export function problemsOfMany(
  found: number,
  most: number,
  forWhat: string,
  field: string,
  wayOut?: string,
): Problem[] {
  if (found <= most) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `${forWhat} is for up to ${most} values in all.`,
      where: { field },
      found: String(found),
      expected: `${most} or fewer`,
      ...(wayOut !== undefined && { wayOut }),
    },
  ];
}

/** What is wrong with a share such as a confidence, if anything: it must lie between two limits, both left out. */
export function problemsOfShare(share: number, field: string, low = 0, high = 1): Problem[] {
  if (share > low && share < high) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `The ${field} must be a fraction between ${low} and ${high}.`,
      where: { field },
      found: String(share),
      expected: "a fraction such as 0.95",
    },
  ];
}

/** What is wrong with a list of lower-bound marks, if anything: it must be as long as the values. */
export function problemsOfCensored(
  values: readonly number[],
  censored: readonly boolean[] | undefined,
): Problem[] {
  if (censored === undefined || censored.length === values.length) return [];
  return [
    {
      code: "INPUT_FIELD",
      message: "Every value needs its own mark in the list of lower bounds.",
      where: { field: "censored" },
      found: `${censored.length} marks for ${values.length} values`,
      expected: "as many marks as values",
    },
  ];
}

/** A refusal for values that a logarithm cannot take. */
export function problemsOfPositive(values: readonly number[], forWhat: string, field = "values"): Problem[] {
  const wrong = values.findIndex((value) => value <= 0);
  if (wrong < 0) return [];
  return [
    {
      code: "STAT_VALUE",
      message: `${forWhat} is for values above zero only.`,
      where: { field: `${field}[${wrong}]` },
      found: String(values[wrong]),
      expected: "a number above 0",
    },
  ];
}

/**
 * Whether values differ by more than rounding. What a change of unit or a sum leaves in the last places is no scatter:
 * values within 32 units of the last place of the largest count as equal, wherever a statistic needs scatter.
 * A scatter of a tenth about 1e12 (NIST StRD SmLs07) is 400 such units and stands. `of` names the values whose size
 * decides, where those compared were worked out from larger ones.
 */
export function differ(values: readonly number[], of: readonly number[] = values): boolean {
  let size = 0;
  for (const value of of) size = Math.max(size, Math.abs(value));
  return largest(values) - smallest(values) > 32 * Number.EPSILON * size;
}

/** A refusal for values that show no scatter at all, or none beyond rounding. */
export function noScatter(forWhat: string, value: number): Problem {
  return {
    code: "STAT_DEGENERATE",
    message: `${forWhat} cannot be given: all values are equal within rounding, so they say nothing of scatter.`,
    found: `every value is ${value}`,
    expected: "values that differ; was the reading too coarse?",
  };
}

export function smallest(values: readonly number[]): number {
  return values.reduce((low, value) => Math.min(low, value), Number.POSITIVE_INFINITY);
}

export function largest(values: readonly number[]): number {
  return values.reduce((high, value) => Math.max(high, value), Number.NEGATIVE_INFINITY);
}

/** A new list in ascending order. */
export function sorted(values: ArrayLike<number>): Float64Array {
  return new Float64Array(values).sort();
}
