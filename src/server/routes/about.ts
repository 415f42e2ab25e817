import { createHash } from "node:crypto";
import { z } from "zod";
import { envelope } from "../answers.ts";
import { renderApiPage, styleOfApiPage } from "../api-page.ts";
import { styledPageHeaders } from "../headers.ts";
import { openApiOf } from "../open-api.ts";
import { envelopeOf, failures } from "../schemas/common.ts";
import type { RouteContext, Server } from "./routes.ts";

/** What the server says about itself: that it is up, and what it answers to. */
export function aboutRoutes(server: Server, { version, bookKind }: RouteContext): void {
  const tags = ["about"];

  server.get(
    "/api/health",
    {
      schema: {
        tags,
        summary: "That the program is up, its version, and the kind of its book",
        response: {
          200: envelopeOf(
            z.object({
              program: z.literal("bitterend"),
              version: z.string(),
              book: z.object({ kind: z.string() }),
            }),
          ),
          ...failures,
        },
      },
    },
    async (_request, reply) =>
      reply.send(envelope({ program: "bitterend", version, book: { kind: bookKind } })),
  );

  server.get(
    "/api/openapi.json",
    {
      serializerCompiler: () => (data: unknown) => JSON.stringify(data),
      schema: {
        tags,
        summary: "This description, as an OpenAPI 3.1 document",
        response: { 200: z.record(z.string(), z.unknown()), ...failures },
      },
    },
    async (_request, reply) => reply.send(openApiOf(server)),
  );

  server.get(
    "/api",
    {
      helmet: styledPageHeaders(createHash("sha256").update(styleOfApiPage).digest("base64")),
      schema: {
        tags,
        summary: "This description, as a page to read",
        response: { 200: { content: { "text/html": { schema: z.string() } } }, ...failures },
      },
    },
    async (_request, reply) => reply.type("text/html; charset=utf-8").send(renderApiPage(openApiOf(server))),
  );
}
