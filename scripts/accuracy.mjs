// npm run accuracy: how near readings come to the truth, on simulated recordings. Bundles test/accuracy/run.ts and runs
// it; what is asked, and what the targets mean, is in docs/accuracy.md.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import * as esbuild from "esbuild";
import { root } from "./setup.mjs";

const outfile = join(root, "node_modules/.cache/bitterend/accuracy.mjs");
await esbuild.build({
  entryPoints: [join(root, "test/accuracy/run.ts")],
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
  stdio: "inherit",
});
process.exitCode = status ?? 1;
