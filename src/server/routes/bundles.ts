import { z } from "zod";
import { maxBundleBytes, publishFields, withdrawalFields } from "../../app/mod.ts";
import { answer, failAs } from "../answers.ts";
import { bodyIsCheckedByTheApp } from "../check-request.ts";
import { bytesHeaders, disposition } from "../headers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { importedSeriesSchema, storedReportSchema, verificationSchema } from "../schemas/series.ts";
import { readText, readUpload } from "../uploads.ts";
import { asBuffer } from "./recordings.ts";
import { answerIsNotChecked, type RouteContext, type Server } from "./routes.ts";

const zip = "application/zip";
const zipPage = { content: { [zip]: { schema: z.file() } } };

/** Publishing and withdrawing, and the bundles by which a series goes to others and comes from them. */
export function bundleRoutes(server: Server, { app }: RouteContext): void {
  server.post(
    "/api/series/:id/reports",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags: ["reports"],
        summary: "Publish: freeze data, method versions and text under the next number",
        params: idParams,
        body: publishFields.nullish(),
        response: { 201: envelopeOf(storedReportSchema), ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.publishReport(params.id, body ?? {}), 201),
  );

  server.post(
    "/api/reports/:id/withdrawal",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags: ["reports"],
        summary: "Withdraw a published report: it stays readable and says so",
        params: idParams,
        body: withdrawalFields,
        response: { 200: envelopeOf(storedReportSchema), ...failures },
      },
    },
    async ({ params, body }, reply) => answer(reply, await app.withdrawReport(params.id, body)),
  );

  server.get(
    "/api/series/:id/bundle",
    {
      helmet: bytesHeaders,
      schema: {
        tags: ["bundles"],
        summary: "The series as it stands, as one data package (zip)",
        params: idParams,
        response: { 200: zipPage, ...failures },
      },
    },
    async ({ params }, reply) => {
      const made = await app.bundleOfSeries(params.id);
      if (!made.ok) return failAs(reply, made.problems);
      return reply
        .type(zip)
        .header("content-disposition", disposition("attachment", made.value.fileName))
        .send(asBuffer(made.value.bytes));
    },
  );

  server.get(
    "/api/reports/:id/bundle",
    {
      helmet: bytesHeaders,
      schema: {
        tags: ["bundles"],
        summary: "A published report with all that it rests on, as one data package (zip)",
        params: idParams,
        response: { 200: zipPage, ...failures },
      },
    },
    async ({ params }, reply) => {
      const made = await app.bundleOfReport(params.id);
      if (!made.ok) return failAs(reply, made.problems);
      return reply
        .type(zip)
        .header("content-disposition", disposition("attachment", made.value.fileName))
        .send(asBuffer(made.value.bytes));
    },
  );

  server.post(
    "/api/bundles",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags: ["bundles"],
        summary: "Take the series of a bundle into the book, all of it or nothing",
        description: "Answers 201 when it was taken in, 200 when this very content was in the book before.",
        consumes: ["multipart/form-data"],
        body: z.object({
          replace: z
            .enum(["yes", "no"])
            .exactOptional()
            .meta({ description: "yes: in the place of another revision of it that came before" }),
          file: z.file(),
        }),
        response: {
          201: envelopeOf(importedSeriesSchema),
          200: envelopeOf(importedSeriesSchema),
          ...failures,
        },
      },
    },
    async (request, reply) => {
      const form = await readUpload(request, { maxBytes: maxBundleBytes });
      if (!form.ok) return answer(reply, form);
      const replace = readText(form.value, "replace", z.enum(["yes", "no"]));
      if (!replace.ok) return answer(reply, replace);
      const imported = await app.importBundle({
        fileName: form.value.fileName,
        bytes: Buffer.concat(form.value.bytes),
        replace: replace.value === "yes",
      });
      return answer(reply, imported, imported.ok && !imported.value.known ? 201 : 200);
    },
  );

  server.post(
    "/api/bundles/verification",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags: ["bundles"],
        summary:
          "Calculate everything in a bundle again: the same numbers, or where they differ. Stores nothing",
        consumes: ["multipart/form-data"],
        body: z.object({ file: z.file() }),
        response: { 200: envelopeOf(verificationSchema), ...failures },
      },
    },
    async (request, reply) => {
      const form = await readUpload(request, { maxBytes: maxBundleBytes });
      if (!form.ok) return answer(reply, form);
      const { fileName, bytes } = form.value;
      return answer(reply, await app.verifyBundle({ fileName, bytes: Buffer.concat(bytes) }));
    },
  );
}
