import { z } from "zod";
import { type App, slipOrBreakAnswer } from "../../app/mod.ts";
import { problemSchema } from "./common.ts";

type SeriesSlipOrBreak = Extract<Awaited<ReturnType<App["slipOrBreak"]>>, { ok: true }>["value"];

export const seriesSlipOrBreakSchema = z
  .object({
    method: z.object({ name: z.literal("slip-or-break"), version: z.string() }),
    seriesId: z.string(),
    asked: z.object({
      chance: z.number(),
      confidence: z.number(),
      growth: z.enum(["exponential", "linear", "auto"]),
      refits: z.int(),
      seed: z.int(),
    }),
    answer: slipOrBreakAnswer,
    points: z
      .array(
        z.object({
          pullId: z.string(),
          name: z.string(),
          buryDiameters: z.number(),
          strength: z.number().meta({ description: "A share of legs x rated strength" }),
          outcome: z.enum(["slipped", "broke", "stopped"]),
          buryFrom: z.enum(["as made", "plan"]),
        }),
      )
      .meta({ description: "The pulls that the answer rests on, as points of its figure." }),
    leftOut: z.array(z.object({ pullId: z.string(), name: z.string(), why: z.string() })),
    otherFactors: z.array(
      z.object({
        factor: z.string(),
        as: z.enum(["fitted", "counted together"]),
        why: z.string().exactOptional(),
      }),
    ),
    byLevel: z
      .array(
        z.object({
          factor: z.string(),
          level: z.union([z.string(), z.number()]),
          unit: z.string(),
          pulls: z.array(z.string()),
          chance: z.number(),
          estimate: z.number().exactOptional(),
          upper: z.number().exactOptional(),
          plateau: z.number(),
        }),
      )
      .meta({ description: "The bury at each level of another factor, in diameters." }),
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
  .meta({ id: "SeriesSlipOrBreak" }) satisfies z.ZodType<SeriesSlipOrBreak>;
