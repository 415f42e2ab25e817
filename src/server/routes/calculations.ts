import { z } from "zod";
import { type Calculation, calculations, findCalculation } from "../../app/mod.ts";
import { ok } from "../../problem/mod.ts";
import { answer, envelope, fail } from "../answers.ts";
import { bodyIsCheckedByTheApp } from "../check-request.ts";
import { envelopeOf, failures } from "../schemas/common.ts";
import { goneSignal } from "../uploads.ts";
import { answerIsNotChecked, type RouteContext, type Server } from "./routes.ts";

const tags = ["calculations"];

/** The registry of calculations: what there is, and each by its name. */
export function calculationRoutes(server: Server, { app }: RouteContext): void {
  server.get(
    "/api/calc",
    {
      schema: {
        tags,
        summary: "List the calculations, with what each takes and gives",
        response: { 200: envelopeOf(z.array(listedSchema)), ...failures },
      },
    },
    async (_request, reply) => reply.send(envelope(calculations.map(listed))),
  );

  for (const { name, answers, formula, source, input, output } of calculations)
    server.post(
      `/api/calc/${name}`,
      {
        validatorCompiler: bodyIsCheckedByTheApp,
        serializerCompiler: answerIsNotChecked,
        schema: {
          tags,
          summary: answers,
          description: `Formula: ${formula} Source: ${source}`,
          body: input,
          response: { 200: envelopeOf(withStamp(output)), ...failures },
        },
      },
      async ({ body }, reply) =>
        answer(reply, await app.calculate(name, body, { signal: goneSignal(reply) })),
    );

  // For a name that is not known: the registry itself says which was probably meant.
  server.post<{ Params: { name: string } }>(
    "/api/calc/:name",
    { schema: { hide: true } as object },
    async ({ params }, reply) => {
      const found = findCalculation(params.name);
      return found.ok ? answer(reply, ok(null)) : fail(reply, 404, ...found.problems);
    },
  );
}

const listedSchema = z.object({
  name: z.string(),
  version: z.string(),
  answers: z.string(),
  formula: z.string(),
  source: z.string(),
  example: z.unknown(),
  input: z.record(z.string(), z.unknown()).meta({ description: "JSON Schema, draft 2020-12" }),
  output: z.record(z.string(), z.unknown()).meta({ description: "JSON Schema, draft 2020-12" }),
});

function listed({ name, version, answers, formula, source, example, schemas }: Calculation) {
  return { name, version, answers, formula, source, example, ...schemas() };
}

/** Every answer says which calculation it comes from, and its version. */
function withStamp(output: z.ZodType): z.ZodType {
  if (!(output instanceof z.ZodObject)) throw new Error("A calculation gives an object.");
  return output.extend({ calculation: z.object({ name: z.string(), version: z.string() }) });
}
