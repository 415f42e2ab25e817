import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import { type Dimension, formatNumber, parseQuantity } from "../../units/mod.ts";

/** How a stored number is typed and shown: its dimension, the unit of a bare number, and how many of it make one SI unit. */
export type Measure = { readonly dimension: Dimension; readonly unit: string; readonly perSi: number };

export const measures = {
  mm: { dimension: "length", unit: "mm", perSi: 1000 },
  m: { dimension: "length", unit: "m", perSi: 1 },
  force: { dimension: "force", unit: "kN", perSi: 1 },
  gPerM: { dimension: "mass per length", unit: "g/m", perSi: 1000 },
} as const satisfies Readonly<Record<string, Measure>>;

/**
 * Reads a quantity as people type it into the stored number; a bare number is in the measure's own unit.
 *
 * @example
 * const answer = typedQuantity("1/4 in", measures.mm, "nominalDiameterMm");
 * answer.ok && answer.value // 6.35
 */
export function typedQuantity(text: string, measure: Measure, field: string): Result<number> {
  const bare = /^[+-]?[\d.,/\s]+$/.test(text.trim());
  const answer = parseQuantity(bare ? `${text.trim()} ${measure.unit}` : text, measure.dimension);
  // Rounded to what a double keeps through the factor, so that 6 mm stays 6 and not 6.000000000000001.
  if (answer.ok) return ok(Number((answer.value.value * measure.perSi).toPrecision(12)));
  const [first, ...rest] = answer.problems.map((problem): Problem => ({ ...problem, where: { field } }));
  return first === undefined ? answer : refuse(first, ...rest);
}

/** A stored number as it would be typed, with its unit. */
export function shownQuantity(value: number | undefined, measure: Measure): string {
  if (value === undefined) return "";
  const inUnit = measure.dimension === "force" ? value / 1000 : value;
  return `${trimmed(inUnit)} ${measure.unit}`;
}

/** A number without needless digits. */
export function trimmed(value: number): string {
  return formatNumber(value, { significant: 6 })
    .replace(/(\.\d*?)0+$/, "$1")
    .replace(/\.$/, "");
}
