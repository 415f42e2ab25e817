/** What a choke is customarily rated at, against a straight pull, at its own angle. */
export const customaryChoke = {
  share: [0.75, 0.8],
  source:
    "0.8 is the mode factor of EN 1492, 0.75 that of the United States Navy’s rigging formulas (NAVEDTRA 14081); both seen as others print them",
} as const;

/** How much of a choke's own rating is left when it was drawn or beaten to a smaller angle. */
export const customaryChokeAngles = {
  source:
    "ASME B30.9-2010, rated capacity of synthetic slings in a choker hitch; seen as sling makers print it",
  /** From this angle on, in degrees, this share; above 120 degrees nothing is taken off. */
  rows: [
    { fromDeg: 0, share: 0.49 },
    { fromDeg: 30, share: 0.62 },
    { fromDeg: 60, share: 0.74 },
    { fromDeg: 90, share: 0.87 },
  ],
} as const;

/**
 * What is customarily left of a choke's own rating at an angle, from 0 to 180 degrees.
 *
 * @example
 * customaryChokeAt(60) // 0.74
 */
export function customaryChokeAt(chokeDeg: number): number {
  if (chokeDeg > 120) return 1;
  return customaryChokeAngles.rows.findLast(({ fromDeg }) => chokeDeg >= fromDeg)?.share ?? 0;
}
