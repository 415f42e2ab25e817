import type { FastifyReply, FastifyRequest } from "fastify";
import type { z } from "zod";
import { checkInput } from "../app/mod.ts";
import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";

/** A form as it came: its text fields, and the one file in the chunks in which it arrived. */
export type Upload = {
  readonly fields: ReadonlyMap<string, unknown>;
  readonly fileName: string;
  readonly bytes: readonly Uint8Array[];
  /** Size of the whole file, also where only its head was kept. */
  readonly sizeBytes: number;
};

export type UploadLimits = {
  /** A larger file is refused as soon as it is seen to be larger. */
  readonly maxBytes: number;
  /** Keep only so many bytes of the file's head and count the rest. */
  readonly keepBytes?: number;
};

/** Text fields larger than this are no layout of any logger. */
const maxFieldBytes = 2 * 1024 * 1024;
/** What the form may add around its file: boundaries, headers and fields. */
const maxFormBytes = 4 * maxFieldBytes;

/**
 * Reads a multipart form with one file named "file", its parts in any order. Holds no more than the file's limit: what
 * is announced as larger is refused unread, and what turns out larger is dropped at once; Node then discards the rest as
 * it comes in, so that the sender gets to read the refusal.
 */
export async function readUpload(request: FastifyRequest, limits: UploadLimits): Promise<Result<Upload>> {
  const announced = Number(request.headers["content-length"] ?? 0);
  if (announced > limits.maxBytes + maxFormBytes) return refuse(tooLarge(announced, limits.maxBytes));

  try {
    return await readParts(request, limits);
  } catch (error) {
    // What the form's reader throws without a status is about bytes that are no form: a boundary missing, an end cut off.
    if (error instanceof Error && !("statusCode" in error))
      return refuse({ code: "SERVER_UPLOAD", message: `The uploaded form is broken: ${error.message}.` });
    throw error;
  }
}

/** A text field of the form, read by a schema; undefined where it was left out. */
export function readText<T>(upload: Upload, field: string, schema: z.ZodType<T>): Result<T | undefined> {
  const value = upload.fields.get(field);
  return value === undefined || value === "" ? ok(undefined) : readBy(schema, field, value);
}

/** A JSON field of the form, read by a schema; undefined where it was left out. */
export function readJson<T>(upload: Upload, field: string, schema: z.ZodType<T>): Result<T | undefined> {
  const value = upload.fields.get(field);
  if (value === undefined) return ok(undefined);
  if (typeof value !== "string") return readBy(schema, field, value);
  try {
    return readBy(schema, field, JSON.parse(value));
  } catch {
    return refuse({
      code: "INPUT_JSON",
      message: `The field "${field}" is not JSON.`,
      where: { field },
      found: value.slice(0, 200),
    });
  }
}

/** Refuses a field that was left out. */
export function wanted<T>(field: string, read: Result<T | undefined>): Result<T> {
  if (!read.ok) return read;
  return read.value === undefined
    ? refuse({ code: "INPUT_FIELD", message: `The form needs the field "${field}".`, where: { field } })
    : ok(read.value, read.warnings);
}

/** Raised when the sender goes away before the answer is out, so that the work for it stops. */
export function goneSignal(reply: FastifyReply): AbortSignal {
  const gone = new AbortController();
  reply.raw.once("close", () => {
    if (!reply.raw.writableFinished) gone.abort();
  });
  return gone.signal;
}

async function readParts(request: FastifyRequest, limits: UploadLimits): Promise<Result<Upload>> {
  const fields = new Map<string, unknown>();
  let file: Omit<Upload, "fields"> | undefined;
  const parts = request.parts({
    limits: { fileSize: Number.POSITIVE_INFINITY, fieldSize: maxFieldBytes, files: 8, fields: 20 },
  });
  for await (const part of parts) {
    if (part.type === "file" && part.fieldname === "file" && file === undefined) {
      const read = await readFile(part.file, limits);
      if (!read.ok) return read;
      file = { ...read.value, fileName: part.filename };
    } else if (part.type === "file") {
      // A browser sends a JSON field given as a blob as if it were a file.
      const read = await readFile(part.file, { maxBytes: maxFieldBytes });
      if (!read.ok) return refuse(fieldTooLarge(part.fieldname));
      fields.set(part.fieldname, Buffer.concat(read.value.bytes).toString("utf8"));
    } else {
      if (part.valueTruncated) return refuse(fieldTooLarge(part.fieldname));
      fields.set(part.fieldname, part.value);
    }
  }
  if (file === undefined)
    return refuse({
      code: "SERVER_UPLOAD",
      message: 'The form holds no file under the name "file".',
      where: { field: "file" },
    });
  return ok({ fields, ...file });
}

function readBy<T>(schema: z.ZodType<T>, field: string, value: unknown): Result<T> {
  const checked = checkInput(schema, value);
  if (checked.ok) return checked;
  const within = checked.problems.map(
    (problem): Problem => ({
      ...problem,
      where: { field: [field, problem.where?.field ?? ""].join(".").replace(/\.(?=$|\[)/, "") },
    }),
  );
  return { ok: false, problems: within };
}

async function readFile(
  stream: AsyncIterable<Uint8Array>,
  { maxBytes, keepBytes = maxBytes }: UploadLimits,
): Promise<Result<Pick<Upload, "bytes" | "sizeBytes">>> {
  const bytes: Uint8Array[] = [];
  let sizeBytes = 0;
  for await (const chunk of stream) {
    const room = keepBytes - sizeBytes;
    sizeBytes += chunk.length;
    if (sizeBytes > maxBytes) return refuse(tooLarge(sizeBytes, maxBytes));
    if (room > 0) bytes.push(chunk.length > room ? chunk.subarray(0, room) : chunk);
  }
  return ok({ bytes, sizeBytes });
}

function tooLarge(found: number, maxBytes: number): Problem {
  return {
    code: "SERVER_TOO_LARGE",
    message: "The file is too large; nothing of it was kept.",
    where: { field: "file" },
    found: `${found} bytes or more`,
    expected: `at most ${maxBytes} bytes`,
    wayOut: "Split the recording in the logger's program, or leave out the hours between the pulls.",
  };
}

function fieldTooLarge(field: string): Problem {
  return {
    code: "SERVER_UPLOAD",
    message: `The field "${field}" is too long.`,
    where: { field },
    expected: `at most ${maxFieldBytes} bytes`,
  };
}
