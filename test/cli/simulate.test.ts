import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import type { RecordingTruth } from "../../src/trace/mod.ts";
import { bundleCli, makeFolder, runCli } from "./run.ts";

// `bitterend simulate` as a process: recordings with their truth, which `bitterend read` can read.

const cli = bundleCli();
const folder = makeFolder();
afterAll(() => cli.remove());

const run = (...args: string[]) => runCli(cli.script, args);

type Written = { file: string; truthFile: string; pulls: string[]; faults: string[] };

describe("simulate", () => {
  test("writes as many recordings as asked, each with its truth, and the same ones again", async () => {
    const [once, twice] = [join(folder.path, "once"), join(folder.path, "twice")];
    const { code, json, err } = await run(
      "simulate",
      "--seed",
      "40",
      "--count",
      "3",
      "--out",
      once,
      "--json",
    );
    expect([code, err]).toEqual([0, ""]);
    const written = json<Written[]>();
    expect(written).toHaveLength(3);
    expect(readdirSync(once)).toHaveLength(6);
    await run("simulate", "--seed", "40", "--count", "3", "--out", twice);
    for (const [at, { file, truthFile, pulls }] of written.entries()) {
      expect(file).toContain(`simulated-${40 + at}`);
      const { truth } = JSON.parse(readFileSync(truthFile, "utf8")) as { truth: RecordingTruth };
      expect(truth.seed).toBe(40 + at);
      if (truth.isForce) expect(truth.pulls.map(({ outcome }) => outcome)).toEqual(pulls);
      for (const path of [file, truthFile])
        expect(readFileSync(path.replace(once, twice)).equals(readFileSync(path))).toBe(true);
    }
  });

  test("says what it wrote, and that the truth stands beside it", async () => {
    const { code, out } = await run("simulate", "--out", join(folder.path, "one"));
    expect(code).toBe(0);
    expect(out).toMatch(/simulated-1\.(csv|txt)/);
    expect(out).toContain(".json");
  });

  test("refuses a folder that is a file, in words", async () => {
    const file = join(folder.path, "taken");
    writeFileSync(file, "");
    const { code, out, err } = await run("simulate", "--out", file);
    expect([code, out]).toEqual([1, ""]);
    expect(err).toContain("[INPUT_FILE]");
  });

  test("wants whole numbers and a folder", async () => {
    expect(await run("simulate", "--seed", "x", "--out", "a")).toMatchObject({ code: 2, out: "" });
    expect(await run("simulate", "--count", "1.5", "--out", "a")).toMatchObject({ code: 2, out: "" });
    expect((await run("simulate")).err).toMatch(/required option '--out <folder>'/);
  });
});
