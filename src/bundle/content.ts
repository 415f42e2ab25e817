import { z } from "zod";
import {
  benchFields,
  claimFields,
  hardwareFields,
  loadCellFields,
  outcomeKinds,
  pooledSeriesFields,
  pullFields,
  seriesFields,
  specimenFields,
} from "../series/mod.ts";
import { recipeFields, ropeFields, spoolFields } from "../splice/mod.ts";
import type { JsonValue } from "./canonical.ts";

/** An id as books make them; nothing in it can be a path or a formula. */
const id = z.string().regex(/^[A-Za-z0-9][A-Za-z0-9-]{0,99}$/);
const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const row = z
  .number()
  .int()
  .min(1)
  .max(2 ** 31 - 1);
const figure = z.number().optional();

/** What was read of one pull by the machine, before a person corrected it. */
const readingFields = z.object({
  pullId: id,
  /** Version of the method of reading. */
  method: z.string().max(100),
  startRow: row,
  endRow: row,
  startS: figure,
  endS: figure,
  peakN: z.number(),
  peakRow: row,
  peakTimeS: figure,
  restN: figure,
  netPeakN: figure,
  bestPeakN: figure,
  bestPeakStandardN: figure,
  bestPeakExpandedN: figure,
  peakIsLowerBound: z.boolean().optional(),
  loadingRateNPerS: figure,
  noiseN: z.number(),
  end: z.string().max(40),
  dropCount: z.number().int().optional(),
  slipCount: z.number().int().optional(),
  firstSlipN: figure,
  holdFromS: figure,
  holdToS: figure,
  holdStartN: figure,
  holdEndN: figure,
  settlingPerDecade: figure,
  settlingPerDecadeLow: figure,
  settlingPerDecadeHigh: figure,
  beddingCycles: z.number().int().optional(),
  strokes: z.number().int().optional(),
  timeToPeakS: figure,
  collapseS: figure,
  residualN: figure,
  stiffnessNPerM: figure,
  energyToPeakJ: figure,
  likeliestOutcome: z.string().max(40).optional(),
  likeliestProbability: figure,
  phases: z.array(z.json()).default([]),
  slips: z.array(z.json()).default([]),
  doubts: z.array(z.string().max(100)).default([]),
});
export type ReadingRow = z.infer<typeof readingFields>;

const recordingFields = z.object({
  sha256,
  fileName: z.string().trim().min(1).max(1000),
  sizeBytes: z.number().int().nonnegative(),
  /** When it came to the book in which it was read first: by it the age of a calibration is told. */
  importedAt: z.string().max(40),
  /** How it is read: what the file does not say of itself. */
  layout: z.record(z.string(), z.json()),
});

const pictureFields = z.object({
  id,
  subjectKind: z.enum(["pull", "specimen", "series"]),
  subjectId: id,
  fileName: z.string().max(1000),
  mediaType: z.enum(["image/jpeg", "image/png", "image/webp", "image/gif", "image/avif"]),
  sha256,
  sizeBytes: z.number().int().nonnegative(),
  caption: z.string().max(10_000).default(""),
});

const withId = { id };

/** The tables of a bundle: each row's fields, as records have them; an outcome lies in three columns. */
export const tableFields = {
  series: seriesFields.extend(withId),
  ropes: ropeFields.extend(withId),
  spools: spoolFields.extend(withId),
  recipes: recipeFields.extend({ ...withId, version: z.number().int().min(1).max(10_000) }),
  hardware: hardwareFields.extend(withId),
  "load-cells": loadCellFields.extend(withId),
  benches: benchFields.extend(withId),
  specimens: specimenFields.extend(withId),
  pulls: pullFields.omit({ outcome: true }).extend({
    ...withId,
    outcomeKind: z.enum(outcomeKinds).optional(),
    outcomePlace: z.string().max(200).optional(),
    outcomeReason: z.string().max(1000).optional(),
  }),
  readings: readingFields,
  recordings: recordingFields,
  pictures: pictureFields,
  claims: claimFields.extend(withId),
  "pooled-series": pooledSeriesFields.extend(withId),
} as const;
export type TableName = keyof typeof tableFields;
export const tableNames = Object.keys(tableFields) as TableName[];
export type RowOf<T extends TableName> = z.infer<(typeof tableFields)[T]>;
export type Tables = { readonly [T in TableName]: readonly RowOf<T>[] };

/** What pooling takes of a pull of another series. */
const otherPullFields = z.object({
  pullId: z.string().max(100),
  order: z.number().optional(),
  specimenLabel: z.string().max(100).optional(),
  levels: z.record(z.string(), z.union([z.number(), z.string()])),
  ropeName: z.string().max(200).optional(),
  construction: z.string().max(200).optional(),
  recipeName: z.string().max(200).optional(),
  nominalDiameterMm: z.number().optional(),
  ratedStrengthN: z.number().optional(),
  ratedStrengthBasis: ropeFields.shape.ratedStrengthBasis.unwrap().optional(),
  ratedStrengthEnds: ropeFields.shape.ratedStrengthEnds.unwrap().optional(),
  legs: z.number().int().optional(),
  outcome: pullFields.shape.outcome,
  otherLoad: z.string().max(2000).optional(),
  strengthN: z.number().optional(),
  strengthSource: z.enum(["reading", "typed", "none"]),
  strengthExpandedN: z.number().optional(),
  peakCutOff: z.boolean().optional(),
});

/** Another series of the book with which this one is pooled, by its judged figures alone: its recordings are not ours. */
export const otherSeriesFields = z.object({
  seriesId: id,
  title: z.string().max(300),
  pulls: z.array(otherPullFields).max(100_000),
});
export type OtherSeries = z.infer<typeof otherSeriesFields>;

/**
 * What a report rests on and says, frozen: the tables, the pulls of series that it is pooled with, the version of each
 * method, and what was found. Ids are those of the book in which it was made first.
 */
export type BundleContent = {
  readonly tables: Tables;
  readonly others: readonly OtherSeries[];
  readonly methods: Readonly<Record<string, string>>;
  readonly findings: JsonValue;
  /** Where the plan varies the bury, and pulls have what that asks for. */
  readonly slipOrBreak?: JsonValue;
};
