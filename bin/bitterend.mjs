#!/usr/bin/env node
// The command line. In a clone it first makes sure that what it runs is built from the sources beside it.
import { existsSync } from "node:fs";

if (existsSync(new URL("../src", import.meta.url))) {
  const { ensureBuilt, ensureInstalled } = await import("../scripts/setup.mjs");
  await ensureInstalled();
  await ensureBuilt();
}
await import("../dist/cli.js");
