// The lists of words to choose from, apart from the schemas: the browser shows them and loads no schema for it.

export const hardwareForms = ["pin", "shackle", "ring", "hook", "other"] as const;

export const drives = ["hand pump", "powered pump", "winch", "screw", "other"] as const;

/** Where the cell sits: in line with the specimen it shows the specimen's force; on the drive's side it shows its share. */
export const cellPlacements = ["in line with the specimen", "on the drive side"] as const;

/** Where it failed, by the trade's names; free text is allowed beside them. */
export const failurePlaces = [
  "throat",
  "crossing",
  "taper end",
  "bury",
  "at the pin",
  "clear span",
  "knot",
  "noose",
  "lock stitch",
  "hardware",
  "not seen",
] as const;

export const outcomeKinds = ["broke", "slipped", "stopped", "void"] as const;

/** What a published figure is a share of, or that it is a force. */
export const claimBases = ["force", "rated single line", "rated, all legs", "measured single line"] as const;

export const claimKinds = ["mean", "least"] as const;
