import type { RopeFields, SpoolFields } from "./rope.ts";

/** What was taken from a spool and what is left of it. */
export type SpoolRest = {
  /** Specimens cut from it, and those that name it without a cut length. */
  readonly cuts: number;
  readonly unmeasured: number;
  readonly cutM: number;
  readonly otherUseM: number;
  /** Absent where the spool's length is not known; below 0 where more was taken than it held. */
  readonly leftM?: number;
  readonly leftKg?: number;
  readonly leftCost?: number;
};

/**
 * What remains of a spool: its length less the cuts of its specimens and what was used elsewhere; its mass and its price.
 *
 * @example
 * restOfSpool({ lengthM: 50, otherUseM: 2, pricePerM: 3 }, { massPerLengthGPerM: 20 }, [1750, undefined]).leftM // 46.25
 */
export function restOfSpool(
  spool: Pick<SpoolFields, "lengthM" | "otherUseM" | "pricePerM">,
  rope: Pick<RopeFields, "massPerLengthGPerM"> | undefined,
  cutLengthsMm: readonly (number | undefined)[],
): SpoolRest {
  const known = cutLengthsMm.filter((length) => length !== undefined);
  const cutM = known.reduce((sum, length) => sum + length, 0) / 1000;
  const left = spool.lengthM === undefined ? undefined : spool.lengthM - cutM - spool.otherUseM;
  const mass = rope?.massPerLengthGPerM;
  return {
    cuts: known.length,
    unmeasured: cutLengthsMm.length - known.length,
    cutM,
    otherUseM: spool.otherUseM,
    ...(left === undefined ? {} : { leftM: left }),
    ...(left === undefined || mass === undefined ? {} : { leftKg: (left * mass) / 1000 }),
    ...(left === undefined || spool.pricePerM === undefined ? {} : { leftCost: left * spool.pricePerM }),
  };
}
