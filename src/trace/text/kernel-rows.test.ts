import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, it } from "vitest";
import { plainLayout } from "../../../test/setup/plain-layout.ts";
import type { Layout } from "../layout.ts";
import { createGrowingColumn } from "./growing.ts";
import { createKernelRows } from "./kernel-rows.ts";
import { parseRecording } from "./parse-recording.ts";

// The kernel against its twin, the general reader, on rows that look alike but for what was spoilt in them; the files of
// plain-rows.test.ts go through it as well.

const layout: Layout = {
  ...plainLayout,
  separator: ";",
  decimal: ",",
  columnNames: ["no", "t", "kN", "state", "mm"],
  time: { kind: "column", column: 2, format: "elapsed-ms" },
  force: { column: 3, unit: "kN" },
};
const withThree: Layout = { ...layout, displacement: { column: 5, unit: "mm" } };
const ofTwo: Layout = {
  ...layout,
  columnNames: ["t", "kN"],
  time: { kind: "column", column: 1, format: "epoch-us" },
  force: { column: 2, unit: "lbf" },
};

/** Rows whose widths and signs change now and then, as a logger's do: the numbers of digits say how. */
const rows = fc.record({
  count: fc.integer({ min: 1, max: 300 }),
  start: fc.constantFrom(0, 95, 99_990, 1_700_000_000_000_000),
  amplitude: fc.constantFrom(0.05, 3, 120, 4_000_000),
  decimals: fc.integer({ min: 0, max: 6 }),
  lineEnd: fc.constantFrom("\n", "\r\n"),
  spoilt: fc.array(fc.tuple(fc.nat(), fc.constantFrom(...'0;,."\r\n \t-+eEx#'.split(""), "\u00e9")), {
    maxLength: 4,
  }),
  pieces: fc.integer({ min: 40, max: 9000 }),
});

for (const [words, of] of [
  ["two columns, wide numbers", ofTwo],
  ["columns that are not wanted between", layout],
  ["three columns", withThree],
] as const)
  it(`reads what the general reader reads, with any bytes spoilt: ${words}`, () => {
    fc.assert(
      fc.property(rows, ({ count, start, amplitude, decimals, lineEnd, spoilt, pieces }) => {
        const lines = Array.from({ length: count }, (_, row) => {
          const force = (amplitude * Math.sin(row / 9)).toFixed(decimals).replace(".", ",");
          return of.columnNames.length === 2
            ? `${start + row};${force}`
            : `${row};${((start % 1e9) + row) / 2};${force};OK;${(row / 7).toFixed(2)}`.replaceAll(".", ",");
        });
        const bytes = Buffer.from(`${[of.columnNames.join(";"), ...lines].join(lineEnd)}${lineEnd}`);
        for (const [at, by] of spoilt) bytes.write(by, at % bytes.length, "latin1");
        const general = parseRecording(bytes, of, { plainRows: false });
        expect(parseRecording(bytes, of)).toEqual(general);
        const cut = Array.from({ length: Math.ceil(bytes.length / pieces) }, (_, k) =>
          bytes.subarray(k * pieces, (k + 1) * pieces),
        );
        expect(parseRecording(cut, of)).toEqual(general);
      }),
      { numRuns: 80, seed: 9 },
    );
  });

it("is at hand, and reads rows of known numbers by itself", () => {
  const [time, force] = [createGrowingColumn(), createGrowingColumn()];
  let taken = 0;
  const kernel = createKernelRows(
    {
      separator: 44,
      decimal: 46,
      cells: 2,
      columns: [
        { column: 1, values: time, scale: 1 },
        { column: 2, values: force, scale: 1 },
      ],
      forceAt: 1,
    },
    (count) => {
      time.grow(count);
      force.grow(count);
      taken += count;
    },
  );
  if (kernel === undefined) throw new Error("This engine reads no WebAssembly with vectors.");
  const text = "0.5,-12.25\n 1,+.5\n123456789012.345,-0\n2.5,3 \r\n4,1e3\n";
  const read = kernel.read(Buffer.from(text), 0, text.length);
  expect(text.slice(read)).toBe("4,1e3\n"); // an exponent is not for the kernel
  expect(taken).toBe(4);
  expect([...time.take()]).toEqual([0.5, 1, 123_456_789_012.345, 2.5]);
  expect([...force.take()]).toEqual([-12.25, 0.5, -0, 3]);
  expect([kernel.fewestDecimals, kernel.mostDecimals]).toEqual([0, 2]);
});

it("was compiled from the source that lies beside it", () => {
  const hash = createHash("sha256").update(readFileSync("src/trace/kernel/plain-rows.as")).digest("hex");
  expect(
    readFileSync("src/trace/kernel/plain-rows.wasm.ts", "utf8"),
    "run node scripts/kernel.mjs",
  ).toContain(hash);
});
