// npm run coverage: how often each bound and interval holds what it claims, by simulation with known truth. Bundles
// test/coverage/run.ts and runs it; it writes docs/methods/coverage.md and the table beside it.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import * as esbuild from "esbuild";
import { root } from "./setup.mjs";

const outfile = join(root, "node_modules/.cache/bitterend/coverage.mjs");
await esbuild.build({
  entryPoints: [join(root, "test/coverage/run.ts")],
  outfile,
  bundle: true,
  format: "esm",
  platform: "node",
  target: "node20",
  packages: "external",
  sourcemap: true,
  logLevel: "warning",
});
const { status } = spawnSync(process.execPath, ["--enable-source-maps", outfile, ...process.argv.slice(2)], {
  cwd: root,
  stdio: "inherit",
});
process.exitCode = status ?? 1;
