import { z } from "zod";
import type { App, PullOnFilm } from "../../app/mod.ts";
import { phaseNames } from "../../trace/mod.ts";

type Statement = Extract<Awaited<ReturnType<App["reportCompleteness"]>>, { ok: true }>["value"][number];

export const requiredStatementSchema = z
  .object({
    standard: z.enum(["ISO/IEC 17025:2017", "ISO 2307"]),
    clause: z.string(),
    asks: z.string(),
    state: z.enum(["covered", "partly", "missing"]),
    says: z.string().meta({ description: "What covers it, or what is missing" }),
    enter: z.enum(["Tell", "Ask", "Splice", "Pull", "Bench book", "publish"]).exactOptional(),
  })
  .meta({ id: "RequiredStatement" }) satisfies z.ZodType<Statement>;

export const pullOnFilmSchema = z
  .object({
    timesS: z.array(z.number()),
    forcesN: z.array(z.number().nullable()).meta({ description: "Net of the rest, at the specimen" }),
    moments: z.object({ start: z.number(), peak: z.number(), break: z.number(), end: z.number() }),
    phases: z.array(z.object({ fromS: z.number(), toS: z.number(), name: z.enum(phaseNames) })),
    firstS: z.number(),
    startedAt: z.string().exactOptional(),
  })
  .meta({ id: "PullOnFilm" }) satisfies z.ZodType<PullOnFilm>;
