import { z } from "zod";
import { figureFields } from "../../app/mod.ts";
import { answer, failAs } from "../answers.ts";
import { bytesHeaders, disposition } from "../headers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { asBuffer } from "./recordings.ts";
import type { RouteContext, Server } from "./routes.ts";

const tags = ["reports"];

const listedFigureSchema = z
  .object({
    kind: z.string(),
    title: z.string(),
    shows: z.string(),
    number: z.number().exactOptional().meta({ description: "Which one, where a series has several" }),
  })
  .meta({ id: "ListedFigure" });

/** The figures of a series, to be looked at or taken away. */
export function figureRoutes(server: Server, { app }: RouteContext): void {
  server.get(
    "/api/series/:id/figures",
    {
      schema: {
        tags,
        summary: "The figures that can be drawn of a series",
        params: idParams,
        response: { 200: envelopeOf(z.array(listedFigureSchema)), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.figures(params.id)),
  );

  server.get(
    "/api/series/:id/figures/:kind",
    {
      helmet: bytesHeaders,
      schema: {
        tags,
        summary: "One figure with title, source and data: SVG, PNG or its data as CSV; light or dark",
        params: idParams.extend({ kind: z.string() }),
        querystring: figureFields.partial().extend({
          download: z.literal("1").exactOptional().meta({ description: "1: as a file to save" }),
        }),
        response: {
          200: {
            content: {
              "image/svg+xml": { schema: z.string() },
              "image/png": { schema: z.file() },
              "text/csv": { schema: z.string() },
            },
          },
          ...failures,
        },
      },
    },
    async ({ params, query: { download, ...asked } }, reply) => {
      const figure = await app.figure(params.id, params.kind, asked);
      if (!figure.ok) return failAs(reply, figure.problems);
      const { fileName, mediaType, bytes } = figure.value;
      return reply
        .header("content-disposition", disposition(download === "1" ? "attachment" : "inline", fileName))
        .type(mediaType)
        .send(asBuffer(bytes));
    },
  );
}
