import helmet from "@fastify/helmet";
import multipart from "@fastify/multipart";
import fastify, { type FastifyInstance } from "fastify";
import { serializerCompiler } from "fastify-type-provider-zod";
import type { App } from "../app/mod.ts";
import { maxRecordingBytes } from "../trace/mod.ts";
import { checkRequest } from "./check-request.ts";
import { failBeforeHttp, failBeforeRouting, failInOneShape, type OnBug } from "./failures.ts";
import { guard } from "./guard.ts";
import { appHeaders } from "./headers.ts";
import { describeRoutes } from "./open-api.ts";
import { aboutRoutes } from "./routes/about.ts";
import { bundleRoutes } from "./routes/bundles.ts";
import { calculationRoutes } from "./routes/calculations.ts";
import { figureRoutes } from "./routes/figures.ts";
import { pictureRoutes } from "./routes/pictures.ts";
import { planRoutes } from "./routes/plan.ts";
import { readingRoutes } from "./routes/readings.ts";
import { recordingRoutes } from "./routes/recordings.ts";
import { recordRoutes } from "./routes/records.ts";
import { rigRoutes } from "./routes/rigs.ts";
import type { RouteContext, Server } from "./routes/routes.ts";
import { seriesRoutes } from "./routes/series.ts";
import { spliceRoutes } from "./routes/splice.ts";
import { tellRoutes } from "./routes/tell.ts";
import { serveWebApp } from "./web-app.ts";

export type ServerOptions = {
  readonly app: App;
  /** The folder of the built web app; where it is missing the API answers all the same. */
  readonly webRoot: string;
  readonly version: string;
  /** What the book lies in, for /api/health: "sqlite". */
  readonly bookKind?: string;
  /** Host names beside localhost and 127.0.0.1 to which the server answers. */
  readonly allowedHosts?: readonly string[];
  /** A larger recording is refused; the limit of the trace part where none is given. */
  readonly maxRecordingBytes?: number;
  /** Told of each fault of our own; the answer itself says nothing of it. */
  readonly onBug?: OnBug;
};

/** A JSON body with the longest notes that any record takes fits in many times over. */
const maxJsonBytes = 4 * 1024 * 1024;

/**
 * The server, not yet listening: the HTTP API over the use cases, and the web app's files. Safe by default: it answers
 * to its own host names, takes changes from its own pages only, and gives every answer a strict content policy.
 *
 * @example
 * const server = buildServer({ app, webRoot: "dist/web", version: "1.0.0" });
 * const answer = await server.inject({ url: "/api/health", headers: { host: "localhost" } });
 * answer.statusCode // 200
 */
export function buildServer(options: ServerOptions): FastifyInstance {
  const server: Server = fastify({
    bodyLimit: maxJsonBytes,
    // Host headers are judged by the guard, a missing one as well, so that its refusal has the shape of all others.
    http: { requireHostHeader: false },
    frameworkErrors: failBeforeRouting,
    clientErrorHandler: failBeforeHttp,
    routerOptions: { maxParamLength: 200 },
    // Zod's schemas check requests and answers. Fastify's own checkers, a tenth of a second to load, stay away; the
    // option's types know only those.
    schemaController: {
      compilersFactory: {
        buildValidator: () => checkRequest as never,
        buildSerializer: () => serializerCompiler as never,
      },
    },
  });
  // Without this a form of any page could post plain text; JSON and multipart are all that is taken.
  server.removeContentTypeParser("text/plain");

  failInOneShape(server, options.onBug ?? (() => {}));
  server.register(helmet, appHeaders);
  server.after(() => {
    guard(server, options.allowedHosts ?? []);
    server.addHook("onRequest", (_request, reply, pass) => {
      reply.header("cache-control", "no-store");
      pass();
    });
  });
  server.register(multipart);

  const routes: Route[] = [];
  server.addHook("onRoute", ({ method, url }) => {
    routes.push({ methods: [method].flat(), pattern: patternOf(url) });
  });
  describeRoutes(server, options.version);
  const context: RouteContext = {
    app: options.app,
    version: options.version,
    bookKind: options.bookKind ?? "sqlite",
    maxRecordingBytes: options.maxRecordingBytes ?? maxRecordingBytes,
  };
  server.after(() => {
    for (const addRoutes of [
      recordRoutes,
      seriesRoutes,
      bundleRoutes,
      planRoutes,
      recordingRoutes,
      readingRoutes,
      pictureRoutes,
      figureRoutes,
      calculationRoutes,
      spliceRoutes,
      tellRoutes,
      rigRoutes,
      aboutRoutes,
    ])
      addRoutes(server, context);
    serveWebApp(server, options.webRoot, (path) => methodsAt(path, routes));
  });
  return server;
}

type Route = { readonly methods: readonly string[]; readonly pattern: RegExp };

function patternOf(url: string): RegExp {
  return new RegExp(`^${url.replace(/[.*+?^${}()|[\]\\]/g, "\\$&").replace(/:\w+/g, "[^/]+")}$`);
}

/** The methods that an address takes, for the refusal of another. */
function methodsAt(path: string, routes: readonly Route[]): readonly string[] {
  return [...new Set(routes.filter(({ pattern }) => pattern.test(path)).flatMap(({ methods }) => methods))];
}
