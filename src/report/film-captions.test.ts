import { describe, expect, test } from "vitest";
import { filmCaptions } from "./film-captions.ts";

const cues = (input: Parameters<typeof filmCaptions>[0]) => {
  const answer = filmCaptions(input);
  if (!answer.ok) throw new Error(answer.problems[0]?.message);
  return answer.value
    .trimEnd()
    .split("\n\n")
    .slice(1)
    .map((block) => block.split("\n"));
};

describe("captions of a film", () => {
  test("the first line, the timestamps and the escapes are WebVTT's", () => {
    // W3C WebVTT, 4.1 (signature), 3.3 (timestamps: hh:mm:ss.ttt), 4.2.2 (cue text: & and < as entities).
    const answer = filmCaptions({
      timesS: [3_725.5],
      forcesN: [1000],
      momentS: 0,
      filmMomentS: 0,
      phases: [{ fromS: 0, toS: 1e9, words: "a < b & --> c" }],
    });
    expect(answer.ok && answer.value).toBe(
      "WEBVTT\n\n01:02:05.400 --> 01:02:05.600\n1.00 kN · a &lt; b &amp; --&gt; c\n",
    );
  });

  test("the marked moment falls where the film has it, and each caption tells the highest of its stretch", () => {
    const timesS = Array.from({ length: 1000 }, (_, i) => 100 + i / 100);
    const forcesN = timesS.map((t) => (t < 105 ? (t - 100) * 2000 : 50));
    const told = cues({ timesS, forcesN, momentS: 105, filmMomentS: 7, ratePerS: 2 });
    // The film's second 7 is the break: the half second before it holds the peak, 2000 N/s · 4.99 s = 9.98 kN.
    expect(told.find(([when]) => when?.startsWith("00:00:06.500"))?.[1]).toBe("9.98 kN");
    expect(told.find(([when]) => when?.startsWith("00:00:07.000"))?.[1]).toBe("0.05 kN · highest 9.98 kN");
    expect(told).toHaveLength(20);
  });

  test("what lies before the film is left out, and so is a stretch without samples", () => {
    const told = cues({
      timesS: [0, 1, 2, 5],
      forcesN: [1, 2, Number.NaN, 4],
      momentS: 1,
      filmMomentS: 0,
      ratePerS: 1,
    });
    expect(told.map(([when]) => when)).toEqual([
      "00:00:00.000 --> 00:00:01.000",
      "00:00:04.000 --> 00:00:05.000",
    ]);
  });

  test("no samples, times that run backward, a rate or a moment that cannot be, are refused", () => {
    const good = { timesS: [0], forcesN: [1], momentS: 0, filmMomentS: 0 };
    for (const bad of [
      { timesS: [], forcesN: [] },
      { timesS: [1, 0], forcesN: [1, 2] },
      { timesS: [Number.NaN] },
      { ratePerS: 100 },
      { filmMomentS: Number.NaN },
    ])
      expect(filmCaptions({ ...good, ...bad }).ok).toBe(false);
  });
});
