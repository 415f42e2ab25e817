import { describe, expect, test } from "vitest";
import type { Layout, LayoutHints } from "../layout.ts";
import { completeLayout } from "./complete-layout.ts";
import { matchLayout } from "./match-layout.ts";
import { proposeLayout } from "./propose-layout.ts";

function look(text: string, hints: LayoutHints = {}) {
  const proposal = proposeLayout(new TextEncoder().encode(text), { hints });
  if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
  return proposal.value;
}

function layoutOf(text: string, hints: LayoutHints): Layout {
  const layout = completeLayout(look(text, hints).layout, hints);
  if (!layout.ok) throw new Error(JSON.stringify(layout.problems));
  return layout.value;
}

const rows = (write: (row: number) => string) =>
  Array.from({ length: 40 }, (_, row) => `${write(row)}\n`).join("");
const unitless = (scale: number) =>
  `time,thrust\n${rows((r) => `${r / 10},${(scale * Math.sin(r / 20)).toFixed(3)}`)}`;
const bare = (scale: number) => rows((r) => `${r * 10};${(scale * Math.sin(r / 20)).toFixed(1)}`);

describe("a saved layout is found again", () => {
  test("by the names of the columns, and then the unit is answered", () => {
    const saved = [{ id: "crane scale", layout: layoutOf(unitless(5), { forceUnit: "kN" }) }];
    const proposal = look(unitless(9));
    expect(proposal.questions.map(({ about }) => about)).toEqual(["force-unit"]);
    const match = matchLayout(proposal, saved);
    expect([match?.id, match?.by, match?.layout.force.unit]).toEqual(["crane scale", "names", "kN"]);
  });

  test("where another column was chosen than would be proposed", () => {
    const text = `time_s,force_N,spare\n${rows((r) => `${r / 10},${r % 9},${(5 * Math.sin(r / 20)).toFixed(3)}`)}`;
    const saved = [{ id: "spare", layout: layoutOf(text, { forceColumn: "spare", forceUnit: "lbf" }) }];
    expect(matchLayout(look(text), saved)?.layout.force).toEqual({ column: 3, unit: "lbf", inverted: false });
  });

  test("by number and kind of columns where there is no header, with a word of care", () => {
    const saved = [{ id: "bare", layout: layoutOf(bare(50), { forceUnit: "kgf" }) }];
    const match = matchLayout(look(bare(80)), saved);
    expect([match?.id, match?.by]).toEqual(["bare", "shape"]);
    expect(match?.reason).toContain("check the unit");
  });

  test("names before shape, earlier before later", () => {
    const layout = layoutOf(unitless(5), { forceUnit: "kN" });
    const other = { ...layout, force: { ...layout.force, unit: "N" as const } };
    const saved = [
      { id: "bare", layout: layoutOf(bare(50), { forceUnit: "kgf" }) },
      { id: "new", layout },
      { id: "old", layout: other },
    ];
    expect(matchLayout(look(unitless(2)), saved)?.id).toBe("new");
  });
});

describe("a saved layout is not taken for another logger's file", () => {
  const saved = [
    { id: "crane scale", layout: layoutOf(unitless(5), { forceUnit: "kN" }) },
    { id: "bare", layout: layoutOf(bare(50), { forceUnit: "kgf" }) },
  ];

  test.each([
    ["another name", unitless(5).replace("thrust", "tension")],
    [
      "a column more",
      unitless(5)
        .replace("thrust", "thrust,temp")
        .replace(/(\d)\n/g, "$1,21.5\n"),
    ],
    ["another separator", unitless(5).replace(/,/g, ";")],
    [
      "stamps for time",
      `time,thrust\n${rows((r) => `2024-05-31 14:02:${10 + r},${(Math.sin(r / 20)).toFixed(3)}`)}`,
    ],
    ["no header, three columns", rows((r) => `${r * 10};${(50 * Math.sin(r / 20)).toFixed(1)};${r % 7}`)],
    ["no header, decimal commas", bare(50).replace(/\./g, ",")],
  ])("%s", (_, text) => {
    expect(matchLayout(look(text), saved)).toBeUndefined();
  });
});
