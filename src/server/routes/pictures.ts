import { z } from "zod";
import { answer } from "../answers.ts";
import { bodyIsCheckedByTheApp } from "../check-request.ts";
import { bytesHeaders, disposition } from "../headers.ts";
import { envelopeOf, failures, idParams } from "../schemas/common.ts";
import { pictureSubjectSchema, storedPictureSchema } from "../schemas/series.ts";
import { readText, readUpload, wanted } from "../uploads.ts";
import { asBuffer } from "./recordings.ts";
import type { RouteContext, Server } from "./routes.ts";

/** A photograph off a telephone has 3 to 12 MB; this leaves room for those off a camera. */
const maxPictureBytes = 32 * 1024 * 1024;
const tags = ["pictures"];

/** Photographs of a pull, a specimen or a series. */
export function pictureRoutes(server: Server, { app }: RouteContext): void {
  server.post(
    "/api/pictures",
    {
      validatorCompiler: bodyIsCheckedByTheApp,
      schema: {
        tags,
        summary: "Add a picture",
        consumes: ["multipart/form-data"],
        body: z.object({
          subjectKind: pictureSubjectSchema.shape.kind,
          subjectId: pictureSubjectSchema.shape.id,
          caption: z.string().exactOptional(),
          file: z.file(),
        }),
        response: { 201: envelopeOf(storedPictureSchema), ...failures },
      },
    },
    async (request, reply) => {
      const form = await readUpload(request, { maxBytes: maxPictureBytes });
      if (!form.ok) return answer(reply, form);
      const kind = wanted(
        "subjectKind",
        readText(form.value, "subjectKind", pictureSubjectSchema.shape.kind),
      );
      if (!kind.ok) return answer(reply, kind);
      const id = wanted("subjectId", readText(form.value, "subjectId", pictureSubjectSchema.shape.id));
      if (!id.ok) return answer(reply, id);
      const caption = readText(form.value, "caption", z.string());
      if (!caption.ok) return answer(reply, caption);
      const added = await app.addPicture(
        { kind: kind.value, id: id.value },
        form.value.fileName,
        Buffer.concat(form.value.bytes),
        caption.value ?? "",
      );
      return answer(reply, added, 201);
    },
  );

  server.get(
    "/api/pictures/:id/bytes",
    {
      helmet: bytesHeaders,
      schema: {
        tags,
        summary: "The picture itself",
        params: idParams,
        response: { 200: { content: { "image/*": { schema: z.file() } } }, ...failures },
      },
    },
    async ({ params }, reply) => {
      const found = await app.picture(params.id);
      if (!found.ok) return answer(reply, found);
      return reply
        .header("content-disposition", disposition("inline", found.value.picture.fileName))
        .header("cache-control", "private, max-age=31536000, immutable")
        .type(found.value.picture.mediaType)
        .send(asBuffer(found.value.bytes));
    },
  );

  server.delete(
    "/api/pictures/:id",
    {
      schema: {
        tags,
        summary: "Remove a picture",
        params: idParams,
        response: { 200: envelopeOf(z.null()), ...failures },
      },
    },
    async ({ params }, reply) => answer(reply, await app.removePicture(params.id)),
  );
}
