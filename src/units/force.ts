import type { Metres, Newtons, Seconds } from "./brands.ts";
import type { ForceUnit } from "./names.ts";
import { units } from "./table.ts";

/** Takes a bare number for newtons. */
export function newtons(value: number): Newtons {
  return value as Newtons;
}

/** Takes a bare number for metres. */
export function metres(value: number): Metres {
  return value as Metres;
}

/** Takes a bare number for seconds. */
export function seconds(value: number): Seconds {
  return value as Seconds;
}

/**
 * Newtons from a value in a logger's unit.
 *
 * @example
 * fromForceUnit(2, "kN") // 2000
 */
export function fromForceUnit(value: number, unit: ForceUnit): Newtons {
  return newtons(value * newtonsPer[unit]);
}

/**
 * A force in another unit, as a bare number.
 *
 * @example
 * toForceUnit(newtons(4448.2216152605), "lbf") // 1000
 */
export function toForceUnit(force: Newtons, unit: ForceUnit): number {
  return force / newtonsPer[unit];
}

const newtonsPer = Object.fromEntries(
  units.filter((unit) => unit.dimension === "force").map((unit) => [unit.symbol, unit.factor]),
) as Record<ForceUnit, number>; // every ForceUnit is a symbol of the table; a test holds the two together
