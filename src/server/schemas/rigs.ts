import { z } from "zod";
import type { App, CellForUse, ConnectorChoices } from "../../app/mod.ts";

type AssessedRig = Extract<Awaited<ReturnType<App["assessRig"]>>, { ok: true }>["value"];

const range = z.object({ lowN: z.number(), highN: z.number() });
const counts = z.int().min(0);

const lineSchema = z.object({
  horizontalN: z.number(),
  tensionN: z.number(),
  tensionLeftN: z.number(),
  tensionRightN: z.number(),
  upwardLeftN: z.number(),
  upwardRightN: z.number(),
  angleLeftDeg: z.number(),
  angleRightDeg: z.number(),
  sagM: z.number(),
  sagAtM: z.number(),
  lengthM: z.number(),
  unstretchedLengthM: z.number(),
  shape: z.array(z.object({ xM: z.number(), yM: z.number() })),
});

export const assessedRigSchema = z
  .object({
    forces: z.object({
      places: z
        .object({
          "in the line": range.exactOptional(),
          "in each leg": range.exactOptional(),
          "above the legs": range.exactOptional(),
          "at the pulley’s anchor": range.exactOptional(),
        })
        .meta({ description: "The force that each place of the rig sees." }),
      because: z.array(z.string()),
      line: lineSchema
        .exactOptional()
        .meta({ description: "The shape of a long line, at the stiffer end of its range." }),
    }),
    parts: z.array(
      z.object({
        name: z.string(),
        force: range.meta({ description: "On one of those side by side." }),
        statedN: z.number().exactOptional().meta({ description: "Strength as it sits in the rig." }),
        statedBy: z.string(),
        n: counts.exactOptional(),
        margin: z.number().exactOptional().meta({ description: "Stated strength over the highest force." }),
        chanceFails: z.number().exactOptional(),
        chanceFirst: z.number().exactOptional(),
        gain: z.number().exactOptional(),
      }),
    ),
    chanceAny: z.number().exactOptional(),
    timesLoadAtChance: z.number().exactOptional(),
    sentences: z.array(z.string()),
    notConsidered: z.array(z.string()).meta({ description: "What is not in these numbers." }),
  })
  .meta({ id: "AssessedRig" }) satisfies z.ZodType<AssessedRig>;

export const cellForUseSchema = z
  .object({
    seriesId: z.string(),
    seriesTitle: z.string(),
    cell: z
      .string()
      .meta({ description: "Its label: with the series' id, the name by which a part names it." }),
    simulated: z.boolean(),
    pullsN: z.array(z.number()),
    stopped: z.array(z.boolean()).meta({ description: "True where a pull was stopped: a lower bound." }),
    massG: z.number().exactOptional(),
    ropeM: z.number().exactOptional(),
    buryDiameters: z.number().exactOptional(),
    diameterMm: z.number().exactOptional(),
    pins: z.array(z.object({ diameterMm: z.number(), n: counts, meanN: z.number() })),
  })
  .meta({ id: "CellForUse" }) satisfies z.ZodType<CellForUse>;

export const connectorChoicesSchema = z
  .object({
    choices: z.array(
      z.object({
        name: z.string(),
        seriesId: z.string(),
        cell: z.string(),
        simulated: z.boolean(),
        wraps: z.int().min(1),
        statedN: z.number(),
        factor: z.number(),
        n: counts,
        fewPulls: z.boolean(),
        massG: z.number().exactOptional(),
        ropeM: z.number().exactOptional(),
        buryDiameters: z.number().exactOptional(),
        pinRatio: z.number().exactOptional(),
      }),
    ),
    leftOut: z.array(z.object({ seriesId: z.string(), cell: z.string(), name: z.string(), n: counts })),
  })
  .meta({ id: "ConnectorChoices" }) satisfies z.ZodType<ConnectorChoices>;
