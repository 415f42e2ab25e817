import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { buildSync } from "esbuild";
import { afterAll, beforeAll, expect, test } from "vitest";
import { parseFile } from "../../src/app/node/mod.ts";
import { openPieces } from "../../src/cli/files.ts";
import { type Layout, parseRecording } from "../../src/trace/mod.ts";
import { plainLayout } from "../setup/plain-layout.ts";

// A file that is large enough to be read by two threads, held to one thread's reading of the same bytes.

let folder = "";
let worker: URL | undefined;

beforeAll(() => {
  const caches = resolve("node_modules/.cache");
  mkdirSync(caches, { recursive: true });
  folder = mkdtempSync(join(caches, "bitterend-halves-"));
  const outfile = join(folder, "part-worker.cjs");
  buildSync({
    entryPoints: ["src/app/node/part-worker.ts"],
    outfile,
    bundle: true,
    format: "cjs",
    platform: "node",
    target: "node20",
    packages: "external",
    logLevel: "warning",
  });
  worker = pathToFileURL(outfile);
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

const layout: Layout = { ...plainLayout, columnNames: ["t", "N"], force: { column: 2, unit: "N" } };

const lines = Array.from(
  { length: 200_000 },
  (_, row) => `${(row / 1000).toFixed(3)},${((row * 7919) % 65_537) / 8}`,
);

test.each([
  ["all rows plain", undefined, undefined],
  ["a row that is none in the second half", 150_000, "150,over"],
  ["a row that is none in the first half", 100, "0.1,"],
])("two threads read what one does: %s", async (_, at, odd) => {
  const text = `t,N\n${(at === undefined ? lines : lines.with(at, odd ?? "")).join("\n")}\n`;
  const path = join(folder, "large.csv");
  writeFileSync(path, text);
  const opened = openPieces(path, 1024);
  if (!opened.ok || opened.value === undefined) throw new Error("not opened");
  const { sizeBytes, pieces } = opened.value;
  expect(sizeBytes).toBeGreaterThan(2_000_000);
  let given = 0;
  const onPiece = (piece: Uint8Array) => {
    given += piece.length;
  };
  const parsed = await parseFile({ path, sizeBytes, pieces }, layout, {
    onPiece,
    worker,
    largeBytes: 1_000_000,
  });
  expect(given).toBe(sizeBytes);
  const one = parseRecording(new TextEncoder().encode(text), layout);
  if (!parsed.ok || !one.ok) throw new Error("refused");
  // The columns of both threads lie in memory that both see; a second half that ends early is copied.
  if (odd === undefined) expect(parsed.value.trace.forceN.buffer).toBeInstanceOf(SharedArrayBuffer);
  const { trace, ...rest } = parsed.value;
  const { trace: oneTrace, ...oneRest } = one.value;
  expect([rest, parsed.warnings]).toEqual([oneRest, one.warnings]);
  expect(trace.missing).toBe(oneTrace.missing);
  for (const name of ["forceN", "timeS"] as const) {
    const [a, b] = [trace[name], oneTrace[name]].map((column) =>
      Buffer.from(Float64Array.from(column ?? []).buffer),
    );
    expect(b?.length).toBeGreaterThan(8 * 199_998);
    expect(a?.equals(b ?? Buffer.alloc(0)), name).toBe(true);
  }
});
