// The lists of words to choose from, apart from the schemas: the browser shows them and loads no schema for it.

/** The kinds of splice, by the trade's names. */
export const spliceKinds = [
  "straight-bury eye",
  "locking brummel eye",
  "end-to-end",
  "crossed-tail loop",
  "grommet",
  "soft shackle",
  "other",
] as const;

/** What a rated strength says: the mean of what was pulled, or a least value; and how its ends were held. */
export const strengthBases = ["mean", "minimum", "not stated"] as const;

export const strengthEnds = ["spliced", "unspliced", "not stated"] as const;
