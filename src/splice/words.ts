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

/** Ways of making one kind that differ in their steps or lengths. */
export const spliceVariants = [
  "both ends free",
  "one end free",
  "button knot, tails cut",
  "button knot, tails re-buried",
  "diamond knot, tails cut",
  "diamond knot, tails re-buried",
] as const;

/** What a rated strength says: the mean of what was pulled, or a least value; and how its ends were held. */
export const strengthBases = ["mean", "minimum", "not stated"] as const;

export const strengthEnds = ["spliced", "unspliced", "not stated"] as const;

/** How a finished length was or is to be measured. */
export const lengthMeasures = ["inside", "pin centres", "circumference"] as const;

/** The numbers of a recipe beside its buries, each with what it is counted in. */
export const recipeNumberNames = [
  "contraction",
  "beddingIn",
  "crossing",
  "knot",
  "noose",
  "tail",
  "clear",
  "leastPin",
  "marking",
] as const;

/** What each number of a recipe says, and its unit; "d" is the rope's nominal diameter. */
export const recipeNumberWords: Readonly<
  Record<(typeof recipeNumberNames)[number], { readonly says: string; readonly unit: "share" | "d" | "mm" }>
> = {
  contraction: {
    says: "how much shorter the host gets, as a share of the length buried in it",
    unit: "share",
  },
  beddingIn: { says: "how much longer the splice gets for good once it was loaded", unit: "share" },
  crossing: { says: "rope taken up by each crossing", unit: "d" },
  knot: { says: "doubled line taken up by the stopper knot", unit: "d" },
  noose: { says: "doubled line from the noose's crown to the knot it closes on", unit: "d" },
  tail: { says: "left over at each end to pull on, and cut off", unit: "d" },
  clear: { says: "clear rope left between the ends of buried tails", unit: "d" },
  leastPin: { says: "the thinnest pin that the rope may go round", unit: "d" },
  marking: { says: "measuring, marking and cutting, all together", unit: "mm" },
};

/** The drawn figures that a step can point to. */
export const stepFigures = [
  "measure",
  "mark",
  "taper",
  "pierce-once",
  "pierce-twice",
  "turn-through",
  "pierce-each-other",
  "lay-turns",
  "bury",
  "milk",
  "stitch",
  "noose",
  "button-knot",
  "diamond-knot",
  "re-bury",
  "cut",
  "set",
] as const;
