import { z } from "zod";
import { filmFields } from "../../app/mod.ts";
import { answer, failAs } from "../answers.ts";
import { disposition, reportHeaders } from "../headers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { pullOnFilmSchema, requiredStatementSchema } from "../schemas/tell.ts";
import { answerIsNotChecked, type RouteContext, type Server } from "./routes.ts";

const tags = ["reports"];
const page = { content: { "text/html": { schema: z.string() } } };

/** What goes with a report: what it must state, its tables as a spreadsheet, the record of one pull, captions for its film. */
export function tellRoutes(server: Server, { app }: RouteContext): void {
  server.get(
    "/api/series/:id/completeness",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags,
        summary:
          "What a test report must state by ISO/IEC 17025 and ISO 2307, and what of it this one states",
        params: idParams,
        response: { 200: envelopeOf(z.array(requiredStatementSchema)), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.reportCompleteness(params.id)),
  );

  server.get(
    "/api/series/:id/tables.xlsx",
    {
      schema: {
        tags,
        summary: "The tables of the report as a spreadsheet (XLSX); no text in it is a formula",
        params: idParams,
        response: { 200: { content: { [xlsx]: { schema: z.string() } } }, ...failures },
      },
    },
    async ({ params }, reply) => {
      const file = await app.reportSpreadsheet(params.id);
      if (!file.ok) return failAs(reply, file.problems);
      return reply
        .type(xlsx)
        .header("content-disposition", disposition("attachment", `${params.id}.xlsx`))
        .send(Buffer.from(file.value));
    },
  );

  server.get(
    "/pulls/:id/record",
    {
      helmet: reportHeaders,
      schema: {
        tags,
        summary: "What is known of one pull, as a page to print; it certifies nothing beyond that specimen",
        params: idParams,
        response: { 200: page, ...failures },
      },
    },
    async ({ params }, reply) => {
      const record = await app.pullRecord(params.id);
      if (!record.ok) return failAs(reply, record.problems);
      return reply.type("text/html; charset=utf-8").send(record.value);
    },
  );

  server.get(
    "/api/pulls/:id/film",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags,
        summary: "The curve of a pull with the moments that can be found in a film of it",
        params: idParams,
        response: { 200: envelopeOf(pullOnFilmSchema), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.film(params.id)),
  );

  server.get(
    "/api/pulls/:id/captions.vtt",
    {
      schema: {
        tags,
        summary: "The force of a pull as captions for its film (WebVTT)",
        params: idParams,
        querystring: z.object({
          moment: filmFields.shape.moment.unwrap().exactOptional(),
          filmMomentS: z.coerce
            .number()
            .exactOptional()
            .meta({ description: "When the film shows that moment, in its own seconds" }),
          filmStartedAt: z
            .string()
            .exactOptional()
            .meta({ description: "When the film was begun, by the recording’s clock" }),
          ratePerS: z.coerce.number().exactOptional(),
          unit: filmFields.shape.unit.unwrap().exactOptional(),
        }),
        response: { 200: { content: { "text/vtt": { schema: z.string() } } }, ...failures },
      },
    },
    async ({ params, query }, reply) => {
      const captions = await app.captions(params.id, query);
      if (!captions.ok) return failAs(reply, captions.problems);
      return reply.type("text/vtt; charset=utf-8").send(captions.value);
    },
  );
}

const xlsx = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
