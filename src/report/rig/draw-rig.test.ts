import { describe, expect, test } from "vitest";
import { assessRig, type RigFields, rigFields } from "../../rig/mod.ts";
import { drawRig } from "../mod.ts";

const rated = (name: string, kind: string, ratedN: number, place = "in the line") => ({
  name,
  kind,
  place,
  strength: { from: "rating", ratedN, source: "its maker" },
});
const draw = (fields: object, width = 860): string => {
  const rig: RigFields = rigFields.parse({ name: "raft", ...fields });
  const answer = assessRig(rig, []);
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
  return drawRig(rig, answer.value, { id: "r", width });
};
const parts = [rated("wall <b>", "anchor", 60_000), rated("strop", "webbing", 20_000)];
const loads = [
  { load: { kind: "straight pull", loadN: 3000 }, parts },
  { load: { kind: "long line", spanM: 20, sagM: 1, loadN: 900, positionM: 5 }, parts },
  {
    load: { kind: "lift", loadN: 6000, legs: 4, angleFromVerticalDeg: 40 },
    parts: [
      rated("wall <b>", "hardware", 160_000, "above the legs"),
      rated("strop", "connector", 20_000, "in each leg"),
    ],
  },
  ...[
    { kind: "basket", loadN: 6000, includedAngleDeg: 0, frictionHigh: 0.1 },
    { kind: "basket", loadN: 6000, includedAngleDeg: 100, slings: 2 },
    { kind: "choke", loadN: 6000, chokeDeg: 120, frictionHigh: 0.3 },
    { kind: "choke", loadN: 6000, chokeDeg: 40, slings: 2, angleFromVerticalDeg: 20 },
  ].map((load) => ({
    load,
    parts: [
      rated("wall <b>", "hardware", 160_000, "above the legs"),
      rated("strop", "connector", 20_000, "in each leg"),
    ],
  })),
  {
    load: { kind: "redirect", loadN: 2000, turnDeg: 90 },
    parts: [rated("wall <b>", "anchor", 60_000, "at the pulley’s anchor"), rated("strop", "rope", 20_000)],
  },
  {
    load: {
      kind: "fall",
      weightN: 500,
      freeFallM: 0.5,
      stiffnessLowNPerM: 1e5,
      stiffnessHighNPerM: 2e5,
    },
    parts,
  },
];

describe("a rig is drawn", () => {
  test.each(loads)(
    "under a $load.kind, wide and narrow, within its frame and with every part named",
    (rig) => {
      for (const width of [860, 320]) {
        const svg = draw(rig, width);
        expect(svg).toMatch(/^<svg [\s\S]*<\/svg>$/);
        expect(svg).not.toMatch(/NaN|Infinity|undefined/);
        // A name is text and never markup.
        expect(svg).toContain("1 wall &lt;b&gt;: margin");
        expect(svg).not.toContain("<b>");
        // The weaker by a factor of three is ringed in the colour of care and named in words.
        expect(svg.match(/2 strop: margin [^<]*/)?.[0]).toContain("the likeliest");
        expect(svg.match(/r="18" fill="none" stroke="var\(--accent, #a8480c\)"/g)).toHaveLength(1);
        const height = Number(/height="([\d.]+)"/.exec(svg)?.[1]);
        for (const [, x, y] of svg.matchAll(/<text x="(-?[\d.]+)" y="(-?[\d.]+)"/g)) {
          expect(Number(x)).toBeGreaterThanOrEqual(0);
          expect(Number(x)).toBeLessThanOrEqual(width);
          expect(Number(y)).toBeGreaterThan(0);
          expect(Number(y)).toBeLessThanOrEqual(height);
        }
      }
    },
  );

  test("a long line in its true shape: the load hangs where it was put, as deep as was said", () => {
    const svg = draw(loads[1] ?? {});
    // A load that is all: two straight pieces. 792 units for 20 m, the load at 5 m and 1 m down from the chord.
    const scale = (860 - 68) / 20;
    const string =
      /<path d="M([\d.]+) ([\d.]+)L[\d.]+ [\d.]+" stroke="currentColor" stroke-width="2.2"\/>/.exec(svg);
    expect(Number(string?.[1])).toBeCloseTo(34 + 5 * scale, 6);
    expect(Number(string?.[2])).toBeCloseTo(64 + scale, 6);
  });

  test("two parts alike are both marked", () => {
    const svg = draw({
      load: { kind: "straight pull", loadN: 1000 },
      parts: [rated("one", "rope", 20_000), rated("other", "rope", 20_000)],
    });
    expect(svg.match(/as likely as any to give way first/g)?.length).toBeGreaterThanOrEqual(2);
  });
});
