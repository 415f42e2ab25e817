import type { BuiltInRecipeId } from "./built-in-ids.ts";
import type { RecipeStep } from "./recipe.ts";

// The steps of making, in the book's own words. Distances are not repeated here: the cut sheet has them in millimetres.

const measure: RecipeStep = {
  text: "Lay the rope slack and straight beside the rule strip; mark every distance from its end.",
  figure: "measure",
};
const taper: RecipeStep = {
  text: "At each step mark lift out one left-hand and one right-hand strand, the pair that the sheet names, and cut both. Go from full thickness towards the tip.",
  figure: "taper",
};
const milk: RecipeStep = {
  text: "Hold the crossing or throat and stroke the host towards the tail until the tail lies smooth inside and its tip slips in. Stroke back and forth until nothing moves any more.",
  figure: "milk",
};
const stitch: RecipeStep = {
  text: "Stitch through host and tail from the throat, along the marked length and back. It holds the bury when slack and should carry nothing at strength, so leave it easy.",
  figure: "stitch",
};
const set: RecipeStep = {
  text: "Pull to the setting load, hold it, let go, and measure the finished length slack. Measure again at the stated tension.",
  figure: "set",
};
const bury = (from: string): RecipeStep => ({
  text: `Lead the tail into the hollow of its host at ${from}, along the middle, and out at the exit mark; no strand may be caught.`,
  figure: "bury",
});
const sixAndSix = "with six strands on either side, three of each hand";

const eye: readonly RecipeStep[] = [
  measure,
  {
    text: "Mark the taper steps, the throat on the tail, the throat on the host, and the exit.",
    figure: "mark",
  },
  taper,
];

const brummelEnd: readonly RecipeStep[] = [bury("the throat"), milk, set];

function shackle(knot: "button-knot" | "diamond-knot", tails: readonly RecipeStep[]): readonly RecipeStep[] {
  return [
    measure,
    {
      text: `Fold the rope at its middle mark. Leave the small eye that is to close on the knot, and lead one leg through the other at the crossing mark, ${sixAndSix}.`,
      figure: "noose",
    },
    knot === "button-knot"
      ? {
          text: "At the knot marks tie the button knot with both tails: a wall of two, crowned, each tail doubled round once more and led down through the middle.",
          figure: "button-knot",
        }
      : {
          text: "At the knot marks tie the diamond knot with both tails: an interlaced knot of two, each tail led round the other's leg and up through the middle.",
          figure: "diamond-knot",
        },
    {
      text: "Work the slack out of the knot part by part, the marks just below it, then close the eye over it and pull to the setting load: a knot that was not set moves at strength.",
      figure: "set",
    },
    ...tails,
  ];
}

const cutTails: readonly RecipeStep[] = [
  { text: "Once the knot is set cut the tails off, three diameters beyond it.", figure: "cut" },
];
const reBuried: readonly RecipeStep[] = [
  taper,
  {
    text: "Lead each tail back through the knot's middle and into its own leg, and out at the exit mark. Stroke the leg over it until the tip slips in.",
    figure: "re-bury",
  },
];

const steps: Readonly<Record<BuiltInRecipeId, readonly RecipeStep[]>> = {
  "straight-bury-eye": [
    ...eye,
    { text: `Open the host at its throat mark, ${sixAndSix}.`, figure: "pierce-once" },
    bury("the throat"),
    milk,
    stitch,
    set,
  ],
  "brummel-both-ends-free": [
    ...eye,
    {
      text: `Lead the tail through the standing part at its throat mark, ${sixAndSix}, until the two throat marks meet.`,
      figure: "pierce-once",
    },
    {
      text: `Lead the whole standing part through the tail at the tail's throat mark, ${sixAndSix}. The two now lock each other.`,
      figure: "pierce-twice",
    },
    ...brummelEnd,
  ],
  "brummel-one-end-free": [
    ...eye,
    {
      text: `Lead the tail through the standing part at its throat mark, ${sixAndSix}.`,
      figure: "pierce-once",
    },
    {
      text: "The other end is not free: open the tail at its throat mark and turn the tail's end through itself, so that the eye turns inside out once.",
      figure: "turn-through",
    },
    {
      text: `Lead the tail through the standing part again, just below the first crossing and from the other side, ${sixAndSix}; the turn comes out and the two lock each other.`,
      figure: "pierce-twice",
    },
    ...brummelEnd,
  ],
  "end-to-end": [
    measure,
    { text: "On both ends mark the taper steps, the crossing and the exit.", figure: "mark" },
    taper,
    {
      text: `Lead each end through the other at the crossing marks, ${sixAndSix}, and draw the crossings together.`,
      figure: "pierce-each-other",
    },
    bury("the crossing, each in the other's rope"),
    milk,
    stitch,
    set,
  ],
  "crossed-tail-loop": [
    measure,
    {
      text: "On both ends mark the taper steps, the crossing and the exit of the other's tail.",
      figure: "mark",
    },
    taper,
    {
      text: `Close the loop without a twist. Lead each end through the other at the crossing marks, ${sixAndSix}, and draw the crossings together.`,
      figure: "pierce-each-other",
    },
    bury("the crossing, away from it, each in the other's body"),
    milk,
    set,
  ],
  grommet: [
    measure,
    {
      text: "On both ends mark the taper steps, the crossing and the exit of the other's tail.",
      figure: "mark",
    },
    taper,
    {
      text: "Lay the turns side by side round two pins at the wanted distance, all to the same tension, and bring the two ends together on a straight.",
      figure: "lay-turns",
    },
    {
      text: `Lead each end through the other at the crossing marks, ${sixAndSix}, and draw the crossings together.`,
      figure: "pierce-each-other",
    },
    bury("the crossing, away from it, each in the other's turn"),
    milk,
    {
      text: "Share the slack out over all the turns, marry them with whippings, then pull to the setting load and look whether one turn hangs slack.",
      figure: "set",
    },
  ],
  "soft-shackle-button": shackle("button-knot", cutTails),
  "soft-shackle-button-re-buried": shackle("button-knot", reBuried),
  "soft-shackle-diamond": shackle("diamond-knot", cutTails),
  "soft-shackle-diamond-re-buried": shackle("diamond-knot", reBuried),
};

/** The steps of a recipe of the program. */
export function builtInSteps(id: BuiltInRecipeId): readonly RecipeStep[] {
  return steps[id];
}
