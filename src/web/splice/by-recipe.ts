import type { SeriesOverview, StoredRecord } from "../../app/mod.ts";
import { buriesAsMade, type CutSheet } from "../../splice/mod.ts";

/** What recipe and wanted length ask of one specimen, in millimetres; each absent where it is not known. */
export type ByRecipe = Readonly<
  Partial<Record<"cutLengthMm" | "finishedLengthMm" | "buryFullMm" | "buryTaperMm", number>>
>;

/**
 * What a specimen is to be cut and buried as, for the cells that nobody has filled yet: its buries by the recipe's
 * present version, if that is its own, and its cut and slack length by the cut sheet.
 *
 * @example
 * byRecipe(specimen, overview, sheet).buryFullMm // 180, of 30 d in 6 mm rope
 */
export function byRecipe(
  specimen: StoredRecord<"specimen"> | undefined,
  { ropes, spools, recipes }: Pick<SeriesOverview, "ropes" | "spools" | "recipes">,
  sheet: Pick<CutSheet, "batches"> | undefined,
): ByRecipe {
  if (specimen === undefined) return {};
  const { id, recipeId, recipeRevision, spoolId } = specimen;
  const ropeId = specimen.ropeId ?? spools.find((spool) => spool.id === spoolId)?.ropeId;
  const diameterMm = ropes.find((rope) => rope.id === ropeId)?.nominalDiameterMm;
  const recipe = recipes.find((one) => one.id === recipeId && one.revision === recipeRevision);
  const cut = sheet?.batches.find(({ specimens }) => specimens.some((one) => one.id === id))?.marked.cut;
  const bury =
    diameterMm === undefined || recipe?.buryFullDiameters === undefined
      ? undefined
      : buriesAsMade({}, recipe, diameterMm)[0];
  return {
    ...(cut === undefined ? {} : { cutLengthMm: cut.cutLengthMm, finishedLengthMm: cut.slackLengthMm }),
    ...(bury === undefined ? {} : { buryFullMm: bury.fullMm, buryTaperMm: bury.taperMm }),
  };
}
