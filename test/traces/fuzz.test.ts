import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/stats/mod.ts";
import { completeLayout, drawRecording, proposeLayout, readRecording } from "../../src/trace/mod.ts";
import { mutate } from "./mutate.ts";

// Recordings with bytes flipped, rows cut out or doubled, columns swapped and ends torn off. Whatever comes of them, a
// reading or a refusal in words, nothing may crash, hang, or give a figure that is no number. BITTEREND_FUZZ sets how many
// (20,000 in the slow run).

const files = Number(process.env["BITTEREND_FUZZ"] ?? 300);

/** Every number in a reading is one. */
function allFinite(value: unknown): boolean {
  if (typeof value === "number") return Number.isFinite(value);
  if (value === null) return false;
  return typeof value !== "object" || Object.values(value as object).every(allFinite);
}

describe("mutated recordings", () => {
  test(`${files} of them are read or refused in words`, { timeout: 60_000 + 300 * files }, () => {
    const random = createRandom(4242);
    for (let seed = 1; seed <= Math.ceil(files / 25); seed++) {
      const drawn = drawRecording(seed + 770_000);
      for (let round = 0; round < 25; round++) {
        const bytes = mutate(drawn.bytes, random);
        const hints = { forceUnit: "kN", timeUnit: "s" } as const;
        const proposal = proposeLayout(bytes, { hints });
        const layout = proposal.ok ? completeLayout(proposal.value.layout, hints) : proposal;
        const read = layout.ok ? readRecording(bytes, layout.value) : layout;
        if (read.ok) expect([seed, round, allFinite(read.value.reading)]).toEqual([seed, round, true]);
        else expect(read.problems.every(({ message }) => message.length > 10)).toBe(true);
      }
    }
  });
});
