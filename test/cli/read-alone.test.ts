import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { makeFolder, runCli } from "./run.ts";

// `read` has a bundle of its own with compiled code; the whole command line, which takes over where that bundle is not
// there, is what it is held to.

const files = makeFolder();
let quick = "";
let whole = "";

beforeAll(() => {
  const caches = resolve("node_modules/.cache");
  mkdirSync(caches, { recursive: true });
  quick = mkdtempSync(join(caches, "bitterend-read-"));
  whole = `${quick}-whole`;
  const { status, stderr } = spawnSync(process.execPath, ["scripts/build.mjs", quick], { encoding: "utf8" });
  if (status !== 0) throw new Error(stderr);
  cpSync(quick, whole, { recursive: true });
  rmSync(join(whole, "read.cjs"));
}, 120_000);

afterAll(() => {
  for (const folder of [quick, whole]) rmSync(folder, { recursive: true, force: true });
});

const rows = Array.from({ length: 400 }, (_, row) => {
  const force = row < 100 ? 20 + (row % 3) : row < 300 ? 20 + (row - 100) * 60 : 15 + (row % 4);
  return `${(row / 100).toFixed(2)},${force.toFixed(1)}`;
});
const good = files.write("good.csv", `time (s),force (N)\n${rows.join("\n")}\n`);
const bad = files.write(
  "bad.csv",
  `time (s),force (N)\n${rows.slice(0, 50).join("\n")}\n0.5,12 kN\n${rows.slice(51).join("\n")}\n`,
);

async function both(args: readonly string[], input?: string) {
  const options = input === undefined ? {} : { input };
  const [one, other] = [
    await runCli(join(quick, "cli.js"), args, options),
    await runCli(join(whole, "cli.js"), args, options),
  ];
  return [one, other].map(({ code, out, err }) => ({ code, out, err }));
}

describe("read by its own bundle says what the whole command line says", () => {
  test.each([
    ["two files as JSON", ["read", good, bad, "--json"], 1],
    ["in words, with the reasons", ["read", good, "--why", "--force-unit", "lbf"], 0],
    ["a wrong option", ["read", good, "--forse-unit", "kN"], 2],
    ["its help", ["read", "--help"], 0],
  ] as const)(
    "%s",
    async (_, args, code) => {
      const [one, other] = await both(args);
      expect(one).toEqual(other);
      expect(one?.code).toBe(code);
      expect((one?.out ?? "") + (one?.err ?? "")).not.toBe("");
    },
    60_000,
  );

  test("from the standard input", async () => {
    const [one, other] = await both(["read", "-", "--json"], readFileSync(good, "utf8"));
    expect(one).toEqual(other);
    expect(JSON.parse(one?.out ?? "")).toMatchObject({ rows: 400, pulls: [{ index: 1 }] });
  }, 60_000);
});

test("compiled code of another engine, or none at all, is not taken", async () => {
  const said = (await runCli(join(quick, "cli.js"), ["read", good, "--json"])).out;
  const cache = join(quick, "read.cache");
  const compiled = readFileSync(cache);
  // The engine's version stands at the beginning.
  for (const other of [Buffer.alloc(0), Buffer.concat([Buffer.alloc(64, 7), compiled.subarray(64)])]) {
    writeFileSync(cache, other);
    expect(await runCli(join(quick, "cli.js"), ["read", good, "--json"])).toMatchObject({
      code: 0,
      out: said,
      err: "",
    });
  }
}, 60_000);
