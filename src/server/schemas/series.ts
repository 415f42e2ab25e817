import { z } from "zod";
import type {
  App,
  Imported,
  ImportedSeries,
  PastedCalibration,
  ReadOtherwise,
  Reread,
  RereadChange,
  SeriesOverview,
  StoredPicture,
  StoredReport,
  Verification,
} from "../../app/mod.ts";
import { layoutFields, recordKinds } from "../../app/mod.ts";
import { problemSchema, resultOf } from "./common.ts";
import { judgedClaimSchema, matteredSchema, pooledSchema } from "./mattered.ts";
import { storedRecordingSchema } from "./readings.ts";
import { recordSchemas, storedPullSchema } from "./records.ts";

export type SeriesFindings = Extract<Awaited<ReturnType<App["findings"]>>, { ok: true }>["value"];

export const pictureSubjectSchema = z.object({
  kind: z.enum(["pull", "specimen", "series"]),
  id: z.string().min(1).max(100),
});

export const storedPictureSchema = z
  .object({
    id: z.string(),
    subject: pictureSubjectSchema,
    fileName: z.string(),
    mediaType: z.enum(["image/jpeg", "image/png", "image/webp", "image/gif", "image/avif"]),
    sha256: z.string(),
    sizeBytes: z.int(),
    caption: z.string(),
    addedAt: z.string(),
  })
  .meta({ id: "Picture" }) satisfies z.ZodType<StoredPicture>;

export const storedReportSchema = z
  .object({
    id: z.string(),
    seriesId: z.string(),
    number: z.int().min(1),
    publishedAt: z.string(),
    title: z.string(),
    sha256: z.string().meta({ description: "Of the page's bytes as they were frozen" }),
    contentSha256: z
      .string()
      .exactOptional()
      .meta({ description: "Of the frozen data, method versions and text as canonical JSON" }),
    note: z.string().meta({ description: "Why it was published, in the tester's words" }),
    changes: z
      .array(z.string())
      .meta({ description: "What changed since the revision before, a sentence each" }),
    withdrawn: z
      .object({ at: z.string(), reason: z.string() })
      .exactOptional()
      .meta({ description: "A withdrawn report stays readable and says so" }),
  })
  .meta({ id: "Report" }) satisfies z.ZodType<StoredReport>;

const originSchema = z.object({
  fileName: z.string(),
  seriesId: z.string().meta({ description: "The series' id in the book in which it was made" }),
  title: z.string(),
  tester: z.string(),
  revision: z.int().min(1).exactOptional(),
  publishedAt: z.string().exactOptional(),
  program: z.string(),
});

const provenanceSchema = z
  .object({
    id: z.string(),
    contentSha256: z.string(),
    importedAt: z.string(),
    origin: originSchema,
  })
  .meta({ description: "Where the series came from, where it was taken in from a bundle" });

export const importedSeriesSchema = z
  .object({
    series: recordSchemas.series,
    origin: originSchema,
    known: z.boolean().meta({ description: "True where this very content was in the book before." }),
  })
  .meta({ id: "ImportedSeries" }) satisfies z.ZodType<ImportedSeries>;

export const verificationSchema = z
  .object({
    same: z.boolean().meta({ description: "True where everything comes out as the bundle says" }),
    title: z.string(),
    contentSha256: z.string(),
    revision: z.int().min(1).exactOptional(),
    publishedAt: z.string().exactOptional(),
    recordings: z.int(),
    readings: z.int(),
    figures: z.int().meta({ description: "Numbers in the findings that were calculated again" }),
    differences: z.array(
      z.object({
        where: z.string(),
        stated: z.string().exactOptional(),
        recomputed: z.string().exactOptional(),
      }),
    ),
    differenceCount: z.int(),
  })
  .meta({ id: "Verification" }) satisfies z.ZodType<Verification>;

export const importedSchema = z
  .object({
    recording: storedRecordingSchema,
    pulls: z.array(storedPullSchema),
    known: z.boolean().meta({ description: "True where these very bytes were in the book before." }),
  })
  .meta({ id: "Imported" }) satisfies z.ZodType<Imported>;

