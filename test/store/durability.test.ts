import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openSqliteBook } from "../../src/store/mod.ts";
import { sha256Of } from "./examples.ts";

const here = dirname(fileURLToPath(import.meta.url));
// Below node_modules, so that the bundle finds the packages that are not in it.
const bundle = join(here, `../../node_modules/.cache/bitterend-test/child-${process.pid}.mjs`);
let folder: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "bitterend-durability-"));
  await build({
    entryPoints: [join(here, "child.ts")],
    outfile: bundle,
    bundle: true,
    platform: "node",
    format: "esm",
    packages: "external",
    define: { __BITTEREND_VERSION__: '"0.0.0-test"' },
    logLevel: "warning",
  });
});
afterAll(() => {
  rmSync(folder, { recursive: true });
  rmSync(bundle);
});

function start(what: string, path: string): ChildProcess {
  return spawn(process.execPath, [bundle, what, path], { stdio: ["ignore", "pipe", "inherit"] });
}

/** All that the process printed, once it has ended; `onLines` may end it. */
function linesOf(child: ChildProcess, onLines: (count: number) => void = () => {}): Promise<string[]> {
  return new Promise((resolve, reject) => {
    let text = "";
    child.stdout?.on("data", (piece: Buffer) => {
      text += piece.toString();
      onLines(text.split("\n").length - 1);
    });
    child.on("error", reject);
    child.on("close", () => resolve(text.split("\n").slice(0, -1)));
  });
}

describe("durability", () => {
  it.each([1, 7, 16])(
    "has everything that was acknowledged before a kill -9, and nothing by halves (after %i writes)",
    async (writes) => {
      const path = join(folder, `killed-after-${writes}.book`);
      const child = start("write-until-killed", path);
      const acknowledged = await linesOf(child, (count) => {
        if (count >= writes) child.kill("SIGKILL");
      });
      expect(child.signalCode).toBe("SIGKILL");
      expect(acknowledged.length).toBeGreaterThanOrEqual(writes);

      const opened = await openSqliteBook(path);
      if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
      const book = opened.value;
      const stored = (await book.read.listRecordings()).map(({ sha256 }) => sha256);
      expect(stored.slice(0, acknowledged.length)).toEqual(acknowledged);
      // One more may have been stored and killed before it was said; never more.
      expect(stored.length).toBeLessThanOrEqual(acknowledged.length + 1);
      for (const sha256 of stored) {
        const bytes = await book.read.recordingBytes(sha256);
        expect(sha256Of(bytes ?? new Uint8Array())).toBe(sha256);
        expect(await book.read.list("pull", { recordingSha256: sha256 })).toHaveLength(1);
      }
      expect(await book.read.list("pull")).toHaveLength(stored.length);
      await book.close();
    },
    60_000,
  );

  it("lets several processes make one new book and write to it, losing nothing", async () => {
    const path = join(folder, "shared.book");
    const children = [1, 2, 3].map(() => start("count-to-50", path));
    const lines = await Promise.all(children.map((child) => linesOf(child)));
    expect(lines).toEqual([["done"], ["done"], ["done"]]);
    const opened = await openSqliteBook(path);
    if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
    expect(await opened.value.read.getFact("count")).toBe("150");
    await opened.value.close();
  }, 60_000);
});
