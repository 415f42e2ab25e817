/** The report's figures that the screens show; a file of its own, so that they are fetched only where they are drawn. */
export {
  drawRig,
  figureCalibration,
  figureClaims,
  figureEffects,
  figureForest,
  figurePlaces,
  figureScatterParts,
  figureSlipOrBreak,
  figureStrip,
} from "../report/mod.ts";
