import { createRequire } from "node:module";

// Required, not imported: an import of `node:fs` loads all that it has, streams as well.
const require = createRequire(import.meta.url);
const { readFileSync } = require("node:fs") as typeof import("node:fs");
const { Script } = require("node:vm") as typeof import("node:vm");

/**
 * Runs `read` by a bundle of its own (read-alone.ts) with the code that the build compiled of it. What it buys: half of
 * what `read` takes for a usual file is loading and compiling (docs/performance.md).
 *
 * V8 looks at the compiled code before it takes it, and compiles anew where it is of other sources or another engine.
 * @returns false where there is no such bundle; then nothing was done.
 */
export async function readFromCache(args: readonly string[]): Promise<boolean> {
  const filename = `${import.meta.dirname}/read.cjs`;
  let source: string;
  let cachedData: Buffer | undefined;
  try {
    source = readFileSync(filename, "latin1");
    cachedData = readFileSync(`${import.meta.dirname}/read.cache`);
  } catch {
    return false;
  }
  const script = new Script(source, { filename, cachedData });
  const load = script.runInThisContext() as (
    require: NodeJS.Require,
    module: { exports: typeof import("./read-alone.ts") },
    bundleUrl: string,
  ) => void;
  const module = { exports: {} as typeof import("./read-alone.ts") };
  load(require, module, import.meta.url);
  await module.exports.runRead(args);
  return true;
}
