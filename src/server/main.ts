import { createApp } from "../app/mod.ts";
import { nodeEffects } from "../app/node/mod.ts";
import { ok, type Result } from "../problem/mod.ts";
import { openSqliteBook } from "../store/mod.ts";
import { type ListenOptions, type RunningServer, startServer } from "./start-server.ts";
import { webAppIsThere } from "./web-app.ts";

export type ServeOptions = ListenOptions & {
  /** The book's file; made where it is missing. */
  readonly bookPath: string;
  readonly webRoot: string;
  readonly version: string;
  readonly allowedHosts: readonly string[];
  readonly onBug: (error: unknown, asked: string) => void;
};

export type ServedBook = RunningServer & {
  /** True where the book was new and now holds the demo series. */
  readonly demoLoaded: boolean;
  readonly webAppIsThere: boolean;
};

/**
 * The entrance of the server: opens the book, loads the demo series into a new one, and serves both doors, web app and
 * HTTP API. Closing closes the book last.
 */
export async function serveBook(options: ServeOptions): Promise<Result<ServedBook>> {
  const book = await openSqliteBook(options.bookPath, { create: true });
  if (!book.ok) return book;
  const app = createApp(nodeEffects(book.value));
  const closing = async <T extends Result<unknown>>(refused: T): Promise<T> => {
    await book.value.close();
    return refused;
  };
  const demo = await app.loadDemo();
  if (!demo.ok) return closing(demo);
  const server = await startServer({ ...options, app, bookKind: "sqlite" }, options);
  if (!server.ok) return closing(server);
  return ok({
    ...server.value,
    demoLoaded: demo.value,
    webAppIsThere: webAppIsThere(options.webRoot),
    close: async () => {
      await server.value.close();
      await book.value.close();
    },
  });
}
