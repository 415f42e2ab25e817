import { readFromCache } from "./read-from-cache.ts";

// The entrance of the command line: `bitterend`.
const args = process.argv.slice(2);
if (args[0] !== "read" || !(await readFromCache(args))) {
  const { runAny } = await import("./run.ts");
  await runAny(args);
}
