import type { Factor } from "../../series/mod.ts";
import { buryInDiameters, factorOfBury } from "../bury-levels.ts";

/** The factor of a plan that varies the bury, with its levels in diameters of the rope. */
export type BuryFactor = { readonly name: string; readonly levels: readonly number[] };

/**
 * The factor of a plan that is the bury, with all of its levels in diameters of the rope. Absent where there is none, or where a
 * level is no number or a length while the rope's diameter is not known.
 *
 * @example
 * buryFactor([{ name: "bury", unit: "mm", levels: [180, 240] }], 6)?.levels // [30, 40]
 */
export function buryFactor(factors: readonly Factor[], nominalDiameterMm?: number): BuryFactor | undefined {
  const factor = factorOfBury(factors);
  if (factor === undefined) return undefined;
  const levels = factor.levels.map((level) => buryInDiameters(level, factor.unit, nominalDiameterMm));
  return levels.every((level) => level !== undefined) ? { name: factor.name, levels } : undefined;
}
