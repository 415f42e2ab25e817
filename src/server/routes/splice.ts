import { z } from "zod";
import { builtInRecipes, cutSheetFields, nestFields, recordKinds } from "../../app/mod.ts";
import { answer, envelope, failAs } from "../answers.ts";
import { reportHeaders } from "../headers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { answerIsNotChecked, type RouteContext, type Server } from "./routes.ts";

const tags = ["splice"];
const listed = envelopeOf(z.array(z.record(z.string(), z.unknown())));
const page = { content: { "text/html": { schema: z.string() } } };

/** Recipes, what was learned, cut sheets and spools. */
export function spliceRoutes(server: Server, { app }: RouteContext): void {
  const get = <T>(
    path: string,
    summary: string,
    run: (id: string) => Promise<T>,
    params = path.includes(":id"),
  ) =>
    server.get(
      path,
      {
        serializerCompiler: answerIsNotChecked,
        schema: {
          tags,
          summary,
          ...(params ? { params: idParams } : {}),
          response: { 200: listed, ...failures },
        },
      },
      async (request, reply) =>
        answer(
          reply,
          (await run((request.params as { id?: string }).id ?? "")) as Parameters<typeof answer>[1],
        ),
    );
  server.get(
    "/api/built-in-recipes",
    {
      schema: {
        tags,
        summary: "The recipes that come with the program",
        response: {
          200: envelopeOf(z.array(z.object({ id: z.string(), fields: recordKinds.recipe }))),
          ...failures,
        },
      },
    },
    async (_request, reply) => reply.send(envelope(builtInRecipes)),
  );
  get("/api/recipes/:id/versions", "What a recipe said at each of its revisions", (id) =>
    app.recipeVersions(id),
  );
  get("/api/learned-numbers", "What the book's specimens say of each rope's and recipe's numbers", () =>
    app.learned(),
  );
  get("/api/spools", "What is left of each spool", () => app.spools());
  get("/api/series/:id/recipes", "Recipes and ropes of a series side by side", (id) =>
    app.recipesCompared(id),
  );

  server.get(
    "/api/series/:id/cut-sheet",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags,
        summary: "What to cut and where to mark, as data",
        params: idParams,
        querystring: z.object({ all: z.literal("1").exactOptional() }),
        response: { 200: envelopeOf(z.record(z.string(), z.unknown())), ...failures },
      },
    },
    async ({ params, query }, reply) =>
      answer(reply, await app.cutSheet(params.id, { all: query.all === "1" })),
  );

  server.get(
    "/series/:id/cut-sheet",
    {
      helmet: reportHeaders,
      schema: {
        tags,
        summary: "The cut sheet as a page to print",
        params: idParams,
        querystring: z.object({
          paper: cutSheetFields.shape.paper.unwrap().exactOptional(),
          all: z.literal("1").exactOptional(),
        }),
        response: { 200: page, ...failures },
      },
    },
    async ({ params, query, headers, protocol }, reply) => {
      const { paper, all } = query;
      const sheet = await app.cutSheetPage(params.id, {
        all: all === "1",
        ...(paper === undefined ? {} : { paper }),
        // The guard has let this host pass: it is where the book answers whoever prints.
        ...(headers.host === undefined ? {} : { linkBase: `${protocol}://${headers.host}` }),
      });
      if (!sheet.ok) return failAs(reply, sheet.problems);
      return reply.type("text/html; charset=utf-8").send(sheet.value);
    },
  );

  server.post(
    "/api/series/:id/nesting",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags,
        summary: "The open cuts of a series on the spools at hand, with least waste",
        params: idParams,
        body: nestFields,
        response: { 200: listed, ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.nestCuts(params.id, body)),
  );
}
