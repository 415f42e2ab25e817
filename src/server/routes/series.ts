import { z } from "zod";
import { answer, envelope, failAs } from "../answers.ts";
import { disposition, reportHeaders } from "../headers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { seriesFindingsSchema, seriesOverviewSchema, storedReportSchema } from "../schemas/series.ts";
import { answerIsNotChecked, type RouteContext, type Server } from "./routes.ts";
import { slipOrBreakRoute } from "./slip-or-break.ts";

const page = { content: { "text/html": { schema: z.string() } } };

/** A series as a whole: its overview, its findings, its report as it would be and as it was published. */
export function seriesRoutes(server: Server, { app }: RouteContext): void {
  server.get(
    "/api/series/:id/overview",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags: ["series"],
        summary: "Everything that a screen of one series shows",
        params: idParams,
        response: { 200: envelopeOf(seriesOverviewSchema), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.overview(params.id)),
  );

  server.get(
    "/api/series/:id/findings",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags: ["series"],
        summary: "What a series shows: each pull judged, each cell's statistics, and sentences",
        params: idParams,
        response: { 200: envelopeOf(seriesFindingsSchema), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.findings(params.id)),
  );

  slipOrBreakRoute(server, app);

  server.get(
    "/api/series/:id/report",
    {
      helmet: reportHeaders,
      schema: {
        tags: ["reports"],
        summary: "The report as it would be published now",
        params: idParams,
        response: { 200: page, ...failures },
      },
    },
    async ({ params }, reply) => {
      const preview = await app.previewReport(params.id);
      if (!preview.ok) return failAs(reply, preview.problems);
      return reply.type("text/html; charset=utf-8").send(preview.value);
    },
  );

  server.get(
    "/api/reports",
    {
      schema: {
        tags: ["reports"],
        summary: "List the published reports",
        response: { 200: envelopeOf(z.array(storedReportSchema)), ...failures },
      },
    },
    async (_request, reply) => reply.send(envelope(await app.reports())),
  );

  server.get(
    "/reports/:id",
    {
      helmet: reportHeaders,
      schema: {
        tags: ["reports"],
        summary: "A published report, the page itself",
        params: idParams,
        querystring: z.object({
          download: z.literal("1").exactOptional().meta({ description: "1: as a file to save" }),
        }),
        response: { 200: page, ...failures },
      },
    },
    async ({ params, query }, reply) => {
      const published = await app.report(params.id, { toSave: query.download === "1" });
      if (!published.ok) return failAs(reply, published.problems);
      const { report, html } = published.value;
      if (query.download === "1")
        reply.header(
          "content-disposition",
          disposition("attachment", `${fileTitle(report.title)} ${report.number}.html`),
        );
      return reply.type("text/html; charset=utf-8").send(html);
    },
  );
}

/** A title without the characters that one system or another does not take in the name of a file. */
function fileTitle(title: string): string {
  return title
    .replace(/[\p{Cc}<>:"/\\|?*]/gu, " ")
    .replace(/\s+/g, " ")
    .trim()
    .slice(0, 80);
}