export const rereadChangeSchema = z
  .object({
    recordingSha256: z.string(),
    fileName: z.string(),
    pullId: z.string().exactOptional(),
    field: z.string().meta({ description: 'Of the reading, as in "deep.peak.valueN"; or "pull".' }),
    from: z.union([z.string(), z.number(), z.boolean()]).exactOptional(),
    to: z.union([z.string(), z.number(), z.boolean()]).exactOptional(),
    fromMethod: z.string(),
    toMethod: z.string(),
  })
  .meta({ id: "RereadChange" }) satisfies z.ZodType<RereadChange>;

export const rereadSchema = z
  .object({
    dryRun: z.boolean(),
    recordings: z.int(),
    changes: z.array(rereadChangeSchema),
    refused: z.array(
      z.object({ recordingSha256: z.string(), fileName: z.string(), problems: z.array(problemSchema) }),
    ),
  })
  .meta({ id: "Reread" }) satisfies z.ZodType<Reread>;

export const readOtherwiseSchema = z
  .object({
    recording: storedRecordingSchema,
    pulls: z.array(storedPullSchema),
    changes: z.array(rereadChangeSchema),
  })
  .meta({ id: "ReadOtherwise" }) satisfies z.ZodType<ReadOtherwise>;

export const pastedCalibrationSchema = z
  .object({
    points: z.array(z.object({ appliedN: z.number(), indicatedN: z.number() })),
    appliedUnit: layoutFields.shape.force.shape.unit,
    indicatedUnit: layoutFields.shape.force.shape.unit,
  })
  .meta({ id: "PastedCalibration" }) satisfies z.ZodType<PastedCalibration>;

export const seriesOverviewSchema = z
  .object({
    series: recordSchemas.series,
    specimens: z.array(recordSchemas.specimen),
    pulls: z.array(storedPullSchema),
    recordings: z.array(storedRecordingSchema.omit({ reading: true, readWith: true, stretches: true })),
    ropes: z.array(recordSchemas.rope),
    recipes: z.array(recordSchemas.recipe),
    spools: z.array(recordSchemas.spool),
    benches: z.array(recordSchemas.bench),
    loadCells: z.array(recordSchemas["load-cell"]),
    hardware: z.array(recordSchemas.hardware),
    claims: z.array(recordSchemas.claim),
    pooledSeries: z.array(recordSchemas["pooled-series"]),
    pictures: z.array(storedPictureSchema),
    reports: z.array(storedReportSchema),
    imported: provenanceSchema.exactOptional(),
  })
  .meta({ id: "SeriesOverview" }) satisfies z.ZodType<SeriesOverview>;

const levels = z.record(z.string(), z.union([z.number(), z.string()]));
const outcomeCounts = z.object({ broke: z.int(), slipped: z.int(), stopped: z.int(), void: z.int() });
const counts = z.record(z.string(), z.int());
const figure = resultOf(z.number());
const interval = resultOf(z.tuple([z.number(), z.number()]));

