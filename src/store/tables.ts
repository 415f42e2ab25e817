import type { Generated } from "kysely";
import type { RecordFields, RecordKind } from "../app/mod.ts";
import type { Packing } from "./packing/pack.ts";

export type SqlValue = string | number | null | Uint8Array;

/** A table of records: the columns that every kind has, and one for each of its fields, named by `recordShapes`. */
export interface RecordTable {
  id: string;
  revision: number;
  createdAt: string;
  changedAt: string;
  [field: string]: SqlValue;
}

/** The order in which rows came: counts up by itself. */
interface Counted {
  seq: Generated<number>;
}

export interface RecordingTable extends Counted {
  sha256: string;
  seriesId: string;
  fileName: string;
  sizeBytes: number;
  importedAt: string;
  layout: string;
  reading: string;
  readWith: string;
  stretches: string;
}

/** What a recipe said at one of its revisions; rows are added and never changed. */
export interface RecipeVersionTable {
  recipeId: string;
  revision: number;
  changedAt: string;
  fields: string;
}

export interface PictureTable extends Counted {
  id: string;
  seriesId: string | null;
  specimenId: string | null;
  pullId: string | null;
  fileName: string;
  mediaType: string;
  sha256: string;
  sizeBytes: number;
  caption: string;
  addedAt: string;
}

export interface ReportTable extends Counted {
  id: string;
  seriesId: string;
  number: number;
  publishedAt: string;
  title: string;
  sha256: string;
  html: string;
  contentSha256: string | null;
  content: string | null;
  note: string;
  changes: string;
  withdrawnAt: string | null;
  withdrawnReason: string | null;
}

export interface ImportedBundleTable extends Counted {
  id: string;
  seriesId: string;
  contentSha256: string;
  importedAt: string;
  origin: string;
  ids: string;
}

/** The tables of a book as Kysely sees them; their columns stand in the migrations. */
export interface Database {
  rope: RecordTable;
  spool: RecordTable;
  recipe: RecordTable;
  recipeVersion: RecipeVersionTable;
  hardware: RecordTable;
  loadCell: RecordTable;
  bench: RecordTable;
  series: RecordTable;
  specimen: RecordTable;
  pull: RecordTable;
  layout: RecordTable;
  claim: RecordTable;
  pooledSeries: RecordTable;
  rig: RecordTable;
  recording: RecordingTable;
  recordingChunk: {
    recordingSha256: string;
    number: number;
    bytes: Uint8Array;
    packing: Packing;
    /** Bytes of it unpacked; null in a chunk that is not. */
    sizeBytes: number | null;
  };
  /** `layout` is that of the recording as it was when the outline was read. */
  recordingOutline: { recordingSha256: string; layout: string; bytes: Uint8Array };
  picture: PictureTable;
  pictureBytes: { pictureId: string; bytes: Uint8Array };
  report: ReportTable;
  importedBundle: ImportedBundleTable;
  fact: { name: string; value: string };
}

export type RecordTableName =
  | "rope"
  | "spool"
  | "recipe"
  | "hardware"
  | "loadCell"
  | "bench"
  | "series"
  | "specimen"
  | "pull"
  | "layout"
  | "claim"
  | "pooledSeries"
  | "rig";

/** How a field lies in its column; an outcome lies in three. */
export type ColumnForm = "text" | "number" | "boolean" | "json" | "outcome";

type RecordShape<K extends RecordKind> = {
  readonly table: RecordTableName;
  readonly columns: { readonly [Field in keyof Required<RecordFields<K>>]: ColumnForm };
};

