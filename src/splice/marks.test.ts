import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { builtInRecipeIds } from "./built-in-ids.ts";
import { builtInRecipe } from "./built-in-recipes.ts";
import { eyeRoundPin } from "./geometry.ts";
import { type MarkedCut, type MarkKind, markRope } from "./marks.ts";
import type { SpliceJob } from "./resolve-job.ts";

const rope = { nominalDiameterMm: 6, construction: "12-strand braid", pickLengthMm: 4 };
const loop: SpliceJob = { rope, recipe: builtInRecipe("crossed-tail-loop"), state: { measure: "inside" } };

function marksOf(job: SpliceJob, finishedMm: number): MarkedCut {
  const marked = markRope(job, finishedMm);
  if (!marked.ok) throw new Error(JSON.stringify(marked.problems));
  return marked.value;
}

function at({ ends }: MarkedCut, kind: MarkKind, end: 0 | 1 = 0): number {
  const mark = ends[end].marks.find((one) => one.kind === kind);
  if (mark === undefined) throw new Error(`no mark "${kind}"`);
  return mark.fromEndMm;
}

describe("the marks of a crossed-tail loop of 600 mm, worked by hand (docs/methods/cut-length.md)", () => {
  const marked = marksOf(loop, 600);

  it("lie where arithmetic puts them, in mm and in picks", () => {
    expect(at(marked, "tip")).toBe(0);
    expect(at(marked, "taper start")).toBe(60);
    expect(at(marked, "crossing")).toBeCloseTo(240 + 6, 9); // one of the two crossings on either rope
    expect(at(marked, "exit")).toBeCloseTo(246 + 240 + 0.085 * 210, 9); // 503.85
    expect(marked.ends[0].marks.map(({ fromEndMm, picks }) => (picks ?? 0) * 4 - fromEndMm)).toEqual(
      marked.ends[0].marks.map(() => 0),
    );
    expect(marked.ends[1].marks).toEqual(marked.ends[0].marks);
  });

  it("leave between the two crossings the loop and what its host shortens", () => {
    const between = marked.cut.cutLengthMm - at(marked, "crossing", 0) - at(marked, "crossing", 1);
    expect(between).toBeCloseTo(1200 + 6 * Math.PI + 35.7, 9);
  });
});

describe("marks", () => {
  it("of an eye leave the eye between its two throats, and the bury and its shortening up to the exit", () => {
    const job: SpliceJob = {
      rope: { ...rope, nominalDiameterMm: 10 },
      recipe: builtInRecipe("brummel-both-ends-free"),
      state: { measure: "inside", nearEyeMm: 100, farEyeMm: 150 },
    };
    const marked = marksOf(job, 4000);
    for (const [end, eye] of [
      [0, 100],
      [1, 150],
    ] as const) {
      const round = at(marked, "throat on the host", end) - at(marked, "throat on the tail", end);
      expect(round).toBeCloseTo(eyeRoundPin(eye, 0, 10) ?? 0, 9);
    }
    // Host from throat to throat = the body between the throats and what both buries shorten; crossings lie half on it.
    const host =
      marked.cut.cutLengthMm - at(marked, "throat on the host", 0) - at(marked, "throat on the host", 1);
    expect(host).toBeCloseTo(4000 - 250 + 0.085 * 2 * (450 + 90) + 2 * 10, 9);
  });

  it("come in order, within the rope, and none falls off its end", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...builtInRecipeIds),
        fc.double({ min: 3, max: 20, noNaN: true }),
        fc.double({ min: 300, max: 9000, noNaN: true }),
        (id, nominalDiameterMm, finishedMm) => {
          const job: SpliceJob = {
            rope: { nominalDiameterMm, construction: "12-strand braid" },
            recipe: builtInRecipe(id),
            state: { measure: "inside" },
          };
          const marked = markRope(job, finishedMm);
          if (!marked.ok) return;
          for (const { marks } of marked.value.ends) {
            const places = marks.map(({ fromEndMm }) => fromEndMm);
            expect(places).toEqual(places.toSorted((a, b) => a - b));
            expect(places[0]).toBeGreaterThanOrEqual(0);
            if (job.recipe.kind !== "end-to-end")
              expect(places.at(-1)).toBeLessThanOrEqual(marked.value.cut.cutLengthMm);
          }
        },
      ),
    );
  });

  it("of a soft shackle meet in the middle", () => {
    const marked = marksOf({ ...loop, recipe: builtInRecipe("soft-shackle-diamond-re-buried") }, 300);
    expect(at(marked, "middle", 0) + at(marked, "middle", 1)).toBeCloseTo(marked.cut.cutLengthMm, 9);
    expect(at(marked, "knot end") - at(marked, "knot start")).toBeCloseTo(30 * 6, 9);
    expect(at(marked, "knot start")).toBeCloseTo(25 * 6, 9);
  });
});
