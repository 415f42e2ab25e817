/**
 * Units: what a logger writes, what a rope is sold in, what a figure is printed in. Inside, forces are newtons, lengths
 * metres and times seconds, each branded; everything else is converted once, on entry, by the exact factors of
 * NIST SP 811.
 *
 * @example
 * const answer = convert(1, "kip", "kN");
 * answer.ok && answer.value // 4.4482216152605
 */
export type { Metres, Newtons, Quantity, Seconds } from "./brands.ts";
export { convert, dimensionOf, unitsOf } from "./convert.ts";
export { fromForceUnit, metres, newtons, seconds, toForceUnit } from "./force.ts";
export {
  type ForceText,
  formatForce,
  formatForceTwice,
  formatNumber,
  type NumberFormat,
  withMinus,
  withUnitsKept,
} from "./format.ts";
export { type ForceUnit, forceUnits, type LengthUnit, lengthUnits } from "./names.ts";
export { type ParsedForceUnit, parseForceUnit } from "./parse-force-unit.ts";
export { type ParsedQuantity, parseQuantity } from "./parse-quantity.ts";
export { type Dimension, dimensions, type Unit, units } from "./table.ts";
