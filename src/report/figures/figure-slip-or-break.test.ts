import { describe, expect, test } from "vitest";
import { judgePull, pullsForSlipOrBreak, slipOrBreak, stateSlipOrBreak } from "../../findings/mod.ts";
import { inventedPulls } from "../../findings/slip-or-break/test-pulls.ts";
import { figureSlipOrBreak } from "./figure-slip-or-break.ts";

/** The invented pulls as a series of 10 mm rope rated at 10 kN, one leg, buries as made. */
function found(pulls = inventedPulls()) {
  const taken = pullsForSlipOrBreak(
    { id: "ser-1", factors: [] },
    pulls.map(({ buryDiameters, strength, outcome }, i) =>
      judgePull({
        pullId: `p${i}`,
        specimenLabel: `A${i} <b>`,
        levels: {},
        strengthSource: "typed",
        strengthN: strength * 10_000,
        ratedStrengthN: 10_000,
        legs: 1,
        nominalDiameterMm: 10,
        buryFullMm: buryDiameters * 10,
        outcome:
          outcome === "broke" ? { kind: outcome, place: "" } : { kind: outcome, place: "", reason: "" },
        warnings: [],
      }),
    ),
    { refits: 200 },
  );
  if (!taken.ok) throw new Error("not taken");
  const answer = slipOrBreak(taken.value.input);
  if (!answer.ok) throw new Error("not answered");
  return stateSlipOrBreak(taken.value, answer.value, answer.warnings);
}

const numbers = (svg: string, pattern: RegExp) =>
  [...svg.matchAll(pattern)].map(([, value]) => Number(value));

describe("the figure of slip or break", () => {
  test("has every pull as its house mark, to scale along the bury, and the bury to state on the same scale", () => {
    const shown = found();
    const svg = figureSlipOrBreak(shown, { width: 860 });
    const pulls = inventedPulls();
    const broke = pulls.filter(({ outcome }) => outcome === "broke");
    // One more of each kind stands in the legend.
    const count = (kind: string) => svg.split(`class="mark ${kind}"`).length - 2;
    for (const kind of ["broke", "slipped", "stopped"] as const)
      expect(count(kind)).toBe(pulls.filter(({ outcome }) => outcome === kind).length);
    const xs = numbers(svg, /class="mark broke" cx="([\d.]+)"/g).slice(1);
    const [first, last] = [broke[0], broke.at(-1)];
    const perDiameter =
      ((xs.at(-1) ?? 0) - (xs[0] ?? 0)) / ((last?.buryDiameters ?? 0) - (first?.buryDiameters ?? 0));
    const [line] = numbers(svg, /class="to-state" x1="([\d.]+)"/g);
    const bury = (first?.buryDiameters ?? 0) + ((line ?? 0) - (xs[0] ?? 0)) / perDiameter;
    expect(bury).toBeCloseTo(shown.answer.length.upper ?? 0, 1);
    expect(svg).not.toContain("<b>");
  });

  test("of pulls that all broke has marks alone, and the sentences say why", () => {
    const shown = found(inventedPulls().filter(({ outcome }) => outcome === "broke"));
    const svg = figureSlipOrBreak(shown, { width: 350 });
    expect(svg).not.toMatch(/class="(?:band|plateau|to-state|slip-strength)"/);
    expect(shown.findings[0]?.sentence).toMatch(/^No bury can be stated/);
    expect(shown.findings.map(({ id }) => id)).toContain("slip-or-break-settle");
  });
});
