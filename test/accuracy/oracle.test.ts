import { expect, test } from "vitest";
import { drawRecording } from "../../src/trace/mod.ts";
import { judgeRecording } from "./judge-recording.ts";
import { readByTruth } from "./oracle.ts";
import { tally } from "./tally.ts";

// The targets can be met, and the table tells when they are: a reader that knows the truth scores full marks on every
// line, and as often as its own chance says on those two that are about chance.

const judged = Array.from({ length: 160 }, (_, at) => {
  const drawn = drawRecording(5_000_000 + at);
  return judgeRecording(drawn, readByTruth(drawn));
});
const sums = tally(judged);

test("a reader that knows the truth counts, places and tells everything", () => {
  for (const { what, share, failed } of sums.lines) {
    if (what.startsWith("true peak") || what.startsWith("settling")) continue;
    const wanted = /with a false|refused/.test(what) ? 0 : 1;
    // A lower bound with an error of its own is right within two standard deviations: 97.7 % of cases.
    if (what.includes("cut off")) expect(share).toBeGreaterThan(0.8);
    else expect([what, share, failed]).toEqual([what, wanted, []]);
  }
  for (const { what, share, of } of sums.quantities) expect([what, share, of > 5]).toEqual([what, 1, true]);
  expect(sums.brier).toBe(0);
});

test("its peaks and its settling are covered as often as normal errors are", () => {
  const share = (what: string) => sums.lines.find((line) => line.what.startsWith(what));
  for (const [what, chance] of [
    ["true peak", 0.9545],
    ["settling", 0.95],
  ] as const) {
    const { share: was = 0, of } = share(what) ?? { of: 0 };
    expect(of).toBeGreaterThan(40);
    // Four standard errors of a share.
    expect(Math.abs(was - chance)).toBeLessThan(4 * Math.sqrt((chance * (1 - chance)) / of));
  }
  expect(Math.abs(sums.z?.mean ?? 9)).toBeLessThan(4 / Math.sqrt(judged.length));
  expect(Math.abs((sums.z?.deviation ?? 9) - 1)).toBeLessThan(4 / Math.sqrt(2 * judged.length));
});