export const judgedPullSchema = z.object({
  pullId: z.string(),
  order: z.int().exactOptional(),
  specimenLabel: z.string().exactOptional(),
  levels,
  ropeName: z.string().exactOptional(),
  construction: z.string().exactOptional(),
  recipeName: z.string().exactOptional(),
  nominalDiameterMm: z.number().exactOptional(),
  ratedStrengthN: z.number().exactOptional(),
  ratedStrengthBasis: recordKinds.rope.shape.ratedStrengthBasis.unwrap().exactOptional(),
  ratedStrengthEnds: recordKinds.rope.shape.ratedStrengthEnds.unwrap().exactOptional(),
  ratedStrengthSource: z.string().exactOptional(),
  legs: z.int().exactOptional(),
  maker: z.string().exactOptional(),
  spoolName: z.string().exactOptional(),
  buryFullMm: z.number().exactOptional(),
  buryTaperMm: z.number().exactOptional(),
  outOfRecipe: z
    .array(z.string())
    .exactOptional()
    .meta({ description: "Where the specimen was made otherwise than by its recipe, in words" }),
  outcome: recordKinds.pull.shape.outcome.unwrap().exactOptional(),
  strengthN: z.number().exactOptional(),
  strengthSource: z.enum(["reading", "typed", "none"]),
  strengthExpandedN: z.number().exactOptional().meta({ description: "Expanded uncertainty, k = 2" }),
  peakCutOff: z
    .boolean()
    .exactOptional()
    .meta({ description: "True where the recording does not show the peak itself" }),
  loadingRateNPerS: z.number().exactOptional(),
  loadingRateRatedPerMin: z
    .number()
    .exactOptional()
    .meta({ description: "loading rate / rated strength, a fraction per minute" }),
  firstSlipN: z.number().exactOptional(),
  settlingPerDecade: z
    .object({ value: z.number(), interval: z.tuple([z.number(), z.number()]) })
    .exactOptional()
    .meta({ description: "Part of a hold's force lost in each tenfold of time, with its 95 % interval" }),
  holdN: z.number().exactOptional().meta({ description: "Force at the start of the hold" }),
  evidence: z
    .object({
      likeliest: z.enum(["broke", "slipped", "stopped"]),
      probability: z.number(),
      reasons: z.array(z.string()),
    })
    .exactOptional()
    .meta({ description: "What the recording says of the end; the outcome is the person's and final." }),
  outcomeDiffers: z.boolean().exactOptional(),
  otherLoad: z.string().exactOptional(),
  warnings: z.array(problemSchema),
  lineEfficiency: z.number().exactOptional().meta({ description: "strength / rated strength, a fraction" }),
  legEfficiency: z
    .number()
    .exactOptional()
    .meta({ description: "strength / (legs x rated strength), a fraction" }),
  use: z.enum(["counted", "lower bound", "left out"]),
  leftOutAs: z.enum(["void", "not judged", "no strength", "no pull"]).exactOptional(),
  whyLeftOut: z.string().exactOptional(),
});

const boundMethod = recordKinds.series.shape.boundMethod.unwrap();

const statedBoundSchema = z.object({
  boundN: z.number(),
  method: boundMethod,
  content: z.number(),
  confidence: z.number().meta({ description: "For lowest and mean-3sd the one that they have at this n" }),
  n: z.int().meta({ description: "Pulls in it, stopped ones among them" }),
  stopped: z.int().meta({ description: "How many were stopped: counted as at least what they bore" }),
  meaning: z.string(),
});

export const cellFindingsSchema = z.object({
  levels,
  kind: z.enum(["planned", "outside the plan", "level missing", "no specimen"]),
  label: z.string(),
  pulls: z.array(z.string()),
  n: z.int(),
  stopped: z.int(),
  leftOut: z.int(),
  outcomes: outcomeCounts,
  places: counts,
  meanN: figure,
  sdN: figure,
  cv: figure,
  lowestN: figure,
  meanIntervalN: interval,
  meanMinus3SdN: figure,
  bound: resultOf(statedBoundSchema).meta({ description: "By the method that the series keeps." }),
  meanLineEfficiency: figure,
  meanLegEfficiency: figure,
  meanLineEfficiencyInterval: interval,
  meanLegEfficiencyInterval: interval,
  warnings: z.array(problemSchema),
});

export const seriesFindingsSchema = z
  .object({
    method: z.object({ name: z.literal("series-findings"), version: z.string() }),
    seriesId: z.string(),
    pulls: z.array(judgedPullSchema),
    statedBy: z.object({
      method: boundMethod,
      content: z.number(),
      confidence: z.number(),
      name: z.string().meta({ description: "What the bound is called over a column" }),
    }),
    cells: z.array(cellFindingsSchema),
    outcomes: outcomeCounts,
    places: counts,
    mattered: matteredSchema,
    claims: z.array(judgedClaimSchema),
    pooled: z.array(pooledSchema),
    findings: z.array(
      z.object({
        id: z.string(),
        sentence: z.string(),
        method: z.string(),
        pulls: z.array(z.string()),
        warnings: z.array(problemSchema),
      }),
    ),
    warnings: z.array(problemSchema),
  })
  .meta({ id: "SeriesFindings" }) satisfies z.ZodType<SeriesFindings>;
