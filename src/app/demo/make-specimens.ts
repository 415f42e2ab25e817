import { createRandom, type Random } from "../../stats/mod.ts";
import { recordKinds } from "../records.ts";
import {
  type DemoSplice,
  demoWorld,
  drawLatentStrengths,
  type Habits,
  type LatentStrengths,
} from "./latent-strengths.ts";
import {
  type DemoRecord,
  demoBuries,
  demoRepeats,
  demoSplices,
  demoTaper,
  recipeId,
  ropes,
  series,
  spools,
} from "./loft.ts";

/** A specimen of the demo with what it can really hold. */
export type DemoSpecimen = DemoRecord<"specimen"> & {
  readonly label: string;
  readonly splice: DemoSplice;
  readonly bury: number;
  readonly diameterMm: number;
  /** legs × the rope's true strength, and legs × its rated one, in newtons. */
  readonly lineTogetherN: number;
  readonly ratedTogetherN: number;
  readonly latent: LatentStrengths;
};

const makers = ["maker A", "maker B", "maker C"] as const;
const madeOn = ["2026-03-28", "2026-03-29", "2026-04-04"] as const;

/** Each maker measures and marks to about this part of a length (common practice, no published source). */
const lengthScatter = 0.02;
/** A bury shortens its host by 5 to 12 % of its length (common practice, no published source). */
const contraction = [0.05, 0.12] as const;
/** Finished length between the pins, in millimetres. */
const finishedMm = { "straight-bury eye": 1100, "crossed-tail loop": 700 } as const;
/** Both sides of an eye that goes round a 16 mm shackle, at least six rope diameters inside. */
const eyeAroundMm = 160;

/**
 * Makes the specimens of the plan: every splice, diameter and bury, each as often as the plan says, by makers and from
 * spools in turn, with as-made lengths that scatter about the recipe.
 */
export function makeSpecimens(seed: number): DemoSpecimen[] {
  const random = createRandom(seed);
  const makerHabits = makers.map(() => drawHabits(random));
  const spoolHabits = new Map(spools.map((spool) => [spool.id, drawHabits(random)]));
  const specimens: DemoSpecimen[] = [];
  for (const splice of demoSplices) {
    for (const { id: ropeId, fields: rope, lineStrengthN } of ropes) {
      for (const bury of demoBuries) {
        for (let repeat = 1; repeat <= demoRepeats; repeat++) {
          const diameterMm = rope.nominalDiameterMm;
          const { legs } = demoWorld.splices[splice];
          // Makers in turn over the plan, spools by repeat: neither is tied to a level of the plan.
          const maker = specimens.length % makers.length;
          const spool = spools.filter((s) => s.fields.ropeId === ropeId)[
            repeat % 2
          ] as (typeof spools)[number];
          const lengths = asMade(splice, diameterMm, bury, random);
          const latent = drawLatentStrengths(
            {
              splice,
              lineStrengthN,
              diameterMm,
              ...lengths,
              maker: makerHabits[maker] as Habits,
              spool: spoolHabits.get(spool.id) as Habits,
            },
            random,
          );
          const label = `${splice === "straight-bury eye" ? "E" : "L"}${diameterMm}-${bury}-${repeat}`;
          specimens.push({
            id: `demo-specimen-${label.toLowerCase()}`,
            fields: recordKinds.specimen.parse({
              seriesId: series.id,
              label,
              ropeId,
              spoolId: spool.id,
              recipeId: recipeId(splice, bury),
              maker: makers[maker],
              madeOn: madeOn[maker],
              levels: { splice, diameter: diameterMm, bury },
              ...lengths,
            }),
            label,
            splice,
            bury,
            diameterMm,
            lineTogetherN: legs * lineStrengthN,
            ratedTogetherN: legs * (rope.ratedStrengthN ?? lineStrengthN),
            latent,
          });
        }
      }
    }
  }
  return specimens;
}

function asMade(splice: DemoSplice, diameterMm: number, bury: number, random: Random) {
  const scattered = (lengthMm: number): number =>
    Math.round(lengthMm * (1 + lengthScatter * random.normal()));
  const buryFullMm = scattered(bury * diameterMm);
  const buryTaperMm = scattered(demoTaper * diameterMm);
  const shortened = contraction[0] + (contraction[1] - contraction[0]) * random.uniform();
  const nominalMm = finishedMm[splice];
  const finishedLengthMm = Math.round(nominalMm + 4 * random.normal());
  // Two splices to a specimen: an eye at each end, or the two tails of a loop, which goes round twice its length.
  const bothBuriesMm = 2 * (buryFullMm + buryTaperMm + shortened * buryFullMm);
  const around = splice === "straight-bury eye" ? finishedLengthMm + 2 * eyeAroundMm : 2 * finishedLengthMm;
  return { cutLengthMm: Math.round(around + bothBuriesMm), finishedLengthMm, buryFullMm, buryTaperMm };
}

function drawHabits(random: Random): Habits {
  return { slip: random.normal(), break: random.normal() };
}
