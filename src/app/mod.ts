/**
 * The use cases, the registry of calculations and the interface of the store. What the doors do goes through here;
 * apart from `node/`, nothing here touches the machine.
 *
 * @example
 * const app = createApp(nodeEffects(store));
 * const rope = await app.create("rope", { name: "Loft line", nominalDiameterMm: 6 });
 */

export type { RequiredStatement } from "../report/mod.ts";
export { type BuiltInRecipe, builtInRecipes } from "../splice/mod.ts";
export { type Calculation, calculations, findCalculation, runCalculation } from "./calc/mod.ts";
export { slipOrBreakAnswer } from "./calc/slip-or-break.ts";
export { checkInput } from "./check-input.ts";
export { closestName } from "./closest-name.ts";
export type {
  App,
  BundleMade,
  CalculationNote,
  CellForUse,
  ConnectorChoices,
  Effects,
  FigureFile,
  Imported,
  ImportedSeries,
  ImportRequest,
  LearnedForPair,
  ListedFigure,
  LongWork,
  NestedRope,
  PastedCalibration,
  ProposedLayout,
  Provenance,
  PullOnFilm,
  ReadOtherwise,
  Reread,
  RereadChange,
  SeriesOverview,
  SeriesPlan,
  SiteBuilt,
  SiteFolder,
  SpoolAndRest,
  Verification,
} from "./contract.ts";
export { createApp } from "./create-app.ts";
export { layoutFields } from "./layout-fields.ts";
export { pastedFields } from "./read-calibration.ts";
export {
  type Kept,
  type RecordFields,
  type RecordKind,
  recordKindNames,
  recordKinds,
  references,
  type StoredRecord,
} from "./records.ts";
export {
  type BundleOrigin,
  type FrozenReport,
  type ImportedBundle,
  type PictureSubject,
  type ReadingOfRecording,
  type ReadWith,
  type RecipeVersion,
  type RecordFilter,
  type RowsReader,
  type Store,
  type StoreAnswer,
  type StoredPicture,
  type StoredPull,
  type StoredRecording,
  type StoredReport,
  type StoreRefusal,
  StoreTrouble,
  type StoreWork,
  type StretchReading,
  type Withdrawal,
} from "./store.ts";
export { pullsChangeFields } from "./use-cases/change-and-read.ts";
export { correctionFields, rowsFields } from "./use-cases/corrections.ts";
export { figureFields, figureFormats } from "./use-cases/figures.ts";
export { importBundleFields, maxBundleBytes } from "./use-cases/import-bundle.ts";
export { maxPictureBytes } from "./use-cases/pictures.ts";
export { makePlannedFields, planFields } from "./use-cases/plan.ts";
export { publishFields, withdrawalFields } from "./use-cases/reports.ts";
export { rereadFields } from "./use-cases/reread.ts";
export { choiceFields } from "./use-cases/rigs.ts";
export { siteFields } from "./use-cases/site.ts";
export { slipOrBreakFields } from "./use-cases/slip-or-break.ts";
export { cutSheetFields, nestFields } from "./use-cases/splice.ts";
export { filmFields } from "./use-cases/tell.ts";
export { type VerifyEffects, verifyBundle } from "./use-cases/verify-bundle.ts";
export { programVersion } from "./version.ts";
