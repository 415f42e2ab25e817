import { type ChildProcess, spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { buildSync } from "esbuild";

/** The command line bundled as the build does it, in a folder from which Node finds the libraries. */
export function bundleCli(): {
  readonly script: string;
  readonly webRoot: string;
  readonly remove: () => void;
} {
  const caches = resolve("node_modules/.cache");
  mkdirSync(caches, { recursive: true });
  const outdir = mkdtempSync(join(caches, "bitterend-cli-"));
  buildSync({
    entryPoints: { cli: "src/cli/main.ts", "read-worker": "src/app/node/read-worker.ts" },
    outdir,
    bundle: true,
    splitting: true,
    chunkNames: "chunks/[name]-[hash]",
    format: "esm",
    platform: "node",
    target: "node20",
    packages: "external",
    define: { __BITTEREND_VERSION__: '"1.2.3"' },
    logLevel: "warning",
  });
  return {
    script: join(outdir, "cli.js"),
    webRoot: join(outdir, "web"),
    remove: () => rmSync(outdir, { recursive: true, force: true }),
  };
}

export type Ran = {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
  /** The standard output read as JSON. */
  readonly json: <T>() => T;
};

export type RunOptions = {
  readonly input?: string | Uint8Array;
  readonly env?: Record<string, string>;
  readonly cwd?: string;
};

/** Starts the command line as a process of its own, with a home and a book that are nobody's. */
export function startCli(
  script: string,
  args: readonly string[],
  { env = {}, cwd }: RunOptions = {},
): ChildProcess {
  return spawn(process.execPath, [script, ...args], {
    env: { PATH: process.env["PATH"] ?? "", HOME: tmpdir(), NO_COLOR: "1", ...env },
    ...(cwd === undefined ? {} : { cwd }),
  });
}

/** Runs the command line to its end. */
export function runCli(script: string, args: readonly string[], options: RunOptions = {}): Promise<Ran> {
  return new Promise((resolveRun, reject) => {
    const child = startCli(script, args, options);
    let out = "";
    let err = "";
    child.stdout?.setEncoding("utf8").on("data", (text: string) => {
      out += text;
    });
    child.stderr?.setEncoding("utf8").on("data", (text: string) => {
      err += text;
    });
    child.on("error", reject);
    child.on("close", (code) => resolveRun({ code, out, err, json: <T>() => JSON.parse(out) as T }));
    // A program that refuses before it has read its input closes the pipe.
    child.stdin?.on("error", () => {});
    child.stdin?.end(options.input ?? "");
  });
}

/** A folder for one test file, with files written into it. */
export function makeFolder(): {
  readonly path: string;
  readonly write: (name: string, bytes: string | Uint8Array) => string;
} {
  const path = mkdtempSync(join(tmpdir(), "bitterend-cli-files-"));
  return {
    path,
    write: (name, bytes) => {
      const file = join(path, name);
      writeFileSync(file, bytes);
      return file;
    },
  };
}
