// npm run bench: our speed beside that of others, and beside C; see docs/performance.md. Bundles bench/ and runs it.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { ensureBuilt, ensureInstalled, root } from "./setup.mjs";

await ensureInstalled();
await ensureBuilt();
const esbuild = await import("esbuild");
const outdir = join(root, "node_modules/.cache/bitterend/bench");
await esbuild.build({
  entryPoints: {
    run: join(root, "bench/run.ts"),
    ours: join(root, "bench/ours/serve.ts"),
    soak: join(root, "bench/soak.ts"),
    chromium: join(root, "bench/chromium.ts"),
    "http-server": join(root, "bench/ours/http-server.ts"),
  },
  outdir,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  format: "esm",
  platform: "node",
  target: "node20",
  packages: "external",
  define: { __BITTEREND_VERSION__: '"bench"' },
  logLevel: "warning",
});
const args = process.argv.slice(2);
// What is not measured beside others has a program of its own.
const apart = { "--soak": "soak.mjs", "--chromium": "chromium.mjs" }[args[0]];
const program = join(outdir, apart ?? "run.mjs");
const { status } = spawnSync(process.execPath, [program, ...args.slice(apart === undefined ? 0 : 1)], {
  cwd: root,
  stdio: "inherit",
  env: {
    ...process.env,
    BITTEREND_DIST: process.env.BITTEREND_DIST ?? join(root, "dist"),
    BITTEREND_BENCH_OURS: join(outdir, "ours.mjs"),
  },
});
process.exitCode = status ?? 1;
