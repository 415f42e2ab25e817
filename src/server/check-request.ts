import type { FastifySchemaCompiler } from "fastify";
import { z } from "zod";
import { checkInput } from "../app/mod.ts";
import type { Problem } from "../problem/mod.ts";

/** Carries the problems of a request from fastify's check of it to the answer. */
export class RefusedInput extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super("The request does not fit its schema.");
    this.name = "RefusedInput";
    this.problems = problems;
  }
}

/** Checks the parts of a request as the use cases check their input, so that both speak of faults in the same words. */
export const checkRequest: FastifySchemaCompiler<unknown> = ({ schema }) => checkBy(schema as z.ZodType);

/**
 * For bodies whose content the use case checks: the route's schema documents the body, this looser one is held to it, and
 * one place, the use case, finds fault with the rest. Everything else of the request is checked by its own schema.
 */
export function bodyCheckedAs(loose: z.ZodType): FastifySchemaCompiler<unknown> {
  return (route) => (route.httpPart === "body" ? checkBy(loose) : checkRequest(route));
}

/** The query goes to the use case, which finds fault with it, with its numbers read: it is checked once. */
export const queryIsCheckedByTheApp: FastifySchemaCompiler<unknown> = (route) =>
  route.httpPart === "querystring" ? numbersIn : checkRequest(route);

/** The body goes to the use case as it came. */
export const bodyIsCheckedByTheApp = bodyCheckedAs(z.unknown());

function numbersIn(query: Readonly<Record<string, unknown>>) {
  const read = (value: unknown) =>
    typeof value === "string" && /^-?\d{1,15}$/.test(value) ? Number(value) : value;
  return { value: Object.fromEntries(Object.entries(query).map(([name, value]) => [name, read(value)])) };
}

function checkBy(schema: z.ZodType) {
  return (data: unknown) => {
    const checked = checkInput(schema, data);
    return checked.ok ? { value: checked.value } : { error: new RefusedInput(checked.problems) };
  };
}
