// Bundles the doors: dist/cli.js with its worker for Node, dist/web for the browser. Libraries for Node stay outside
// the bundle; code that only one command needs lies in a chunk of its own, so that reading a file starts fast.
import { copyFileSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import * as esbuild from "esbuild";
import { root } from "./setup.mjs";

const { version } = JSON.parse(readFileSync(join(root, "package.json"), "utf8"));
const define = { __BITTEREND_VERSION__: JSON.stringify(version) };

/** Builds all into `dist`. */
export async function build(dist = join(root, "dist")) {
  rmSync(dist, { recursive: true, force: true });
  mkdirSync(join(dist, "web"), { recursive: true });
  await Promise.all([buildNode(dist), buildWeb(join(dist, "web"))]);
}

function buildNode(outdir) {
  return esbuild.build({
    entryPoints: {
      cli: join(root, "src/cli/main.ts"),
      "read-worker": join(root, "src/app/node/read-worker.ts"),
    },
    outdir,
    bundle: true,
    splitting: true,
    chunkNames: "chunks/[name]-[hash]",
    format: "esm",
    platform: "node",
    target: "node20",
    packages: "external",
    sourcemap: true,
    define,
    logLevel: "warning",
  });
}

async function buildWeb(outdir) {
  const common = {
    outdir,
    bundle: true,
    format: "esm",
    platform: "browser",
    target: "es2022",
    minify: true,
    sourcemap: true,
    define,
    logLevel: "warning",
  };
  const pages = {
    ...common,
    entryPoints: { main: join(root, "src/web/main.tsx") },
    splitting: true,
    chunkNames: "chunks/[name]-[hash]",
    assetNames: "assets/[name]-[hash]",
    jsx: "automatic",
    jsxImportSource: "preact",
  };
  // The worker is bundled by itself: in one bundle the pages would carry the whole reader that only it calls.
  const worker = { ...common, entryPoints: { "read-worker": join(root, "src/web/read-worker.ts") } };
  await Promise.all([esbuild.build(pages), esbuild.build(worker)]);
  copyFileSync(join(root, "src/web/index.html"), join(outdir, "index.html"));
}

if (process.argv[1] === import.meta.filename) await build();
