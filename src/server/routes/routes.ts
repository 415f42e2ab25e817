import type { IncomingMessage, ServerResponse } from "node:http";
import type { FastifyBaseLogger, FastifyInstance, FastifyTypeProvider, RawServerDefault } from "fastify";
import type { z } from "zod";
import type { App } from "../../app/mod.ts";

/** Gives requests the types of their schemas. Answers get none: they are held to theirs when they are sent. */
interface RequestTypes extends FastifyTypeProvider {
  readonly validator: this["schema"] extends z.ZodType ? z.output<this["schema"]> : unknown;
  readonly serializer: unknown;
}

/** The server as routes see it. */
export type Server = FastifyInstance<
  RawServerDefault,
  IncomingMessage,
  ServerResponse,
  FastifyBaseLogger,
  RequestTypes
>;

/** What the routes are given. */
export type RouteContext = {
  readonly app: App;
  readonly version: string;
  readonly bookKind: string;
  readonly maxRecordingBytes: number;
};

/** For answers too large to be checked before each sending: the schema documents them, tests hold them to it. */
export const answerIsNotChecked = () => (data: unknown) => JSON.stringify(data);
