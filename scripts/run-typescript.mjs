// Runs a long check that is written in TypeScript: makes the clone ready, bundles test/NAME/run.ts and runs it in a
// process of its own with the arguments of this one.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { ensureInstalled, root } from "./setup.mjs";

/** Runs test/NAME/run.ts; this process ends with its exit code. */
export async function runTypescript(name) {
  await ensureInstalled();
  const esbuild = await import("esbuild");
  const outfile = join(root, "node_modules/.cache/bitterend", `${name}.mjs`);
  await esbuild.build({
    entryPoints: [join(root, "test", name, "run.ts")],
    outfile,
    bundle: true,
    format: "esm",
    platform: "node",
    target: "node20",
    packages: "external",
    sourcemap: true,
    logLevel: "warning",
  });
  const { status } = spawnSync(
    process.execPath,
    ["--enable-source-maps", outfile, ...process.argv.slice(2)],
    {
      cwd: root,
      stdio: "inherit",
    },
  );
  process.exitCode = status ?? 1;
}
