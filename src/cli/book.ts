import { homedir } from "node:os";
import { join, resolve } from "node:path";
import type { App } from "../app/mod.ts";
import { ok, type Result } from "../problem/mod.ts";

type Surroundings = {
  readonly platform: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly home: string;
};

/**
 * Where the book lies: where the option says, otherwise where BITTEREND_BOOK says, otherwise in the folder that the
 * system keeps for a user's data.
 *
 * @example
 * bookPath(undefined, { platform: "linux", env: {}, home: "/home/kim" })
 * // "/home/kim/.local/share/bitterend/book.sqlite"
 */
export function bookPath(
  option: string | undefined,
  { platform, env, home }: Surroundings = { platform: process.platform, env: process.env, home: homedir() },
): string {
  const named = option ?? (env["BITTEREND_BOOK"] || undefined);
  return named === undefined
    ? join(dataFolder(platform, env, home), "bitterend", "book.sqlite")
    : resolve(named);
}

/** Opens a book that is there, for one command; `close` it when done. */
export async function openBook(
  option: string | undefined,
): Promise<Result<{ readonly app: App; readonly close: () => Promise<void> }>> {
  // The store and the use cases bring the heavy libraries with them; only commands that need a book pay for them.
  const [{ openSqliteBook }, { createApp }, { nodeEffects }] = await Promise.all([
    import("../store/mod.ts"),
    import("../app/mod.ts"),
    import("../app/node/mod.ts"),
  ]);
  const store = await openSqliteBook(bookPath(option), { create: false });
  if (!store.ok) return store;
  return ok({ app: createApp(nodeEffects(store.value)), close: () => store.value.close() });
}

function dataFolder(platform: string, env: Surroundings["env"], home: string): string {
  if (platform === "darwin") return join(home, "Library", "Application Support");
  if (platform === "win32") return env["APPDATA"] ?? join(home, "AppData", "Roaming");
  // The XDG base directory specification: an unset or empty variable means the default, a relative path is ignored.
  const named = env["XDG_DATA_HOME"] ?? "";
  return named.startsWith("/") ? named : join(home, ".local", "share");
}
