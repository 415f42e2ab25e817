import { ok, type Result, refuse } from "../problem/mod.ts";
import { parseQuantity } from "../units/mod.ts";

/**
 * A length as a person types it, in millimetres: "600 mm", "2 ft 3 in", "1/4 in rope". A bare number is millimetres.
 * Refused with the field's name: text that is no length.
 *
 * @example
 * const answer = readLengthMm("1/4 in rope", "rope.diameter");
 * answer.ok && answer.value // 6.35
 */
export function readLengthMm(typed: number | string, field: string): Result<number> {
  return typeof typed === "number" ? ok(typed) : read(typed, "length", 1000, field);
}

/**
 * A force as a person types it, in newtons: "5 kN", "1100 lbf". A bare number is newtons.
 *
 * @example
 * const answer = readForceN("5 kN", "tension");
 * answer.ok && answer.value // 5000
 */
export function readForceN(typed: number | string, field: string): Result<number> {
  return typeof typed === "number" ? ok(typed) : read(typed, "force", 1, field);
}

function read(typed: string, dimension: "length" | "force", perUnit: number, field: string): Result<number> {
  const parsed = parseQuantity(typed.replace(/\s+rope\s*$/i, ""), dimension);
  if (parsed.ok) return ok(parsed.value.value * perUnit);
  const [first, ...more] = parsed.problems.map((problem) => ({ ...problem, where: { field } }));
  return refuse(first as NonNullable<typeof first>, ...more);
}
