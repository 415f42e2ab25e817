// Finds a Chromium for the browser tests, and installs one where there is none.
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { root, run } from "./setup.mjs";

const usualPlaces = [
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];

/** The path of a Chromium on this machine, or undefined. `BITTEREND_CHROMIUM` names one and is not doubted. */
export async function findBrowser() {
  const named = process.env.BITTEREND_CHROMIUM;
  if (named !== undefined) return named;
  const usual = usualPlaces.find((path) => existsSync(path));
  if (usual !== undefined) return usual;
  const { chromium } = await import("playwright-core");
  const own = chromium.executablePath();
  return own !== "" && existsSync(own) ? own : undefined;
}

/** The path of a Chromium; where there is none, Debian's package is installed as root, otherwise Playwright's own. */
export async function ensureBrowser() {
  const found = await findBrowser();
  if (found !== undefined) return found;
  const debianRoot = process.getuid?.() === 0 && spawnSync("apt-get", ["--version"]).status === 0;
  process.stderr.write("No Chromium found: installing one for the browser tests ...\n");
  if (debianRoot) {
    const quiet = {
      stdio: ["ignore", "ignore", "inherit"],
      env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
    };
    run("apt-get", ["update", "-qq"], quiet);
    run("apt-get", ["install", "-qq", "-y", "--no-install-recommends", "chromium"], quiet);
  } else {
    run(process.execPath, [join(root, "node_modules", "playwright-core", "cli.js"), "install", "chromium"]);
  }
  const installed = await findBrowser();
  if (installed === undefined)
    throw new Error("A Chromium was installed but is not found; name it with BITTEREND_CHROMIUM.");
  return installed;
}
