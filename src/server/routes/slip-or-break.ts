import { Readable } from "node:stream";
import { z } from "zod";
import { type App, slipOrBreakFields } from "../../app/mod.ts";
import { answer } from "../answers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { seriesSlipOrBreakSchema } from "../schemas/slip-or-break.ts";
import { goneSignal } from "../uploads.ts";
import { answerIsNotChecked, type Server } from "./routes.ts";

const { chance, confidence, growth, refits, seed } = slipOrBreakFields.shape;
/** What is asked stands in the address as text. */
const asNumber = <T extends z.ZodType>(field: T) => z.preprocess(numberOf, field);

/** Whether the bury of a series is long enough: as one answer, or with its progress as events. */
export function slipOrBreakRoute(server: Server, app: App): void {
  server.get(
    "/api/series/:id/slip-or-break",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags: ["series"],
        summary: "Whether the bury is long enough: from which on specimens break before they slip",
        description:
          "Takes up to a second or two where it was not asked before. A caller that accepts text/event-stream gets events: " +
          '`progress` with {"done": 0 to 1}, then `answer` with what this address answers otherwise, or `refused` with ' +
          '{"problems"}. The work stops when the caller goes away.',
        params: idParams,
        querystring: z.object({
          chance: asNumber(chance).meta({
            description: "How unlikely slipping first is to be; 0.05 unless said",
          }),
          confidence: asNumber(confidence).meta({ description: "Of the bury to state; 0.95 unless said" }),
          growth: growth.meta({ description: "How slip strength grows with bury; auto unless said" }),
          refits: asNumber(refits).meta({ description: "2000 unless said" }),
          seed: asNumber(seed).meta({ description: "Follows from the series unless said" }),
        }),
        response: { 200: envelopeOf(seriesSlipOrBreakSchema), ...failures },
      },
    },
    async ({ params, query, headers }, reply) => {
      const signal = goneSignal(reply);
      const work = (onProgress?: (done: number) => void) =>
        app.slipOrBreak(params.id, query, { signal, ...(onProgress === undefined ? {} : { onProgress }) });
      if (!headers.accept?.includes("text/event-stream")) return answer(reply, await work());
      const events = new Readable({ read: () => {} });
      const say = (event: string, data: unknown) =>
        events.push(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
      void work((done) => say("progress", { done })).then(
        (result) => {
          if (result.ok) say("answer", { value: result.value, warnings: result.warnings });
          else say("refused", { problems: result.problems });
          events.push(null);
        },
        (error: unknown) => events.destroy(error instanceof Error ? error : new Error(String(error))),
      );
      return reply.type("text/event-stream; charset=utf-8").send(events);
    },
  );
}

function numberOf(text: unknown): unknown {
  return typeof text === "string" && text.trim() !== "" ? Number(text) : text;
}
