import { z } from "zod";
import { type RecordKind, recordKindNames, recordKinds } from "../../app/mod.ts";
import { answer, envelope } from "../answers.ts";
import { bodyCheckedAs, bodyIsCheckedByTheApp } from "../check-request.ts";
import { envelopeOf, failures, idParams, idSchema } from "../schemas/common.ts";
import { patchSchemaOf, recordSchemas } from "../schemas/records.ts";
import type { RouteContext, Server } from "./routes.ts";

/** Everything that a person fills in field by field: list, create, get, change and remove, the same for each kind. */
export function recordRoutes(server: Server, context: RouteContext): void {
  for (const kind of recordKindNames) routesOf(kind, server, context);
}

function routesOf(kind: RecordKind, server: Server, { app }: RouteContext): void {
  const path = `/api/records/${kind}`;
  const tags = ["records"];
  const one = envelopeOf(recordSchemas[kind]);
  const thing = kind.replace("-", " ");

  server.get(
    path,
    {
      schema: {
        tags,
        summary: `List: ${thing}`,
        querystring: z.object({ seriesId: idSchema.exactOptional() }),
        response: { 200: envelopeOf(z.array(recordSchemas[kind])), ...failures },
      },
    },
    async ({ query }, reply) => reply.send(envelope([...(await app.list(kind, query))]) as never),
  );

  server.post(
    path,
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags,
        summary: `Create: ${thing}`,
        body: recordKinds[kind],
        response: { 201: one, ...failures },
      },
    },
    async ({ body }, reply) => answer(reply, await app.create(kind, body), 201),
  );

  server.get(
    `${path}/:id`,
    { schema: { tags, summary: `Get: ${thing}`, params: idParams, response: { 200: one, ...failures } } },
    async ({ params }, reply) => answer(reply, await app.get(kind, params.id)),
  );

  server.patch(
    `${path}/:id`,
    {
      validatorCompiler: bodyCheckedAs(z.object({ revision: z.int().min(1), patch: z.unknown() })),
      schema: {
        tags,
        summary: `Change: ${thing}`,
        description:
          "Changes the given fields only; null takes an optional field away. Refused with 409 when the revision is no " +
          "longer the stored one: somebody changed it meanwhile.",
        params: idParams,
        body: patchSchemaOf(kind),
        response: { 200: one, ...failures },
      },
    },
    async ({ params, body }, reply) =>
      answer(reply, await app.change(kind, params.id, body.revision, body.patch)),
  );

  server.delete(
    `${path}/:id`,
    {
      schema: {
        tags,
        summary: `Remove: ${thing}`,
        description: "Refused with 409 while something else in the book rests on it.",
        params: idParams,
        response: { 200: envelopeOf(z.null()), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.remove(kind, params.id)),
  );
}
