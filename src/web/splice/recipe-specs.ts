import type { FieldSpec } from "../book/kinds.ts";

/** The fields of a recipe that are numbers or a name, as its own dialog asks for them. */
export const recipeSpecs: readonly FieldSpec[] = [
  { name: "name", label: "Name", as: "text", required: true },
  { name: "buryFullDiameters", label: "Full bury, in diameters", as: "number" },
  { name: "buryTaperDiameters", label: "Taper, in diameters", as: "number" },
  {
    name: "taperStrandsLeft",
    label: "Strands left at the tip",
    hint: "The taper takes the others out in pairs.",
    as: "whole",
    required: true,
  },
  { name: "crossings", label: "Crossings", as: "whole", required: true },
  { name: "strandsEachSide", label: "Strands on each side of a crossing", as: "whole", required: true },
  { name: "legs", label: "Legs that share the load", as: "whole", required: true },
  { name: "wraps", label: "Parts, of a grommet", as: "whole", required: true },
  {
    name: "setShare",
    label: "Load that sets it",
    hint: "A share of the rated strength of all legs together: 0.15.",
    as: "number",
  },
  { name: "setHoldS", label: "Held for, in seconds", as: "number" },
  { name: "lockStitch", label: "Lock stitch", as: "text" },
];
