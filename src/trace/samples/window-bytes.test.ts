import fc from "fast-check";
import { expect, test } from "vitest";
import type { TraceWindow } from "../reading.ts";
import { windowFromBytes, windowToBytes } from "./window-bytes.ts";

const force = fc.option(fc.double({ noNaN: true, noDefaultInfinity: true }));
const windows: fc.Arbitrary<TraceWindow> = fc
  .record({
    spans: fc.array(
      fc.tuple(fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e12, max: 1e12 }), force, force),
    ),
    fromRow: fc.integer({ min: 1, max: 4_000_000_000 }),
    more: fc.integer({ min: 0, max: 100_000_000 }),
    xIsTime: fc.boolean(),
  })
  .map(({ spans, fromRow, more, xIsTime }) => ({
    fromRow,
    toRow: fromRow + more,
    x: spans.map(([x]) => x),
    lowN: spans.map(([, low]) => low),
    highN: spans.map(([, , high]) => high),
    xIsTime,
  }));

test("a window comes back from its bytes as it was, to the last bit", () => {
  fc.assert(
    fc.property(windows, (window) => {
      const back = windowFromBytes(windowToBytes(window));
      expect(back).toEqual({ ok: true, value: window, warnings: [] });
    }),
    { seed: 1, numRuns: 200 },
  );
});

test("the bytes are those that the page of the API tells", () => {
  // Written out by hand by the description: 1 as a double is 3F F0 and six zeros, −2 is C0, low byte first here.
  const expected = [
    ...[0x42, 0x45, 0x77, 0x31],
    ...[1, 0, 0, 0],
    ...[5, 0, 0, 0],
    ...[0x09, 0x01, 0, 0],
    ...[1, 0, 0, 0],
    ...[0, 0, 0, 0],
    ...[0, 0, 0, 0, 0, 0, 0xf0, 0x3f],
    ...[0, 0, 0, 0, 0, 0, 0, 0xc0],
  ];
  const bytes = windowToBytes({ fromRow: 5, toRow: 265, x: [1], lowN: [-2], highN: [null], xIsTime: true });
  expect([...bytes.subarray(0, 40)]).toEqual(expected);
  expect(bytes.length).toBe(48);
  expect(new DataView(bytes.buffer).getFloat64(40, true)).toBeNaN();
});

test("bytes that are cut short, too long or something else are refused", () => {
  const bytes = windowToBytes({
    fromRow: 1,
    toRow: 2,
    x: [1, 2],
    lowN: [0, 0],
    highN: [1, 1],
    xIsTime: false,
  });
  const other = Uint8Array.from(bytes);
  other[0] = 0x7b;
  const longer = new Uint8Array(bytes.length + 1);
  longer.set(bytes);
  for (const wrong of [bytes.subarray(0, 23), bytes.subarray(0, -1), longer, other, new Uint8Array(0)])
    expect(windowFromBytes(wrong)).toMatchObject({ ok: false, problems: [{ code: "TRACE_BINARY" }] });
});
