// `npm start`: makes the clone ready, then starts the program as `bitterend start` does.
import { ensureBuilt, ensureInstalled } from "./setup.mjs";

await ensureInstalled();
await ensureBuilt();
process.argv.splice(2, 0, "start");
await import("../dist/cli.js");
