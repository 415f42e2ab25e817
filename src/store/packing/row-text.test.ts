import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, it } from "vitest";
import { packNumberText } from "./number-text.ts";
import { packBytes, unpackBytes } from "./pack.ts";
import { packRowText } from "./row-text.ts";
import { unpackColumns, unpackRowText } from "./unpack-rows.ts";

// What matters of a packing is that it comes back: on text of any kind, to the byte. Its columns are held against
// JavaScript's own reading of each cell, its size against float64.

const bytesOf = (text: string) => new TextEncoder().encode(text);

/** Columns as loggers write them: each row's text of it, by the row's number and one of chance. */
const columns: readonly ((row: number, chance: number) => string)[] = [
  (row) => (row / 1000).toFixed(3),
  (row) => String(row),
  (row) => String(1_700_000_000_000 + row * 7),
  (row) =>
    `2024-05-01 ${String(Math.floor(row / 60) % 24).padStart(2, "0")}:${String(row % 60).padStart(2, "0")}:00`,
  (_, chance) => ((chance % 4001) / 100 - 20).toFixed(2),
  (_, chance) => ((chance % 4001) / 100 - 20).toFixed(2).padStart(9),
  (_, chance) => (chance / 7).toFixed(chance % 5),
  (_, chance) => String(chance % 1000).padStart(5, "0"),
  (_, chance) => `+${chance % 12}.5e3`,
  (_, chance) =>
    `${chance}${String(chance * 31)
      .padStart(7, "0")
      .slice(-7)}`,
  (_, chance) => (chance % 9 === 0 ? "-0.00" : "0.00"),
  (_, chance) => (chance % 40 === 0 ? "" : "12.5"),
];
const stretches = fc
  .record({
    picked: fc.array(fc.nat(columns.length - 1), { minLength: 1, maxLength: 4 }),
    separator: fc.constantFrom(",", ";", "\t", " "),
    rows: fc.oneof(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 250, max: 700 })),
    seed: fc.integer({ min: 1, max: 1_000_000 }),
    commas: fc.boolean(),
  })
  .map(({ picked, separator, rows, seed, commas }) => {
    let state = seed;
    return Array.from({ length: rows }, (_, row) => {
      state = (state * 48_271) % 2_147_483_647;
      const text = picked.map((one) => columns[one]?.(row, state) ?? "").join(separator);
      return commas && separator === ";" ? text.replaceAll(".", ",") : text;
    });
  });
const lines = fc.oneof(
  { weight: 8, arbitrary: stretches },
  { weight: 2, arbitrary: fc.string({ maxLength: 90 }).map((text) => [text]) },
  { weight: 1, arbitrary: fc.integer({ min: 50, max: 70 }).map((length) => ["1".repeat(length)]) },
);

it("comes back byte for byte, whatever the text", () => {
  let packed = 0;
  fc.assert(
    fc.property(
      fc.array(lines, { maxLength: 6 }),
      fc.constantFrom("\n", "\r\n", "\r"),
      fc.boolean(),
      (parts, end, closed) => {
        const bytes = bytesOf(parts.flat().join(end) + (closed ? end : ""));
        const small = packRowText(bytes);
        if (small !== undefined && bytes.length > 0) {
          packed++;
          expect(small.length).toBeLessThanOrEqual(bytes.length / 2);
          expect(Buffer.compare(unpackRowText(small, bytes.length), bytes)).toBe(0);
        }
        expect(Buffer.compare(unpackBytes(packBytes(bytes), bytes.length), bytes)).toBe(0);
      },
    ),
    { seed: 1, numRuns: 500, endOnFailure: true },
  );
  // The test shows nothing where nothing was packed.
  expect(packed).toBeGreaterThan(50);
});

it("comes back where rows fill the kernel's room many times over", () => {
  const rows = Array.from({ length: 40_000 }, (_, row) => `${row},${((row * 7919) % 65_536) / 8 - 4000}`);
  const bytes = bytesOf(`row,force\n${rows.join("\n")}`);
  const small = packRowText(bytes) ?? new Uint8Array();
  expect(small.length).toBeGreaterThan(0);
  expect(Buffer.compare(unpackRowText(small, bytes.length), bytes)).toBe(0);
});

it("gives its columns as the numbers that the text states, to the last bit", () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(
          fc.double({ min: -1e6, max: 1e6, noNaN: true }),
          fc.integer({ min: -9e14, max: 9e14 }),
          fc.integer({ min: 0, max: 6 }),
        ),
        { minLength: 40, maxLength: 600 },
      ),
      (rows) => {
        const text = rows.map(([force, whole, places]) => `${force.toFixed(places)};${whole}`);
        const small = packRowText(bytesOf(`force;whole\n${text.join("\n")}\n`));
        if (small === undefined) return;
        const cells = text.map((row) => row.split(";").map(Number));
        expect(unpackColumns(small)?.map((column) => [...column])).toEqual([
          cells.map(([force]) => force),
          cells.map(([, whole]) => whole),
        ]);
      },
    ),
    { seed: 2, numRuns: 60 },
  );
  // Decimal commas, and steady rows of which some thousand are looked at.
  const steady = Array.from({ length: 3000 }, (_, row) =>
    `${10_000 + row / 8};${(row * 31) % 97}`.replaceAll(".", ","),
  );
  const columnsOf = unpackColumns(packRowText(bytesOf(`${steady.join("\r\n")}\r\n`)) ?? new Uint8Array());
  expect(columnsOf?.map((column) => [...column])).toEqual([
    steady.map((_, row) => 10_000 + row / 8),
    steady.map((_, row) => (row * 31) % 97),
  ]);
});

it("gives no columns where rows have more numbers than others", () => {
  const text = `${"1,22\n".repeat(50)}${"1,22,333\n".repeat(50)}`;
  const small = packRowText(bytesOf(text)) ?? new Uint8Array();
  expect(Buffer.compare(unpackRowText(small, text.length), bytesOf(text))).toBe(0);
  expect(unpackColumns(small)).toBeUndefined();
});

it("takes 35 % of float64 at most where forces are those of a 16-bit converter, and no more than its plain twin", () => {
  // A ramp to 30 kN in steps of 1 N with 20 N of scatter, 30,000 rows at 1,000 Hz: 16 bytes a row as two doubles.
  let state = 1;
  const rows = Array.from({ length: 30_000 }, (_, row) => {
    state = (state * 48_271) % 2_147_483_647;
    return `${(row / 1000).toFixed(3)},${Math.round(row + (state % 41) - 20)}`;
  });
  const bytes = bytesOf(`time (s),force (N)\r\n${rows.join("\r\n")}\r\n`);
  const small = packRowText(bytes) ?? bytes;
  expect(small.length).toBeLessThan(0.35 * 30_000 * 16);
  expect(small.length).toBeLessThan((packNumberText(bytes)?.length ?? 0) * 1.02);
});

it("leaves alone what is no text of numbers, quickly", () => {
  expect(packRowText(bytesOf("the quick brown fox\n".repeat(20_000)))).toBeUndefined();
  expect(packRowText(new Uint8Array(300_000))).toBeUndefined();
  expect(packRowText(new Uint8Array(0))).toEqual(new Uint8Array(0));
});

it("packs by the kernel that its source says", () => {
  const folder = "src/store/packing/kernel";
  const hash = createHash("sha256")
    .update(readFileSync(`${folder}/pack-rows.as`))
    .digest("hex");
  expect(readFileSync(`${folder}/pack-rows.wasm.ts`, "utf8"), "run node scripts/kernel.mjs").toContain(hash);
});
