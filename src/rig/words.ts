// The lists of words to choose from, apart from the schemas: the browser shows them and loads no schema for it.

/** What a rated strength of a bought part says. */
export const ratingMeanings = ["mean", "mean minus 3 SD", "least"] as const;

export const partKinds = ["connector", "rope", "webbing", "hardware", "anchor"] as const;

/** How a rig is loaded. */
export const loadKinds = [
  "straight pull",
  "long line",
  "lift",
  "basket",
  "choke",
  "redirect",
  "fall",
] as const;

/** Where in the rig a part sits: each place has its own force. */
export const partPlaces = ["in the line", "in each leg", "above the legs", "at the pulley’s anchor"] as const;
export type PartPlace = (typeof partPlaces)[number];
