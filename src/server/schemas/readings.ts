import { z } from "zod";
import { layoutFields, type ProposedLayout, type StoredRecording } from "../../app/mod.ts";
import {
  type CellCalibration,
  type DeepReading,
  type LayoutHints,
  type PullReading,
  phaseNames,
  type Reading,
  type TraceWindow,
} from "../../trace/mod.ts";
import { problemSchema } from "./common.ts";

const row = z.int().min(1);
const seconds = z.number();
const newtons = z.number();

const dropSchema = z.object({ row, timeS: seconds.exactOptional(), fromN: newtons, toN: newtons });

const withInterval = z.object({ value: z.number(), interval: z.tuple([z.number(), z.number()]) });
const stretch = { fromRow: row, toRow: row, fromS: seconds.exactOptional(), toS: seconds.exactOptional() };

export const deepReadingSchema = z
  .object({
    phases: z.array(z.object({ name: z.enum(phaseNames), ...stretch })),
    bedding: z.object({ cycles: z.int(), lowestN: newtons, highestN: newtons }).exactOptional(),
    hold: z
      .object({
        ...stretch,
        startN: newtons,
        endN: newtons,
        settling: z
          .object({
            perDecade: withInterval,
            perDecadeAicc: z.number(),
            exponent: withInterval,
            exponentAicc: z.number(),
            preferred: z.enum(["log-time", "power law", "neither"]),
          })
          .exactOptional(),
      })
      .exactOptional(),
    strokes: z.int(),
    slips: z.array(dropSchema),
    firstSlipN: newtons.exactOptional(),
    timeToPeakS: seconds.exactOptional(),
    collapseS: seconds.exactOptional(),
    residualN: newtons.exactOptional(),
    stiffnessNPerM: z.number().exactOptional(),
    energyToPeakJ: z.number().exactOptional(),
    peak: z
      .object({
        valueN: newtons,
        standardN: newtons,
        expandedN: newtons.meta({ description: "k = 2" }),
        parts: z.array(
          z.object({
            name: z.enum(["calibration", "resolution", "noise", "between samples", "rest", "drift"]),
            standardN: newtons,
            basis: z.string(),
          }),
        ),
        lowerBound: z
          .boolean()
          .meta({ description: "True where the peak was at least this: clipped, or the record ends on it." }),
      })
      .exactOptional(),
    outcome: z
      .object({
        probabilities: z.object({ broke: z.number(), slipped: z.number(), stopped: z.number() }),
        likeliest: z.enum(["broke", "slipped", "stopped"]),
        reasons: z.array(z.string()),
      })
      .exactOptional()
      .meta({ description: "What speaks for which end; the person's word is final." }),
  })
  .meta({ id: "DeepReading" }) satisfies z.ZodType<DeepReading>;

export const pullReadingSchema = z
  .object({
    index: z.int().min(0).meta({ description: "From 1; 0 where a person named the rows." }),
    startRow: row,
    endRow: row,
    startS: seconds.exactOptional(),
    endS: seconds.exactOptional(),
    peakN: newtons.meta({ description: "The highest force as recorded, the cell's offset still in it." }),
    peakRow: row,
    peakTimeS: seconds.exactOptional(),
    restN: newtons
      .exactOptional()
      .meta({ description: "What was taken as zero; absent where no rest shows." }),
    netPeakN: newtons
      .exactOptional()
      .meta({ description: "peakN - restN, corrected by the cell's certificate." }),
    loadingRateNPerS: z.number().exactOptional(),
    loadingRateFromS: seconds.exactOptional(),
    loadingRateToS: seconds.exactOptional(),
    drops: z.array(dropSchema).meta({ description: "The biggest drops, in the order of the record." }),
    dropCount: z
      .int()
      .exactOptional()
      .meta({ description: "How many there were, where more than are listed." }),
    collapse: dropSchema.exactOptional(),
    end: z.enum(["collapse", "decline", "cut-off"]),
    noiseN: newtons,
    deep: deepReadingSchema.exactOptional(),
    warnings: z.array(problemSchema),
  })
  .meta({ id: "PullReading" }) satisfies z.ZodType<PullReading>;

export const readingSchema = z
  .object({
    method: z.object({ name: z.literal("reading"), version: z.string() }),
    layout: layoutFields,
    rows: z.int(),
    missing: z.int(),
    sign: z.enum(["as in the file", "turned round"]).exactOptional(),
    durationS: seconds.exactOptional(),
    intervalS: seconds.exactOptional(),
    startedAt: z.string().exactOptional(),
    pulls: z.array(pullReadingSchema),
    otherLoads: z.array(
      z.object({
        startRow: row,
        endRow: row,
        startS: seconds.exactOptional(),
        endS: seconds.exactOptional(),
        peakN: newtons,
      }),
    ),
    warnings: z.array(problemSchema),
  })
  .meta({ id: "Reading" }) satisfies z.ZodType<Reading>;

