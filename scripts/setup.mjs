// Makes a fresh clone ready: installs what the lock file names and builds what the sources say, each only when needed.
// Node's own modules only, since nothing else is there before it has run.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = dirname(dirname(fileURLToPath(import.meta.url)));
const say = (text) => process.stderr.write(`${text}\n`);

/** Installs the packages when they are missing or older than the lock file. */
export async function ensureInstalled() {
  if (isInstalled()) return;
  await alone(() => {
    if (isInstalled()) return;
    const first = !existsSync(join(root, "node_modules"));
    say(
      first
        ? "Installing the packages (the first time takes a minute or two) ..."
        : "The lock file changed: installing the packages again ...",
    );
    run(npm(), ["ci", "--no-fund", "--no-audit", "--loglevel=error"], {
      env: { ...process.env, ...nodeHeaders() },
    });
  });
}

/** Builds into dist when the sources are other than the ones last built. */
export async function ensureBuilt() {
  const stamp = join(root, "dist", ".built");
  const isBuilt = () => existsSync(stamp) && readFileSync(stamp, "utf8") === fingerprint();
  if (isBuilt()) return;
  await alone(async () => {
    if (isBuilt()) return;
    say("Building ...");
    const started = performance.now();
    const wanted = fingerprint();
    const { build } = await import("./build.mjs");
    await build();
    writeFileSync(stamp, wanted);
    say(`Built in ${((performance.now() - started) / 1000).toFixed(1)} s.`);
  });
}

// npm writes node_modules/.package-lock.json last of all, so a newer one says that an installation came to its end.
function isInstalled() {
  const installed = join(root, "node_modules", ".package-lock.json");
  return (
    existsSync(installed) && statSync(installed).mtimeMs >= statSync(join(root, "package-lock.json")).mtimeMs
  );
}

// Two commands started at once must not install or build into the same folder: the second waits for the first, unless
// that one is no longer there.
async function alone(work) {
  const lock = join(root, ".setup-lock");
  for (;;) {
    try {
      writeFileSync(lock, String(process.pid), { flag: "wx" });
      break;
    } catch (error) {
      if (error.code !== "EEXIST") throw error;
      if (!isRunning(Number(readFileSync(lock, "utf8")))) rmSync(lock, { force: true });
      else await new Promise((resolve) => setTimeout(resolve, 200));
    }
  }
  const release = () => rmSync(lock, { force: true });
  process.once("exit", release);
  try {
    await work();
  } finally {
    release();
    process.off("exit", release);
  }
}

function isRunning(pid) {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error.code === "EPERM";
  }
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

// Names, sizes and times of all that goes into the build: a changed, added or deleted file changes it, and another Node,
// for which code was not compiled.
function fingerprint() {
  const hash = createHash("sha256").update(`${process.version}\n`);
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
  for (const script of ["build.mjs", "compile-read.mjs", "past-the-doors.mjs"])
    add(join(root, "scripts", script));
  add(join(root, "package-lock.json"));
  add(join(root, "package.json"));
  return hash.digest("hex");
}
