import type { Problem } from "../../problem/mod.ts";

/** Sizes beyond these are slips of the pen, and their squares or their ratios are no numbers any more. */
const largest = 1e12;
const smallest = 1e-9;

/** What is wrong with a quantity that must be above 0, if anything. */
export function problemsOfAbove(value: number, field: string, unit: string): Problem[] {
  return value > 0
    ? problemsOfFrom(value, field, unit)
    : [wrong(value, field, `a number above 0, in ${unit}`)];
}

/** What is wrong with a quantity that may be 0 but not less, if anything. */
export function problemsOfFrom(value: number, field: string, unit: string): Problem[] {
  if (!(value >= 0)) return [wrong(value, field, `0 or more, in ${unit}`)];
  if (value === 0 || (value >= smallest && value <= largest)) return [];
  return [wrong(value, field, `a number from ${smallest} to ${largest}, in ${unit}`)];
}

function wrong(value: number, field: string, expected: string): Problem {
  return {
    code: "RIG_IMPOSSIBLE",
    message: "This cannot be in a rig.",
    where: { field },
    found: String(value),
    expected,
  };
}
