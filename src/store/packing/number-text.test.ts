import fc from "fast-check";
import { expect, it } from "vitest";
import { packNumberText, unpackNumberText } from "./number-text.ts";

// What matters of a packing is that it comes back: on text of any kind, to the byte. Its size is held against float64.

const cells = fc.oneof(
  fc.integer({ min: -40_000, max: 40_000 }).map((value) => (value / 100).toFixed(2)),
  fc.integer({ min: -2000, max: 100_000 }).map(String),
  fc.constantFrom(
    "0.00",
    "-0.00",
    "00.10",
    "1e5",
    "",
    "x",
    "+1.00",
    "999999999999999.00",
    "12345678901.50",
    ".5",
    "7.",
  ),
);
const lines = fc.oneof(
  { weight: 30, arbitrary: fc.integer().map((seed) => steady(seed)) },
  { weight: 3, arbitrary: fc.array(cells, { minLength: 1, maxLength: 4 }).map((row) => [row.join(";")]) },
  { weight: 1, arbitrary: fc.string().map((text) => [text]) },
);

/** A stretch of rows as a logger writes them. */
function steady(seed: number): string[] {
  const sign = seed < 0 ? -1 : 1;
  const places = Math.abs(seed) % 4;
  return Array.from({ length: 5 + (Math.abs(seed) % 300) }, (_, row) => {
    const force = (sign * ((row * 7919 + Math.abs(seed)) % 65_536)) / 8;
    return seed % 2 === 0
      ? `${(row / 100).toFixed(2)},${force.toFixed(places)}`
      : `${row};${force.toFixed(places)}`.replace(".", ",");
  });
}

it("comes back byte for byte, whatever the text", () => {
  let packed = 0;
  fc.assert(
    fc.property(
      fc.array(lines, { maxLength: 8 }),
      fc.constantFrom("\n", "\r\n", "\r"),
      fc.boolean(),
      (parts, end, closed) => {
        const text = parts.flat().join(end) + (closed ? end : "");
        const bytes = new TextEncoder().encode(text);
        const small = packNumberText(bytes);
        if (small === undefined) return;
        packed++;
        expect(small.length).toBeLessThanOrEqual(bytes.length / 2);
        expect(new TextDecoder().decode(unpackNumberText(small, bytes.length))).toBe(text);
      },
    ),
    { numRuns: 300, endOnFailure: true },
  );
  // The test shows nothing where nothing was packed.
  expect(packed).toBeGreaterThan(25);
});

it("takes 35 % of float64 at most where forces are those of a 16-bit converter", () => {
  // A ramp to 30 kN in steps of 1 N with 20 N of scatter, 30,000 rows at 1,000 Hz: 16 bytes a row as two doubles.
  let state = 1;
  const rows = Array.from({ length: 30_000 }, (_, row) => {
    state = (state * 48_271) % 2_147_483_647;
    return `${(row / 1000).toFixed(3)},${Math.round(row + (state % 41) - 20)}`;
  });
  const bytes = new TextEncoder().encode(`time (s),force (N)\r\n${rows.join("\r\n")}\r\n`);
  const small = packNumberText(bytes);
  expect(small?.length).toBeLessThan(0.35 * 30_000 * 16);
  expect(Buffer.compare(unpackNumberText(small ?? new Uint8Array(), bytes.length), bytes)).toBe(0);
});

it("leaves alone what is no text of numbers", () => {
  const words = new TextEncoder().encode("the quick brown fox\n".repeat(200));
  expect(packNumberText(words)).toBeUndefined();
  expect(packNumberText(new Uint8Array(0))).toEqual(new Uint8Array(0));
});
