/** What a field of work customarily divides a strength by, and what that figure rests on. */
export type DesignFactor = {
  readonly field: string;
  /** One figure, or the lowest and highest of a customary range. */
  readonly factor: number | readonly [number, number];
  /** Which strength it is meant to divide; a factor says nothing without it. */
  readonly dividesWhat: string;
  readonly source: string;
};

/**
 * Customary design factors. They are shown, never applied by themselves: which one governs is for the user's own field,
 * its codes and its authority to say. Work with people has no row here on purpose.
 */
export const designFactors: readonly DesignFactor[] = [
  {
    field: "Fibre rope, general use",
    factor: [5, 12],
    dividesWhat: "minimum strength",
    source: "Cordage Institute guideline CI 1401-06 (May 2006), section 4, seen as rope makers reprint it",
  },
  {
    field: "Ship mooring, synthetic line",
    factor: 2,
    dividesWhat: "ship design minimum breaking load (working load 50 %)",
    source:
      "OCIMF Mooring Equipment Guidelines, 4th edition (2018), working load limit, seen in summary only",
  },
  {
    field: "Marine lifting, fibre slings",
    factor: 2.3,
    dividesWhat:
      "minimum strength with its own termination; 2.3 is the least overall factor, 2.0 the material factor of HMPE",
    source: "Marine lifting guideline 0027/ND revision 11 (2016), sections 7.3.2 and 7.10.3",
  },
  {
    field: "Permanent mooring, creep, mobile unit",
    factor: 3,
    dividesWhat: "a margin for creep; what it divides stands in the source",
    source: "DNV-OS-E303, chapter 2, section 1, C 103, after DNV-OS-E301",
  },
  {
    field: "Permanent mooring, creep, long-term",
    factor: [5, 8],
    dividesWhat: "a margin for creep; what it divides stands in the source",
    source: "DNV-OS-E303, chapter 2, section 1, C 103, after DNV-OS-E301",
  },
  {
    field: "Lifting slings, textile (Europe)",
    factor: 7,
    dividesWhat: "minimum strength",
    source: "EN 1492, from memory",
  },
  {
    field: "Lifting slings (United States)",
    factor: 5,
    dividesWhat: "minimum strength",
    source: "ASME B30.9, from memory",
  },
];
