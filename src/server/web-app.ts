import { existsSync } from "node:fs";
import { join, relative } from "node:path";
import fastifyStatic from "@fastify/static";
import type { FastifyInstance, FastifyReply, FastifyRequest } from "fastify";
import { fail } from "./answers.ts";
import { failWithoutRoute, pathOf } from "./failures.ts";

/** True where the pages of the web app were built into this folder. */
export function webAppIsThere(webRoot: string): boolean {
  return existsSync(join(webRoot, "index.html"));
}

/**
 * Serves the web app's files, and its index.html for every address that is the app's own business: those that name
 * neither the API, nor a report, nor a file. `allowedAt` gives the methods of the routes that match a path.
 */
export function serveWebApp(
  server: FastifyInstance,
  webRoot: string,
  allowedAt: (path: string) => readonly string[],
): void {
  const isThere = webAppIsThere(webRoot);
  if (isThere) {
    server.get("/", { schema: { hide: true } as object }, (_request, reply) => reply.sendFile("index.html"));
    server.register(fastifyStatic, {
      root: webRoot,
      // One route for each file that is there at the start: nothing else of the disk can be asked for.
      wildcard: false,
      index: false,
      // The build packs what is worth it; who cannot unpack it gets the file itself.
      preCompressed: true,
      globIgnore: ["**/*.gz"],
      cacheControl: false,
      setHeaders: (reply, path) => reply.header("cache-control", cachingOf(relative(webRoot, path))),
    });
  }
  server.setNotFoundHandler((request, reply) => {
    if (!isPageOfTheApp(request)) return failWithoutRoute(request, reply, allowedAt(pathOf(request)));
    return isThere ? reply.sendFile("index.html") : failWithoutPages(reply);
  });
}

/** Chunks and assets carry a hash of their content in their name and never change; everything else is asked for anew. */
function cachingOf(path: string): string {
  return /^(chunks|assets)[\\/]/.test(path) ? "public, max-age=31536000, immutable" : "no-cache";
}

function isPageOfTheApp(request: FastifyRequest): boolean {
  const path = pathOf(request);
  const isRead = request.method === "GET" || request.method === "HEAD";
  const namesAFile = /\.[^/]*$/.test(path);
  return isRead && !namesAFile && !/^\/(api|reports|chunks|assets)(\/|$)/.test(path);
}

function failWithoutPages(reply: FastifyReply): FastifyReply {
  return fail(reply, 503, {
    code: "SERVER_WEB_MISSING",
    message: "The pages of the web app are missing; the HTTP API answers all the same.",
    wayOut: "Run npm run build, then start the program again.",
  });
}
