// npm run bench:peers: installs what the benchmark measures against, from Debian and npm, and says what is missing.
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { root } from "./setup.mjs";

const debian = [
  "r-base-core",
  "r-cran-data.table",
  "r-cran-survival",
  "r-cran-boot",
  "r-cran-coin",
  "r-cran-exactranktests",
  "r-cran-lme4",
  "r-cran-lmertest",
  "python3-numpy",
  "python3-scipy",
  "python3-pandas",
  "python3-statsmodels",
  "gcc",
  "libc6-dev",
];
const runs = (command, args, options = {}) =>
  spawnSync(command, args, { stdio: "inherit", ...options }).status === 0;
const isInstalled = (name) =>
  spawnSync("dpkg-query", ["-s", name], { encoding: "utf8" }).stdout?.includes("ok installed") === true;

const wanted = debian.filter((name) => !isInstalled(name));
if (wanted.length > 0) {
  const isRoot = process.getuid?.() === 0;
  const apt = (...args) => (isRoot ? runs("apt-get", args) : runs("sudo", ["-n", "apt-get", ...args]));
  if (!apt("install", "-y", "--no-install-recommends", ...wanted)) apt("update");
  if (wanted.some((name) => !isInstalled(name))) apt("install", "-y", "--no-install-recommends", ...wanted);
}
const libraries = runs("npm", ["install", "--no-fund", "--no-audit", "--no-package-lock"], {
  cwd: join(root, "bench"),
});
const missing = [
  ...debian.filter((name) => !isInstalled(name)),
  ...(libraries ? [] : ["the libraries of bench/package.json"]),
];
for (const name of missing) process.stdout.write(`missing: ${name}\n`);
if (missing.length === 0) process.stdout.write("All that the benchmark measures against is there.\n");
process.exitCode = missing.length === 0 ? 0 : 1;