/** Every field of every kind and how it is kept. A field that is added to a kind is missed here by the type check. */
export const recordShapes: { readonly [K in RecordKind]: RecordShape<K> } = {
  rope: {
    table: "rope",
    columns: {
      name: "text",
      construction: "text",
      fibre: "text",
      nominalDiameterMm: "number",
      massPerLengthGPerM: "number",
      ratedStrengthN: "number",
      ratedStrengthBasis: "text",
      ratedStrengthEnds: "text",
      ratedStrengthSource: "text",
      coating: "text",
      pickLengthMm: "number",
      stiffnessN: "number",
      stiffnessSpreadN: "number",
      notes: "text",
    },
  },
  spool: {
    table: "spool",
    columns: {
      ropeId: "text",
      name: "text",
      batch: "text",
      lengthM: "number",
      otherUseM: "number",
      pricePerM: "number",
      currency: "text",
      boughtOn: "text",
      notes: "text",
    },
  },
  recipe: {
    table: "recipe",
    columns: {
      name: "text",
      kind: "text",
      variant: "text",
      buryFullDiameters: "number",
      buryTaperDiameters: "number",
      burySource: "text",
      taperStrandsLeft: "number",
      crossings: "number",
      strandsEachSide: "number",
      lockStitch: "text",
      stitchDiameters: "number",
      setShare: "number",
      setHoldS: "number",
      numbers: "json",
      steps: "json",
      legs: "number",
      wraps: "number",
      basedOn: "text",
      notes: "text",
    },
  },
  hardware: {
    table: "hardware",
    columns: { name: "text", form: "text", diameterMm: "number", ownStrengthN: "number", notes: "text" },
  },
  "load-cell": {
    table: "loadCell",
    columns: {
      name: "text",
      capacityN: "number",
      resolutionN: "number",
      calibratedOn: "text",
      calibrationPoints: "json",
      accuracyClass: "number",
      calibrationNote: "text",
      notes: "text",
    },
  },
  bench: {
    table: "bench",
    columns: {
      name: "text",
      loadCellId: "text",
      drive: "text",
      cellPlacement: "text",
      mechanicalAdvantage: "number",
      nearHardwareId: "text",
      farHardwareId: "text",
      notes: "text",
    },
  },
  series: {
    table: "series",
    columns: {
      title: "text",
      question: "text",
      method: "text",
      conclusions: "text",
      tester: "text",
      factors: "json",
      pullsPerCell: "number",
      boundMethod: "text",
      boundContent: "number",
      boundConfidence: "number",
      simulated: "boolean",
      planHistory: "json",
      sources: "text",
      deviations: "text",
      conditions: "text",
      contact: "text",
      testedAt: "text",
      customer: "text",
      authorisedBy: "text",
      notes: "text",
    },
  },
  specimen: {
    table: "specimen",
    columns: {
      seriesId: "text",
      label: "text",
      ropeId: "text",
      spoolId: "text",
      recipeId: "text",
      recipeRevision: "number",
      wanted: "json",
      maker: "text",
      madeOn: "text",
      plannedOrder: "number",
      levels: "json",
      cutLengthMm: "number",
      finishedLengthMm: "number",
      finishedAtTensionMm: "number",
      finishedTensionN: "number",
      buryFullMm: "number",
      buryTaperMm: "number",
      secondBuryFullMm: "number",
      secondBuryTaperMm: "number",
      picksPerStep: "json",
      secondPicksPerStep: "json",
      makingMinutes: "number",
      redo: "text",
      notes: "text",
    },
  },
  pull: {
    table: "pull",
    columns: {
      seriesId: "text",
      specimenId: "text",
      benchId: "text",
      recordingSha256: "text",
      recordingPull: "number",
      typedPeakN: "number",
      outcome: "outcome",
      pulledAt: "text",
      order: "number",
      overrides: "json",
      operator: "text",
      notes: "text",
    },
  },
  layout: { table: "layout", columns: { name: "text", layout: "json", notes: "text" } },
  claim: {
    table: "claim",
    columns: {
      seriesId: "text",
      statement: "text",
      source: "text",
      kind: "text",
      basis: "text",
      share: "number",
      valueN: "number",
      legs: "number",
      measuredLineN: "number",
      levels: "json",
      margin: "number",
      content: "number",
      notes: "text",
    },
  },
  "pooled-series": {
    table: "pooledSeries",
    columns: {
      seriesId: "text",
      name: "text",
      otherSeriesId: "text",
      otherLevels: "json",
      source: "text",
      n: "number",
      basis: "text",
      meanShare: "number",
      sdShare: "number",
      meanN: "number",
      sdN: "number",
      legs: "number",
      ratedStrengthN: "number",
      ratedStrengthBasis: "text",
      ratedStrengthEnds: "text",
      measuredLineN: "number",
      construction: "text",
      levels: "json",
      notes: "text",
    },
  },
  rig: {
    table: "rig",
    columns: {
      name: "text",
      load: "json",
      parts: "json",
      wantedFactor: "number",
      wantedFactorSource: "text",
      overTime: "text",
      notes: "text",
    },
  },
};
