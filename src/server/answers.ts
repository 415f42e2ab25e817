import type { FastifyReply } from "fastify";
import type { Problem, ProblemCode, Result, Warning } from "../problem/mod.ts";

/** What every success looks like: the value, with its doubts. */
export type Envelope<T> = { readonly value: T; readonly warnings: readonly Warning[] };

/** Answers with a use case's result: its value under `status`, or its problems under the status that fits them. */
export function answer<T>(reply: FastifyReply, result: Result<T>, status = 200): FastifyReply {
  return result.ok
    ? reply.code(status).send(envelope(result.value, result.warnings))
    : failAs(reply, result.problems);
}

/** Answers with problems under the status that fits them. */
export function failAs(reply: FastifyReply, problems: readonly Problem[]): FastifyReply {
  return fail(reply, statusOf(problems), ...problems);
}

/** Answers with problems; the one shape of every failure. */
export function fail(reply: FastifyReply, status: number, ...problems: readonly Problem[]): FastifyReply {
  return reply.code(status).type("application/json; charset=utf-8").send({ problems });
}

/** Wraps a value that cannot be refused. */
export function envelope<T>(value: T, warnings: readonly Warning[] = []): Envelope<T> {
  return { value, warnings };
}

/**
 * The HTTP status of a refusal: 404 missing, 409 changed meanwhile, in use or taken, 413 too large, 5xx where the book
 * itself cannot be worked with, otherwise 400. The first problem that has a status of its own decides.
 */
export function statusOf(problems: readonly Problem[]): number {
  for (const { code } of problems) {
    const status = statuses[code];
    if (status !== undefined) return status;
  }
  return 400;
}

const statuses: Partial<Record<ProblemCode, number>> = {
  BOOK_NOT_FOUND: 404,
  BOOK_CHANGED: 409,
  BOOK_IN_USE: 409,
  BOOK_TAKEN: 409,
  BOOK_ROWS_TAKEN: 409,
  BOOK_ELSEWHERE: 409,
  BUNDLE_KNOWN: 409,
  BUNDLE_TOO_LARGE: 413,
  BOOK_LOCKED: 503,
  BOOK_FULL: 507,
  BOOK_UNWRITABLE: 500,
  BOOK_DAMAGED: 500,
  SERVER_TOO_LARGE: 413,
};
