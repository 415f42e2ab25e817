/**
 * Every code that a problem or warning can carry, with the sentence that docs/errors.md prints for it.
 * A code names a kind of trouble, not a place in the program; once published it keeps its meaning.
 * Prefixes: INPUT any field, TRACE a recording's file, READING what was read out of it, STAT a statistic,
 * UNIT units, BOOK the store, SERVER the local server, FINDING a judgement.
 */
export const problemCodes = {
  INPUT_FIELD: "A field of a form, an option or a JSON body does not hold what is wanted there.",
  INPUT_UNKNOWN: "A name that is not known here: an option, a field, a calculation.",
  UNIT_UNKNOWN: "A unit that is not in the list of units.",
  UNIT_MISMATCH: "Two units measure different things and cannot be converted into each other.",
  STAT_TOO_FEW: "The statistic needs more values than there are.",
  STAT_VALUE:
    "A value that the statistic cannot use: not a finite number, or outside the range of the method.",
  STAT_DEGENERATE: "The values leave nothing to estimate, such as all being equal.",
} as const;

export type ProblemCode = keyof typeof problemCodes;
