/** The recipes that come with the program, by their ids. */
export const builtInRecipeIds = [
  "straight-bury-eye",
  "brummel-both-ends-free",
  "brummel-one-end-free",
  "end-to-end",
  "crossed-tail-loop",
  "grommet",
  "soft-shackle-button",
  "soft-shackle-button-re-buried",
  "soft-shackle-diamond",
  "soft-shackle-diamond-re-buried",
] as const;
export type BuiltInRecipeId = (typeof builtInRecipeIds)[number];
