import type { Factor } from "../../series/mod.ts";

/** The factor of a plan that varies the bury, with its levels in diameters of the rope. */
export type BuryFactor = { readonly name: string; readonly levels: readonly number[] };

/**
 * Which factor is the bury? The first that is named so and has numbers for levels, in diameters (unit "d" or none), or in mm
 * where the rope's diameter is known. Absent where there is none.
 *
 * @example
 * buryFactor([{ name: "bury", unit: "mm", levels: [180, 240] }], 6)?.levels // [30, 40]
 */
export function buryFactor(factors: readonly Factor[], nominalDiameterMm?: number): BuryFactor | undefined {
  for (const { name, unit, levels } of factors) {
    if (!/\bbury\b/i.test(name)) continue;
    const numbers = levels.filter((level) => typeof level === "number");
    if (numbers.length < levels.length) continue;
    const diameter = /^(d|ø|diameters?)?$/i.test(unit) ? 1 : unit === "mm" ? nominalDiameterMm : undefined;
    if (diameter === undefined) continue;
    return { name, levels: numbers.map((level) => level / diameter) };
  }
  return undefined;
}
