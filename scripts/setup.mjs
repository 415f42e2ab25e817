// Makes a fresh clone ready: installs what the lock file names and builds what the sources say, each only when needed.
// Node's own modules only, since nothing else is there before it has run.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = dirname(dirname(fileURLToPath(import.meta.url)));
const say = (text) => process.stderr.write(`${text}\n`);

/** Installs the packages when node_modules is missing or the lock file is another than the one installed. */
export function ensureInstalled() {
  const stamp = join(root, "node_modules", ".bitterend-lock");
  const wanted = createHash("sha256")
    .update(readFileSync(join(root, "package-lock.json")))
    .digest("hex");
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === wanted) return;
  const first = !existsSync(join(root, "node_modules"));
  say(
    first
      ? "Installing the packages (the first time takes a minute or two) ..."
      : "The lock file changed: installing the packages again ...",
  );
  run(npm(), ["ci", "--no-fund", "--no-audit", "--loglevel=error"], {
    env: { ...process.env, ...nodeHeaders() },
  });
  writeFileSync(stamp, wanted);
}

/** Builds into dist when the sources are other than the ones last built. */
export async function ensureBuilt() {
  const stamp = join(root, "dist", ".built");
  const wanted = fingerprint();
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === wanted) return;
  say("Building ...");
  const started = performance.now();
  const { build } = await import("./build.mjs");
  await build();
  writeFileSync(stamp, wanted);
  say(`Built in ${((performance.now() - started) / 1000).toFixed(1)} s.`);
}

/** Runs a command with its output shown; ends this process with its code where it fails. */
export function run(command, args, options = {}) {
  const done = spawnSync(command, args, { cwd: root, stdio: "inherit", ...options });
  if (done.status === 0) return;
  say(`${[command, ...args].join(" ")} failed${done.error === undefined ? "" : `: ${done.error.message}`}.`);
  process.exit(done.status ?? 1);
}

function npm() {
  return process.platform === "win32" ? "npm.cmd" : "npm";
}

// SQLite's binding is compiled where no ready binary can be fetched; the compiler then needs Node's headers, which a
// system's Node brings along under its own prefix. Where they are not there the installer fetches them itself.
function nodeHeaders() {
  const prefix = dirname(dirname(process.execPath));
  return existsSync(join(prefix, "include", "node", "node.h")) ? { npm_config_nodedir: prefix } : {};
}

// Names, sizes and times of all that goes into the build: a changed, added or deleted file changes it.
function fingerprint() {
  const hash = createHash("sha256");
  const add = (path) => {
    const { size, mtimeMs } = statSync(path);
    hash.update(`${path} ${size} ${mtimeMs}\n`);
  };
  const walk = (folder) => {
    for (const entry of readdirSync(folder, { withFileTypes: true })) {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) walk(path);
      else if (!entry.name.endsWith(".test.ts")) add(path);
    }
  };
  walk(join(root, "src"));
  add(join(root, "scripts", "build.mjs"));
  add(join(root, "package-lock.json"));
  add(join(root, "package.json"));
  return hash.digest("hex");
}
