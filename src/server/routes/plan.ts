import { z } from "zod";
import { makePlannedFields, planFields } from "../../app/mod.ts";
import { answer } from "../answers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { seriesPlanSchema } from "../schemas/plan.ts";
import { recordSchemas } from "../schemas/records.ts";
import type { RouteContext, Server } from "./routes.ts";

/** What a plan needs and can tell, and its specimens. */
export function planRoutes(server: Server, { app }: RouteContext): void {
  server.post(
    "/api/series/:id/plan",
    {
      schema: {
        tags: ["series"],
        summary: "How many pulls, which buries, in which order, what it takes; nothing is stored",
        params: idParams,
        body: planFields,
        response: { 200: envelopeOf(seriesPlanSchema), ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.plan(params.id, body)),
  );

  server.post(
    "/api/series/:id/planned-specimens",
    {
      schema: {
        tags: ["series"],
        summary: "Make the specimens that the plan still wants, in the drawn order: all or none",
        params: idParams,
        body: makePlannedFields,
        response: { 201: envelopeOf(z.array(recordSchemas.specimen)), ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.makePlanned(params.id, body), 201),
  );
}
