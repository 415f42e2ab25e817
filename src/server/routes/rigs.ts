import { z } from "zod";
import { choiceFields } from "../../app/mod.ts";
import { answer } from "../answers.ts";
import { bodyIsCheckedByTheApp } from "../check-request.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { assessedRigSchema, cellForUseSchema, connectorChoicesSchema } from "../schemas/rigs.ts";
import type { RouteContext, Server } from "./routes.ts";

const tags = ["use"];

/** What a finding means in use: rigs assessed, and connectors chosen. */
export function rigRoutes(server: Server, { app }: RouteContext): void {
  server.get(
    "/api/rigs/:id/assessment",
    {
      schema: {
        tags,
        summary: "In this rig, which part is the weakest, and with what margin?",
        description:
          "Forces by statics, strengths from the book's pulls or from ratings, with the scatter of few pulls carried " +
          "through. Nothing is called safe, and nothing here is for people.",
        params: idParams,
        response: { 200: envelopeOf(assessedRigSchema), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.assessRig(params.id)),
  );

  server.get(
    "/api/cells-for-use",
    {
      schema: {
        tags,
        summary: "What a part of a rig can rest on: every cell of the book that has a strength in it",
        response: { 200: envelopeOf(z.array(cellForUseSchema)), ...failures },
      },
    },
    async (_request, reply) => answer(reply, await app.cellsForUse()),
  );

  server.post(
    "/api/connector-choices",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags,
        summary: "Which connectors of the book could carry this load with the factor wanted?",
        body: choiceFields,
        response: { 200: envelopeOf(connectorChoicesSchema), ...failures },
      },
    },
    async ({ body }, reply) => answer(reply, await app.chooseConnectors(body)),
  );
}
