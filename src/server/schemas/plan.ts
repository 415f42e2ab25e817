import { z } from "zod";
import { type App, recordKinds } from "../../app/mod.ts";
import { resultOf } from "./common.ts";

type SeriesPlan = Extract<Awaited<ReturnType<App["plan"]>>, { ok: true }>["value"];

const whole = resultOf(z.int());
const levels = z.record(z.string(), z.union([z.number(), z.string()]));

export const seriesPlanSchema = z
  .object({
    seriesId: z.string(),
    title: z.string(),
    factors: recordKinds.series.shape.factors.unwrap(),
    cells: z.int(),
    pullsPerCell: z.int(),
    made: z.int().meta({ description: "Specimens that the series has already" }),
    scatter: z.object({
      cv: z.number(),
      range: z.tuple([z.number(), z.number()]),
      source: z.enum(["book", "custom", "typed"]),
      says: z.string(),
      series: z.int(),
      cells: z.int(),
      pulls: z.int(),
    }),
    howMany: z.object({
      difference: z.number().meta({ description: "Worth knowing, as a share of a cell's mean" }),
      power: z.number(),
      pullsPerCell: whole,
      range: z
        .tuple([whole, whole])
        .meta({ description: "The same at either end of the range of the scatter" }),
      pairs: z.int(),
      forAllPairs: whole.meta({ description: "Where every pair of cells is compared, 5 % shared out" }),
      planned: z
        .object({
          pullsPerCell: z.int(),
          power: resultOf(z.number()),
          difference: z.number().meta({ description: "What the plan finds with the chance asked for" }),
        })
        .exactOptional(),
    }),
    bounds: z.object({
      content: z.number(),
      confidence: z.number(),
      rows: z.array(
        z.object({
          n: z.int(),
          factor: z.number(),
          below: z.number().meta({ description: "How far below the mean, as a share of it" }),
        }),
      ),
    }),
    bury: z
      .object({
        name: z.string(),
        levels: z.array(z.number()).meta({ description: "In diameters" }),
        pullsPerLevel: z.int(),
        chance: z.number(),
        truth: z.object({
          growth: z.enum(["exponential", "linear"]),
          plateau: z.number(),
          turn: z.number(),
          slipBury: z.number(),
          slipStrength: z.number(),
          slipScatter: z.number(),
          breakScatter: z.number(),
        }),
        truthSays: z.string().meta({ description: "Where the truth comes from, beside what was said" }),
        trueBury: z.number().exactOptional(),
        standardError: resultOf(z.number()).exactOptional(),
        proposed: resultOf(z.object({ levels: z.array(z.number()), standardError: z.number() })),
      })
      .exactOptional(),
    order: resultOf(
      z.array(
        z.object({
          order: z.int(),
          block: z.int(),
          levels,
          spool: z.string().exactOptional().meta({ description: "The id of a spool" }),
          maker: z.string().exactOptional(),
        }),
      ),
    ),
    budget: resultOf(
      z.object({
        cuts: z.array(
          z.object({
            buryDiameters: z.number().exactOptional(),
            specimens: z.int(),
            cutLengthMm: z.number(),
          }),
        ),
        ropeM: z.number(),
        massG: z.number().exactOptional(),
        cost: z.object({ value: z.number(), currency: z.string() }).exactOptional(),
      }),
    ).exactOptional(),
    time: z.object({ minutesEach: z.number(), totalMinutes: z.number(), says: z.string() }).exactOptional(),
    changes: z.array(
      z.object({
        at: z.string(),
        pullsThen: z.int(),
        changed: z.array(z.string()),
        inference: z.array(z.string()),
      }),
    ),
  })
  .meta({ id: "SeriesPlan" }) satisfies z.ZodType<SeriesPlan>;
