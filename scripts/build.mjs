// Bundles the doors: dist/cli.js with its worker for Node, dist/web for the browser. Libraries for Node stay outside
// the bundle; code that only one command needs lies in a chunk of its own, so that a command starts fast. `read` has all
// that it needs in one file, with what V8 compiled of it.
import { spawnSync } from "node:child_process";
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { gzipSync } from "node:zlib";
import * as esbuild from "esbuild";
import { pastTheDoors } from "./past-the-doors.mjs";
import { root } from "./setup.mjs";

const { version, dependencies } = JSON.parse(readFileSync(join(root, "package.json"), "utf8"));
const define = { __BITTEREND_VERSION__: JSON.stringify(version) };

/** Builds all into `dist`, or into another folder from which Node finds the libraries. */
export async function build(dist = join(root, "dist")) {
  rmSync(dist, { recursive: true, force: true });
  mkdirSync(join(dist, "web"), { recursive: true });
  await Promise.all([buildNode(dist), buildRead(dist), buildWeb(join(dist, "web"))]);
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

/** The library that reads the command line loads `node:child_process` for subcommands that are programs; we have none. */
const childProcessWhenAsked = {
  name: "node:child_process when it is asked for",
  setup(build) {
    build.onResolve({ filter: /^node:child_process$/ }, ({ namespace }) =>
      namespace === "asked"
        ? { path: "node:child_process", external: true }
        : { path: "node:child_process", namespace: "asked" },
    );
    build.onLoad({ filter: /.*/, namespace: "asked" }, () => ({
      contents: `exports.spawn = (...args) => require("node:child_process").spawn(...args);`,
    }));
  },
};

/** `read` alone, and the code that V8 has compiled of it after reading a file; the thread that reads half of a large one. */
async function buildRead(outdir) {
  const outfile = join(outdir, "read.cjs");
  const common = {
    bundle: true,
    format: "cjs",
    platform: "node",
    target: "node20",
    // A script that is compiled by hand, as read.cjs is, has no import() of its own.
    supported: { "dynamic-import": false },
    external: Object.keys(dependencies).filter((name) => !["commander", "picocolors"].includes(name)),
    logLevel: "warning",
  };
  await esbuild.build({
    ...common,
    entryPoints: [join(root, "src/app/node/part-worker.ts")],
    outfile: join(outdir, "part-worker.cjs"),
    define,
  });
  await esbuild.build({
    ...common,
    entryPoints: [join(root, "src/cli/read-alone.ts")],
    outfile,
    plugins: [childProcessWhenAsked],
    // Names stay, for --debug.
    minifyWhitespace: true,
    minifySyntax: true,
    banner: { js: "(function (require, module, bundleUrl) {" },
    footer: { js: "})" },
    define: { ...define, "import.meta.url": "bundleUrl" },
  });
  const { status, stderr } = spawnSync(process.execPath, [join(root, "scripts/compile-read.mjs"), outfile], {
    encoding: "utf8",
  });
  if (status !== 0) throw new Error(`The code of read.cjs could not be compiled: ${stderr}`);
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
    plugins: [pastTheDoors],
    metafile: true,
  };
  // The worker is bundled by itself: in one bundle the pages would carry the whole reader that only it calls.
  const worker = { ...common, entryPoints: { "read-worker": join(root, "src/web/read-worker.ts") } };
  const [{ metafile }] = await Promise.all([esbuild.build(pages), esbuild.build(worker)]);
  const index = readFileSync(join(root, "src/web/index.html"), "utf8");
  const wanted = preloads(metafile.outputs, outdir);
  writeFileSync(join(outdir, "index.html"), index.replace("</head>", `${wanted}</head>`));
  compress(outdir);
}

/** What main.js needs at once is named in the page, so that it is asked for together with main.js and not after it. */
function preloads(outputs, outdir) {
  const nameOf = (path) => relative(outdir, path).replaceAll("\\", "/");
  const byName = new Map(Object.entries(outputs).map(([path, output]) => [nameOf(path), output]));
  const wanted = new Set(["main.js"]);
  for (const name of wanted)
    for (const { path, kind } of byName.get(name).imports)
      if (kind === "import-statement") wanted.add(nameOf(path));
  wanted.delete("main.js");
  return [...wanted].map((name) => `<link rel="modulepreload" href="/${name}">\n`).join("");
}

/** Packs text beside itself for the way over a network: gzip, which browsers take also where the page has no certificate. */
function compress(folder) {
  for (const entry of readdirSync(folder, { recursive: true })) {
    if (!/\.(js|css|html)$/.test(entry)) continue;
    const bytes = readFileSync(join(folder, entry));
    // Less than this fits into one packet as it is.
    if (bytes.length > 1400) writeFileSync(join(folder, `${entry}.gz`), gzipSync(bytes, { level: 9 }));
  }
}

if (process.argv[1] === import.meta.filename) await build(process.argv[2]);
