import { ok, type Result, refuse } from "../problem/mod.ts";
import { findUnit, unknownUnit } from "./convert.ts";
import type { Dimension } from "./table.ts";

/** A quantity as typed, in SI units. */
export type ParsedQuantity = {
  /** In the SI unit of the dimension: newtons, metres, kilograms, seconds, kelvins and so on. */
  readonly value: number;
  /** The units that were typed, in order. */
  readonly units: readonly string[];
};

/**
 * Reads what a person types for a length, a force or another quantity: "600 mm", "1/4 in", "2 ft 3 in", "5 1/2 in",
 * "12.5 kN", "1e3 N". A decimal comma is read where no point is there and it cannot part thousands.
 * Several parts must go from larger to smaller units; a minus sign in front holds for all of them.
 * Refused: text without a unit, an unknown unit, a unit of another kind, "12,500 N", which can be read in two ways.
 *
 * @example
 * const answer = parseQuantity("2 ft 3 in", "length");
 * answer.ok && answer.value.value // 0.6858
 */
export function parseQuantity(text: string, dimension: Dimension): Result<ParsedQuantity> {
  const typed = text.trim();
  const sign = typed.startsWith("-") ? -1 : 1;
  const parts = splitParts(typed.replace(/^[+-]\s*/, ""));
  if (parts === undefined) return refuse(unreadable(text, dimension));
  let value = 0;
  let lastFactor = Number.POSITIVE_INFINITY;
  for (const part of parts) {
    const amount = readNumber(part.amount);
    if (amount === undefined) return refuse(unreadable(text, dimension));
    const unit = findUnit(part.unit);
    if (unit === undefined) return refuse(unknownUnit(part.unit, "unit", dimension));
    if (unit.dimension !== dimension) return refuse(mismatch(text, part.unit, unit.dimension, dimension));
    const sums = parts.length === 1 || unit.offset === 0;
    if (!sums || unit.factor >= lastFactor) return refuse(unreadable(text, dimension));
    lastFactor = unit.factor;
    value += (sign * amount + unit.offset) * unit.factor;
  }
  if (!Number.isFinite(value)) return refuse(unreadable(text, dimension));
  return ok({ value, units: parts.map((part) => part.unit) });
}

type Part = { readonly amount: string; readonly unit: string };

function splitParts(text: string): Part[] | undefined {
  // A number (5, 5.5, 5,5, 1/4, 5 1/4, 1e3), then a unit that begins with no digit and runs to the next number.
  const pattern =
    /\s*(\d+\s+\d+\/\d+|\d+\/\d+|(?:\d+[.,]?\d*|[.,]\d+)(?:[eE][+-]?\d+)?(?:,\d{3})*)\s*([^\d\s+.,-]\S*(?:\s+[^\d\s+.,-]\S*)*)\s*/gy;
  const source = text.replace(/(['"′″])(?=\d)/g, "$1 ");
  const parts: Part[] = [];
  let end = 0;
  while (end < source.length) {
    pattern.lastIndex = end;
    const match = pattern.exec(source);
    if (match === null) return undefined;
    parts.push({ amount: match[1] ?? "", unit: (match[2] ?? "").trim() });
    end = pattern.lastIndex;
  }
  return parts.length > 0 ? parts : undefined;
}

function readNumber(text: string): number | undefined {
  const fraction = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(text);
  if (fraction !== null) {
    const [, whole = "0", top = "0", bottom = "0"] = fraction;
    return Number(bottom) === 0 ? undefined : Number(whole) + Number(top) / Number(bottom);
  }
  // "12,500" could be twelve and a half or twelve thousand five hundred: not guessed.
  if (/^[1-9]\d{0,2}(,\d{3})+$/.test(text)) return undefined;
  const value = Number(text.replace(",", "."));
  return Number.isFinite(value) ? value : undefined;
}

function mismatch(text: string, found: string, measures: Dimension, dimension: Dimension) {
  return {
    code: "UNIT_MISMATCH" as const,
    message: `${JSON.stringify(found)} is a unit of ${measures}; a ${dimension} is wanted.`,
    found: text,
    expected: `a ${dimension}${exampleOf(dimension)}`,
  };
}

const examples: Partial<Record<Dimension, string>> = {
  force: "12.5 kN",
  length: "600 mm, 1/4 in or 2 ft 3 in",
  mass: "3 kg",
  "mass per length": "58 g/m",
  temperature: "20 degC",
  speed: "250 mm/min",
  time: "30 s",
};

function unreadable(text: string, dimension: Dimension) {
  return {
    code: "INPUT_FIELD" as const,
    message: `This cannot be read as a ${dimension}.`,
    found: text,
    expected: `a number and its unit${exampleOf(dimension)}`,
  };
}

function exampleOf(dimension: Dimension): string {
  const example = examples[dimension];
  return example === undefined ? "" : `, such as ${example}`;
}
