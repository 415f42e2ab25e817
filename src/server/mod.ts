/**
 * The HTTP door: the API over the use cases, with its own OpenAPI document, and the web app's files.
 *
 * @example
 * const server = buildServer({ app, webRoot: "dist/web", version: "1.0.0" });
 * await server.inject({ url: "/api/health", headers: { host: "localhost" } });
 */
export { buildServer, type ServerOptions } from "./build-server.ts";
export { type ServedBook, type ServeOptions, serveBook } from "./main.ts";
export { defaultPort, type ListenOptions, type RunningServer, startServer } from "./start-server.ts";
