import { z } from "zod";
import {
  correctionFields,
  layoutFields,
  pastedFields,
  pullsChangeFields,
  rereadFields,
  rowsFields,
} from "../../app/mod.ts";
import { answer } from "../answers.ts";
import { bodyCheckedAs, bodyIsCheckedByTheApp } from "../check-request.ts";
import { envelopeOf, failures, idParams, sha256Params } from "../schemas/common.ts";
import { patchSchemaOf, recordSchemas, storedPullSchema } from "../schemas/records.ts";
import { pastedCalibrationSchema, readOtherwiseSchema, rereadSchema } from "../schemas/series.ts";
import { answerIsNotChecked, type RouteContext, type Server } from "./routes.ts";

const revision = z.int().min(1);

/** What is read out of recordings: again, by another layout, with a cell's certificate, and corrected by a person. */
export function readingRoutes(server: Server, { app }: RouteContext): void {
  server.get(
    "/api/pulls/:id",
    {
      schema: {
        tags: ["recordings"],
        summary: "A pull with what was read for it, and what a person corrected",
        params: idParams,
        response: { 200: envelopeOf(storedPullSchema), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.getPull(params.id)),
  );

  server.patch(
    "/api/pulls",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags: ["recordings"],
        summary: "Change the same fields of several pulls, of all of them or of none",
        description:
          "As when a whole day's log was pulled on another bench: a recording that must be read again for it is read once " +
          "for all its pulls. Refused with 409 when one of the revisions is no longer the stored one.",
        body: z.object({
          pulls: pullsChangeFields.shape.pulls,
          patch: patchSchemaOf("pull").shape.patch,
        }),
        response: { 200: envelopeOf(z.array(recordSchemas.pull)), ...failures },
      },
    },
    async ({ body }, reply) => answer(reply, await app.changePulls(body)),
  );

  server.post(
    "/api/pulls/:id/overrides",
    {
      validatorCompiler: bodyCheckedAs(z.object({ revision, override: z.unknown() })),
      schema: {
        tags: ["recordings"],
        summary: "Correct the reading of a pull, beside what the machine read",
        description:
          "Move the boundary of two phases (fromRow: the row at which the later one starts, or the last row of the last " +
          "one), strike out or add a slip, or say that this is no pull but another load. Forces and times are taken from " +
          "the recording. Refused with 409 when the pull's revision is no longer the stored one.",
        params: idParams,
        body: z.object({ revision, override: correctionFields }),
        response: { 201: envelopeOf(storedPullSchema), ...failures },
      },
    },
    async ({ params, body }, reply) =>
      answer(reply, await app.override(params.id, body.revision, body.override), 201),
  );

  server.delete(
    "/api/pulls/:id/overrides/:number",
    {
      schema: {
        tags: ["recordings"],
        summary: "Take a correction back, by its number from 1",
        description: "Refused with 409 when the pull's revision is no longer the stored one.",
        params: idParams.extend({ number: z.coerce.number().int().min(1) }),
        body: z.object({ revision }),
        response: { 200: envelopeOf(storedPullSchema), ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.undo(params.id, body.revision, params.number)),
  );

  server.post(
    "/api/recordings/:sha256/pulls",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags: ["recordings"],
        summary: "Make a pull of rows that were not read as one, such as an other load",
        params: sha256Params,
        body: rowsFields,
        response: { 201: envelopeOf(storedPullSchema), ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.addPullOfRows(params.sha256, body), 201),
  );

  server.put(
    "/api/recordings/:sha256/layout",
    {
      validatorCompiler: bodyCheckedAs(z.object({ layout: z.unknown() })),
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags: ["recordings"],
        summary: "Read a recording by another layout",
        description:
          "Its pulls are kept where the recording still shows them; `changes` says what came out otherwise. Where it cannot " +
          "be read by this layout nothing is changed.",
        params: sha256Params,
        body: z.object({ layout: layoutFields }),
        response: { 200: envelopeOf(readOtherwiseSchema), ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.changeLayout(params.sha256, body.layout)),
  );

  server.post(
    "/api/reread",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags: ["recordings"],
        summary: "Read all recordings, or a series', again by the present method",
        description:
          "Says of each pull what changed, from what to what. With dryRun nothing is stored. Corrections and published " +
          "reports stay as they are.",
        body: rereadFields,
        response: { 200: envelopeOf(rereadSchema), ...failures },
      },
    },
    async ({ body }, reply) => answer(reply, await app.reread(body)),
  );

  server.post(
    "/api/calibration-points",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags: ["recordings"],
        summary: "Read the points of a load cell's certificate from pasted text; nothing is stored",
        description:
          'Two columns: the applied force and what the cell showed. The units stand in the header, as in "applied (kN)", ' +
          "or beside the text. The points then go into the load cell's calibrationPoints.",
        body: pastedFields,
        response: { 200: envelopeOf(pastedCalibrationSchema), ...failures },
      },
    },
    async ({ body }, reply) => answer(reply, app.readCalibration(body)),
  );
}
