import { z } from "zod";
import type { App } from "../../app/mod.ts";

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