export const calibrationSchema = z
  .object({
    points: z.array(z.object({ appliedN: newtons, indicatedN: newtons })),
    accuracyClass: z.number().exactOptional(),
    calibratedOn: z.string().exactOptional(),
    capacityN: newtons.exactOptional(),
    resolutionN: newtons.exactOptional(),
  })
  .meta({ id: "CellCalibration" }) satisfies z.ZodType<CellCalibration>;

export const storedRecordingSchema = z
  .object({
    sha256: z.string(),
    fileName: z.string(),
    sizeBytes: z.int(),
    importedAt: z.string(),
    seriesId: z.string(),
    layout: layoutFields,
    reading: readingSchema,
    readWith: z
      .array(z.object({ calibration: calibrationSchema, pulls: z.array(z.int().min(1)) }))
      .meta({ description: "The calibration that each pull was read with; those not named, without one." }),
    stretches: z
      .array(
        z.object({
          fromRow: row,
          toRow: row,
          reading: pullReadingSchema,
          calibration: calibrationSchema.exactOptional(),
          pullId: z.string().exactOptional(),
        }),
      )
      .meta({
        description:
          "Rows that a person named as pulls, as they were read; with a pullId, what was last read of a pull that the recording no longer shows.",
      }),
  })
  .meta({ id: "Recording" }) satisfies z.ZodType<StoredRecording>;

/** What the user already knows of a file; each hint overrides what the program would propose. */
export const layoutHintsSchema = z
  .object({
    encoding: layoutFields.shape.encoding.exactOptional(),
    separator: layoutFields.shape.separator.exactOptional(),
    decimal: layoutFields.shape.decimal.exactOptional(),
    forceColumn: z.string().max(1000).exactOptional().meta({ description: "A name, or a number from 1." }),
    timeColumn: z.string().max(1000).exactOptional(),
    forceUnit: layoutFields.shape.force.shape.unit.exactOptional(),
    timeUnit: z.enum(["s", "ms", "us"]).exactOptional(),
    rateHz: z.number().positive().max(1e8).exactOptional(),
    inverted: z.boolean().exactOptional(),
    noTime: z.boolean().exactOptional().meta({ description: "The file has no time, and none is wanted." }),
  })
  .meta({ id: "LayoutHints" }) satisfies z.ZodType<LayoutHints>;

const layoutTopics = [
  "encoding",
  "separator",
  "decimal",
  "header",
  "unit-row",
  "time",
  "force",
  "force-unit",
  "displacement",
  "segment",
] as const;

export const proposedLayoutSchema = z
  .object({
    layout: layoutFields.extend({
      force: layoutFields.shape.force
        .extend({ unit: layoutFields.shape.force.shape.unit.exactOptional() })
        .exactOptional(),
      unsure: z.array(z.enum(["force", "time"])).exactOptional(),
    }),
    reasons: z.array(z.object({ about: z.enum(layoutTopics), text: z.string() })),
    questions: z.array(
      z.object({
        about: z.enum(["force", "force-unit", "time"]),
        text: z.string(),
        options: z.array(z.string()),
        option: z.string(),
        mayStayOpen: z.boolean().exactOptional(),
      }),
    ),
    columns: z.array(
      z.object({
        column: z.int().min(1),
        name: z.string(),
        unit: z.string().exactOptional(),
        kind: z.enum(["number", "time", "text", "constant", "empty"]),
        lowest: z.number().exactOptional(),
        highest: z.number().exactOptional(),
        missing: z.int(),
        examples: z.array(z.string()),
      }),
    ),
    preview: z.object({ lines: z.array(z.string()), rows: z.array(z.array(z.string())) }),
    saved: z.object({ id: z.string(), name: z.string() }).exactOptional(),
  })
  .meta({ id: "LayoutProposal" }) satisfies z.ZodType<ProposedLayout>;

export const traceWindowSchema = z
  .object({
    fromRow: row,
    toRow: row,
    x: z.array(z.number()).meta({ description: "Start of each span: seconds, or rows without time." }),
    lowN: z.array(z.number().nullable()),
    highN: z.array(z.number().nullable()),
    xIsTime: z.boolean(),
  })
  .meta({ id: "TraceWindow" }) satisfies z.ZodType<TraceWindow>;
