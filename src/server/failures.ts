import type { Socket } from "node:net";
import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from "fastify";
import { StoreTrouble } from "../app/mod.ts";
import type { Problem } from "../problem/mod.ts";
import { fail, failAs } from "./answers.ts";
import { RefusedInput } from "./check-request.ts";

/** Told of each fault of our own, with what was asked. */
export type OnBug = (error: unknown, asked: string) => void;

/** Turns everything that can go wrong around a route into problems in the one shape. */
export function failInOneShape(server: FastifyInstance, onBug: OnBug): void {
  server.setErrorHandler((error: FastifyError | RefusedInput | StoreTrouble, request, reply) => {
    if (error instanceof RefusedInput) return failAs(reply, error.problems);
    if (error instanceof StoreTrouble) return failAs(reply, [error.problem]);
    const known = knownFailure(error, request);
    if (known !== undefined) return fail(reply, known.status, ...known.problems);
    onBug(error, `${request.method} ${request.url}`);
    return fail(reply, 500, ourFault);
  });
}

/** For what fastify refuses before it has found a route: an address that is not one. */
export function failBeforeRouting(error: FastifyError, _request: FastifyRequest, reply: FastifyReply): void {
  reply.header("x-content-type-options", "nosniff");
  fail(reply, 400, malformed(error.message));
}

/** For bytes that are not HTTP at all; Node hands over the bare socket. */
export function failBeforeHttp(error: Error & { code?: string }, socket: Socket): void {
  if (error.code === "ECONNRESET" || !socket.writable) {
    socket.destroy();
    return;
  }
  const tooLarge = error.code === "HPE_HEADER_OVERFLOW";
  const body = JSON.stringify({
    problems: [malformed(tooLarge ? "its headers are too long" : "it is not HTTP")],
  });
  socket.end(
    `HTTP/1.1 ${tooLarge ? "431 Request Header Fields Too Large" : "400 Bad Request"}\r\n` +
      "Content-Type: application/json; charset=utf-8\r\nX-Content-Type-Options: nosniff\r\n" +
      `Content-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`,
  );
}

/** Says that there is nothing at an address, or not for this method; which, the known routes decide. */
export function failWithoutRoute(request: FastifyRequest, reply: FastifyReply, allowed: readonly string[]) {
  const path = pathOf(request);
  if (allowed.length === 0)
    return fail(reply, 404, {
      code: "SERVER_NOT_FOUND",
      message: "There is nothing at this address.",
      found: path,
      wayOut: "The page /api lists what this server answers to.",
    });
  return fail(reply.header("allow", allowed.join(", ")), 405, {
    code: "SERVER_METHOD",
    message: `This address does not take ${request.method}.`,
    found: `${request.method} ${path}`,
    expected: allowed.join(" or "),
  });
}

/** The path that was asked for, without its query. */
export function pathOf(request: FastifyRequest): string {
  return request.url.split("?", 1)[0] ?? "/";
}

const ourFault: Problem = {
  code: "SERVER_BUG",
  message: "The program has a fault and could not do this. Nothing was half-stored.",
  wayOut: "The window in which the program was started says more; please report what stands there.",
};

type Known = { readonly status: number; readonly problems: readonly Problem[] };

function knownFailure(error: FastifyError, request: FastifyRequest): Known | undefined {
  const status = error.statusCode ?? 500;
  if (status >= 500) return undefined;
  return { status: statusFor(error, status), problems: [problemFor(error, request)] };
}

function statusFor(error: FastifyError, status: number): number {
  // The multipart reader says 406 or 413 of forms that are merely not what was asked for.
  if (error.code === "FST_INVALID_MULTIPART_CONTENT_TYPE") return 415;
  return isUploadError(error) ? 400 : status;
}

function isUploadError({ code = "" }: FastifyError): boolean {
  return /^FST_(PARTS|FILES|FIELDS)_LIMIT$|^FST_(PROTO_|MP_|INVALID_JSON_FIELD)/.test(code);
}

function problemFor(error: FastifyError, request: FastifyRequest): Problem {
  if (isUploadError(error))
    return { code: "SERVER_UPLOAD", message: `The uploaded form cannot be used: ${error.message}.` };
  switch (error.code) {
    case "FST_ERR_CTP_BODY_TOO_LARGE":
      return {
        code: "SERVER_TOO_LARGE",
        message: "The body of the request is too large.",
        ...(request.headers["content-length"] === undefined
          ? {}
          : { found: `${request.headers["content-length"]} bytes` }),
      };
    case "FST_ERR_CTP_INVALID_MEDIA_TYPE":
    case "FST_INVALID_MULTIPART_CONTENT_TYPE":
      return {
        code: "SERVER_MEDIA_TYPE",
        message: "This address does not take a body of that type.",
        found: request.headers["content-type"] ?? "no content type",
        expected: "application/json, or multipart/form-data for files",
      };
    case "FST_ERR_CTP_EMPTY_JSON_BODY":
      return { code: "INPUT_JSON", message: "The body is empty.", expected: "JSON" };
    default:
      return error instanceof SyntaxError || error.code === "FST_ERR_CTP_INVALID_JSON_BODY"
        ? { code: "INPUT_JSON", message: `The body is not JSON: ${error.message}.`, expected: "JSON" }
        : malformed(error.message);
  }
}

function malformed(why: string): Problem {
  return { code: "SERVER_REQUEST", message: `The request is malformed: ${why}.` };
}
