import { z } from "zod";
import { layoutFields } from "../../app/mod.ts";
import { layoutHeadBytes, type TraceWindow, windowToBytes } from "../../trace/mod.ts";
import { answer, failAs } from "../answers.ts";
import { bodyIsCheckedByTheApp, queryIsCheckedByTheApp } from "../check-request.ts";
import { bytesHeaders, disposition } from "../headers.ts";
import { envelopeOf, failures, idSchema, sha256Params } from "../schemas/common.ts";
import {
  layoutHintsSchema,
  proposedLayoutSchema,
  readingSchema,
  storedRecordingSchema,
  traceWindowSchema,
} from "../schemas/readings.ts";
import { importedSchema } from "../schemas/series.ts";
import { goneSignal, readJson, readText, readUpload, wanted } from "../uploads.ts";
import { answerIsNotChecked, type RouteContext, type Server } from "./routes.ts";

const upload = {
  validatorCompiler: bodyIsCheckedByTheApp,
  serializerCompiler: answerIsNotChecked,
};
const tags = ["recordings"];

/** A logger's file: how it would be read, what it says, keeping it, and looking at what was kept. */
export function recordingRoutes(server: Server, { app, maxRecordingBytes }: RouteContext): void {
  server.post(
    "/api/layout-proposals",
    {
      ...upload,
      schema: {
        tags,
        summary: "Propose how to read a file, with reasons and open questions",
        description: `Only the head of the file is needed: its first ${layoutHeadBytes} bytes.`,
        consumes: ["multipart/form-data"],
        body: z.object({
          hints: layoutHintsSchema.exactOptional(),
          totalBytes: z
            .int()
            .exactOptional()
            .meta({ description: "The file's size where only its head is sent." }),
          file: z.file(),
        }),
        response: { 200: envelopeOf(proposedLayoutSchema), ...failures },
      },
    },
    async (request, reply) => {
      const form = await readUpload(request, { maxBytes: maxRecordingBytes, keepBytes: layoutHeadBytes });
      if (!form.ok) return answer(reply, form);
      const hints = readJson(form.value, "hints", layoutHintsSchema);
      if (!hints.ok) return answer(reply, hints);
      const totalBytes = readJson(form.value, "totalBytes", z.int().min(0));
      if (!totalBytes.ok) return answer(reply, totalBytes);
      return answer(
        reply,
        await app.proposeLayout(Buffer.concat(form.value.bytes), {
          fileName: form.value.fileName,
          totalBytes: totalBytes.value ?? form.value.sizeBytes,
          ...(hints.value === undefined ? {} : { hints: hints.value }),
        }),
      );
    },
  );

  server.post(
    "/api/readings",
    {
      ...upload,
      schema: {
        tags,
        summary: "Read a file; nothing is stored",
        consumes: ["multipart/form-data"],
        body: z.object({ layout: layoutFields, file: z.file() }),
        response: { 200: envelopeOf(readingSchema), ...failures },
      },
    },
    async (request, reply) => {
      const gone = goneSignal(reply);
      const form = await readUpload(request, { maxBytes: maxRecordingBytes });
      if (!form.ok) return answer(reply, form);
      const layout = wanted("layout", readJson(form.value, "layout", layoutFields));
      if (!layout.ok) return answer(reply, layout);
      return answer(reply, await app.readFile(form.value.bytes, layout.value, gone));
    },
  );

  server.post(
    "/api/recordings",
    {
      ...upload,
      schema: {
        tags,
        summary: "Keep a recording in a series, with a pull for each that was read",
        description: "Answers 201 when it was kept, 200 when these very bytes were in the book before.",
        consumes: ["multipart/form-data"],
        body: z.object({
          seriesId: idSchema,
          layout: layoutFields,
          saveLayoutAs: z.string().exactOptional().meta({ description: "Keeps the layout under this name." }),
          benchId: idSchema.exactOptional(),
          file: z.file(),
        }),
        response: { 201: envelopeOf(importedSchema), 200: envelopeOf(importedSchema), ...failures },
      },
    },
    async (request, reply) => {
      const gone = goneSignal(reply);
      const form = await readUpload(request, { maxBytes: maxRecordingBytes });
      if (!form.ok) return answer(reply, form);
      const { fileName, bytes } = form.value;
      const seriesId = wanted("seriesId", readText(form.value, "seriesId", idSchema));
      if (!seriesId.ok) return answer(reply, seriesId);
      const layout = wanted("layout", readJson(form.value, "layout", layoutFields));
      if (!layout.ok) return answer(reply, layout);
      const saveLayoutAs = readText(form.value, "saveLayoutAs", z.string());
      if (!saveLayoutAs.ok) return answer(reply, saveLayoutAs);
      const benchId = readText(form.value, "benchId", idSchema);
      if (!benchId.ok) return answer(reply, benchId);
      const imported = await app.importRecording({
        seriesId: seriesId.value,
        fileName,
        bytes,
        layout: layout.value,
        ...(saveLayoutAs.value === undefined ? {} : { saveLayoutAs: saveLayoutAs.value }),
        ...(benchId.value === undefined ? {} : { benchId: benchId.value }),
        signal: gone,
      });
      return answer(reply, imported, imported.ok && imported.value.known ? 200 : 201);
    },
  );

  server.get(
    "/api/recordings/:sha256",
    {
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags,
        summary: "A recording: what it is, how it was read, what was read",
        params: sha256Params,
        response: { 200: envelopeOf(storedRecordingSchema), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.getRecording(params.sha256)),
  );

  server.delete(
    "/api/recordings/:sha256",
    {
      schema: {
        tags,
        summary: "Take a recording out of the book, as after an import into the wrong series",
        description: "Refused with 409 while a pull rests on it.",
        params: sha256Params,
        response: { 200: envelopeOf(z.null()), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.removeRecording(params.sha256)),
  );

  server.get(
    "/api/recordings/:sha256/bytes",
    {
      helmet: bytesHeaders,
      schema: {
        tags,
        summary: "The bytes of a recording as they came",
        params: sha256Params,
        response: { 200: { content: { "application/octet-stream": { schema: z.file() } } }, ...failures },
      },
    },
    async ({ params }, reply) => {
      const recording = await app.getRecording(params.sha256);
      if (!recording.ok) return answer(reply, recording);
      const bytes = await app.recordingBytes(params.sha256);
      if (!bytes.ok) return failAs(reply, bytes.problems);
      return reply
        .header("content-disposition", disposition("attachment", recording.value.fileName))
        .header("cache-control", "private, max-age=31536000, immutable")
        .type(bytesType)
        .send(asBuffer(bytes.value));
    },
  );

  server.get(
    "/api/recordings/:sha256/trace",
    {
      validatorCompiler: queryIsCheckedByTheApp,
      serializerCompiler: answerIsNotChecked,
      schema: {
        tags,
        summary: "The extremes of the samples between two rows: what a picture of the trace needs",
        description:
          "Exact: no sample is left out. Spans are equal, save that those of a long recording begin with whole stretches of " +
          "256 rows where each holds 512 and more, and fromRow and toRow then say which rows were taken. " +
          "JSON, or bytes where application/octet-stream is asked for in Accept, as the page does; both hold the same " +
          'numbers. The bytes, all numbers little-endian: the letters "BEw1"; flags (1: x is time), fromRow, toRow, the ' +
          "count of spans and 0, whole numbers of 4 bytes; then x, lowN and highN one after another, a binary64 of 8 " +
          "bytes for each span, NaN in place of null.",
        params: sha256Params,
        querystring: z.object({
          fromRow: z.coerce.number().int().min(1).exactOptional(),
          toRow: z.coerce.number().int().min(1).exactOptional(),
          columns: z.coerce.number().int().min(1).max(20_000).exactOptional(),
        }),
        response: {
          200: {
            content: {
              "application/json": { schema: envelopeOf(traceWindowSchema) },
              "application/octet-stream": { schema: z.file() },
            },
          },
          ...failures,
        },
      },
    },
    async ({ params, query, headers }, reply) => {
      const window = await app.traceWindow(params.sha256, { ...query, columns: query.columns ?? 1000 });
      reply.header("vary", "accept");
      if (!window.ok || !wantsBytes(headers.accept)) return answer(reply, window);
      return reply.type(bytesType).send(bytesOf(window.value));
    },
  );
}

const bytesType = "application/octet-stream";

/** Whether bytes are asked for by name: a program that takes anything gets JSON. */
function wantsBytes(accept = ""): boolean {
  return accept.split(",").some((type) => type.split(";", 1)[0]?.trim().toLowerCase() === bytesType);
}

/** Windows are handed out again as long as they are kept, and their bytes with them. */
const bytesOfWindows = new WeakMap<TraceWindow, Buffer>();

function bytesOf(window: TraceWindow): Buffer {
  const known = bytesOfWindows.get(window);
  if (known !== undefined) return known;
  const bytes = asBuffer(windowToBytes(window));
  bytesOfWindows.set(window, bytes);
  return bytes;
}

/** The same bytes as the kind of array that fastify sends. */
export function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
