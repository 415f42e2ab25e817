import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Result } from "../../problem/mod.ts";
import {
  capstan,
  catenary,
  fallEnergy,
  type LoadedLineInput,
  loadedLine,
  redirect,
  slingLegs,
} from "../mod.ts";

function given<T>(answer: Result<T>): T {
  if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join("; "));
  return answer.value;
}
const near = (found: number | undefined, wanted: number, relative: number) =>
  expect(Math.abs((found ?? Number.NaN) / wanted - 1), `${found} against ${wanted}`).toBeLessThan(relative);

describe("catenary: a line by its own weight", () => {
  // Closed form y = a cosh(x/a), evaluated with 50 digits outside this program.
  test.each([
    [100, 10, 20, 2532.6487207997766, 2732.6487207997766, 102.61868681287588, 126.63243603998883],
    [50, 2, 5.5, 861.2021143532555, 872.2021143532555, 50.21270000462955, 156.5822026096828],
    [20, 8, 12, 87.5133059903617, 183.5133059903617, 26.883780090392715, 7.292775499196808],
    [300, 3, 1.2, 4500.5998720499565, 4504.199872049957, 300.07998507231224, 3750.499893374964],
  ])("span %f m, sag %f m, %f N/m", (spanM, sagM, weightNPerM, horizontalN, tensionMaxN, lengthM, a) => {
    const closed = given(catenary({ spanM, sagM, weightNPerM }));
    near(closed.horizontalN, horizontalN, 1e-12);
    near(closed.tensionMaxN, tensionMaxN, 1e-12);
    near(closed.lengthM, lengthM, 1e-12);
    // The curve's own a is the force along the level over the weight of a metre.
    near(closed.horizontalN / weightNPerM, a, 1e-12);
    // The general line gives the same from the sag.
    const line = given(loadedLine({ spanM, sagM, weightNPerM }));
    near(line.horizontalN, horizontalN, 1e-9);
    near(line.unstretchedLengthM, lengthM, 1e-12);
    near(line.tensionN, tensionMaxN, 1e-9);
  });

  test("a textbook's line of 500 ft with 100 ft of sag", () => {
    // Beer and Johnston, Statics, chapter 7, sample problem: 984 lb, 1284 lb, 550 ft (from memory).
    const { horizontalN, tensionMaxN, lengthM } = given(
      catenary({ spanM: 152.4, sagM: 30.48, weightNPerM: 43.78170881161908 }),
    );
    near(horizontalN, 4377.05, 0.002);
    near(tensionMaxN, 5711.52, 0.002);
    near(lengthM, 550 * 0.3048, 0.002);
  });

  test("a parabola, where the load is even along the level", () => {
    // H = w L² / 8 d; arc length of the parabola, both exact.
    const { horizontalN, tensionMaxN, lengthM } = given(
      catenary({ spanM: 100, sagM: 10, weightNPerM: 20, model: "parabola" }),
    );
    near(horizontalN, 2500, 1e-13);
    near(tensionMaxN, 2692.582403567252, 1e-13);
    near(lengthM, 102.60606304268445, 1e-13);
  });
});

describe("line-point-load: a line with a load on it", () => {
  // H = W x (L − x) / (L d) for a line without weight that does not stretch.
  test.each([
    [20, 10, 1, 1000, 5000, 5024.9378105604455, 5024.9378105604455, 20.09975124224178],
    [20, 5, 1, 1000, 3750, 3824.2646351945887, 3758.324094593227, 20.132315891965693],
    [30, 3, 0.5, 800, 4320, 4379.589021814718, 4320.740677245049, 30.046010497930663],
  ])(
    "span %f m, load at %f m, %f m low",
    (spanM, positionM, sagM, loadN, horizontal, left, right, length) => {
      const line = given(loadedLine({ spanM, positionM, sagM, loadN }));
      near(line.horizontalN, horizontal, 1e-13);
      near(line.tensionLeftN, left, 1e-13);
      near(line.tensionRightN, right, 1e-13);
      near(line.lengthM, length, 1e-13);
    },
  );

  // 2 T sin q = W with T = EA (L / (S₀ cos q) − 1), S₀ = L / (1 + T₀ / EA), its root found with 50 digits.
  test.each([
    [20, 800, 50_000, 0, 1612.7306679055262, 2.560265353417537, 14.360763388009174, 20.64509226716221],
    [20, 800, 50_000, 2000, 2617.8576505491346, 1.5461220783840839, 8.789034143286173, 20.23763755790351],
    [10, 100, 1e6, 0, 1077.797647730685, 0.23220448656468848, 2.6589569363938472, 10.010777976477307],
  ])(
    "elastic, span %f m, %f N in the middle, EA %f N, drawn with %f N",
    (spanM, loadN, stiffnessEAN, pretensionN, tension, sag, angle, length) => {
      const line = given(loadedLine({ spanM, loadN, stiffnessEAN, pretensionN }));
      near(line.tensionN, tension, 1e-11);
      near(line.sagM, sag, 1e-11);
      near(line.angleLeftDeg, angle, 1e-11);
      near(line.lengthM, length, 1e-11);
    },
  );

  test("against a brute-force chain of 40,000 straight links, each in equilibrium", () => {
    const input = {
      spanM: 120,
      riseM: -9,
      weightNPerM: 3,
      stiffnessEAN: 2e5,
      loadN: 900,
      positionM: 31,
      lengthM: 123,
    };
    const line = given(loadedLine(input));
    const links = 40_000;
    let [x, y, upward, loaded] = [0, 0, line.upwardLeftN, false];
    const part = input.lengthM / links;
    for (let i = 0; i < links; i++) {
      if (!loaded && x >= input.positionM) {
        upward -= input.loadN;
        loaded = true;
      }
      // Half of the link's weight hangs at each of its ends.
      upward -= (input.weightNPerM * part) / 2;
      const tension = Math.hypot(line.horizontalN, upward);
      const stretched = part * (1 + tension / input.stiffnessEAN);
      x += (stretched * line.horizontalN) / tension;
      y -= (stretched * upward) / tension;
      upward -= (input.weightNPerM * part) / 2;
    }
    // The load falls on a joint of the chain, up to a link aside: a few parts in 10⁴ of its slope.
    expect(Math.abs(x - input.spanM)).toBeLessThan(2e-3);
    expect(Math.abs(y - input.riseM)).toBeLessThan(2e-3);
  });

  const anyLine = fc.record({
    spanM: fc.double({ min: 1, max: 500, noNaN: true }),
    rise: fc.double({ min: -0.8, max: 0.8, noNaN: true }),
    slack: fc.double({ min: 0.001, max: 0.6, noNaN: true }),
    weightNPerM: fc.double({ min: 0.1, max: 60, noNaN: true }),
    loadN: fc.double({ min: 1, max: 2e4, noNaN: true }),
    place: fc.double({ min: 0.02, max: 0.98, noNaN: true }),
    stiffnessEAN: fc.double({ min: 2e4, max: 5e6, noNaN: true }),
  });
  const build = (
    drawn: typeof anyLine extends fc.Arbitrary<infer Drawn> ? Drawn : never,
  ): LoadedLineInput & { lengthM: number } => ({
    spanM: drawn.spanM,
    riseM: drawn.spanM * drawn.rise,
    weightNPerM: drawn.weightNPerM,
    loadN: drawn.loadN,
    positionM: drawn.spanM * drawn.place,
    stiffnessEAN: drawn.stiffnessEAN,
    lengthM: Math.hypot(drawn.spanM, drawn.spanM * drawn.rise) * (1 + drawn.slack),
  });

  test("the anchors carry the line's whole weight and the load; the moments about an anchor vanish", () => {
    fc.assert(
      fc.property(anyLine, (drawn) => {
        const input = build(drawn);
        const line = given(loadedLine(input));
        const total = input.lengthM * (input.weightNPerM ?? 0) + (input.loadN ?? 0);
        near(line.upwardLeftN + line.upwardRightN, total, 1e-12);
        const [first, last] = [line.shape[0], line.shape.at(-1)];
        expect(first).toEqual({ xM: 0, yM: 0 });
        expect(Math.abs((last?.xM ?? 0) - input.spanM)).toBeLessThan(1e-9 * input.spanM);
        expect(Math.abs((last?.yM ?? 0) - (input.riseM ?? 0))).toBeLessThan(1e-9 * input.spanM);
      }),
      { numRuns: 200 },
    );
  });

  test("seen in a mirror, the line hangs as in the mirror", () => {
    fc.assert(
      fc.property(anyLine, (drawn) => {
        const input = build(drawn);
        const mirrored = {
          ...input,
          riseM: -(input.riseM ?? 0),
          positionM: input.spanM - (input.positionM ?? 0),
        };
        const [line, mirror] = [given(loadedLine(input)), given(loadedLine(mirrored))];
        near(mirror.horizontalN, line.horizontalN, 1e-9);
        near(mirror.tensionLeftN, line.tensionRightN, 1e-9);
        expect(Math.abs(mirror.sagM - line.sagM)).toBeLessThan(1e-9 * input.spanM);
      }),
      { numRuns: 100 },
    );
  });

  test("given the sag that a length makes, the length comes back; and given the pretension", () => {
    fc.assert(
      fc.property(anyLine, (drawn) => {
        const { lengthM, ...others } = build(drawn);
        const line = given(loadedLine({ ...others, lengthM }));
        near(given(loadedLine({ ...others, sagM: line.sagM })).unstretchedLengthM, lengthM, 1e-9);
      }),
      { numRuns: 60 },
    );
    const taut = { spanM: 90, riseM: 4, weightNPerM: 2, stiffnessEAN: 3e5 };
    const pulled = given(loadedLine({ ...taut, pretensionN: 3000 }));
    near(pulled.tensionLeftN, 3000, 1e-10);
    near(given(loadedLine({ ...taut, lengthM: pulled.unstretchedLengthM })).tensionLeftN, 3000, 1e-10);
  });

  test("a heavier load pulls harder, and a longer line pulls less", () => {
    fc.assert(
      fc.property(anyLine, (drawn) => {
        const input = build(drawn);
        const line = given(loadedLine(input));
        expect(given(loadedLine({ ...input, loadN: (input.loadN ?? 0) * 1.1 })).tensionN).toBeGreaterThan(
          line.tensionN,
        );
        expect(given(loadedLine({ ...input, lengthM: input.lengthM * 1.01 })).horizontalN).toBeLessThan(
          line.horizontalN,
        );
      }),
      { numRuns: 100 },
    );
  });

  test.each([
    [{ spanM: 20, sagM: 0, loadN: 100 }, "sagM"],
    [{ spanM: -20, sagM: 1, loadN: 100 }, "spanM"],
    [{ spanM: 20, lengthM: 19, loadN: 100 }, "lengthM"],
    [{ spanM: 20, lengthM: 21 }, "loadN"],
    [{ spanM: 20, sagM: 1, lengthM: 21, loadN: 1 }, "lengthM"],
    [{ spanM: 20, loadN: 1 }, "lengthM"],
    [{ spanM: 20, pretensionN: 500, loadN: 100 }, "stiffnessEAN"],
    [{ spanM: 20, sagM: 1, loadN: 100, positionM: 20 }, "positionM"],
    [{ spanM: 20, pretensionN: 1, weightNPerM: 10 }, "pretensionN"],
    [{ spanM: 20, sagM: Number.NaN, loadN: 100 }, "sagM"],
    [{ spanM: 20, sagM: 1, loadN: 100, stiffnessEAN: -1 }, "stiffnessEAN"],
  ])("an impossible line is refused by the field: %j", (input, field) => {
    const answer = loadedLine(input);
    expect(answer.ok ? [] : answer.problems.map(({ where }) => where?.field)).toContain(field);
  });

  test("a flat line without stiffness, and a stretch that no fibre has, are told", () => {
    const codes = (input: LoadedLineInput) => {
      const answer = loadedLine(input);
      return answer.ok ? answer.warnings.map(({ code }) => code) : [];
    };
    expect(codes({ spanM: 50, sagM: 0.3, loadN: 100 })).toEqual(["RIG_FLAT"]);
    expect(codes({ spanM: 50, lengthM: 50, loadN: 5000, stiffnessEAN: 50_000 })).toEqual(["RIG_STRAIN"]);
    expect(codes({ spanM: 50, sagM: 5, loadN: 100 })).toEqual([]);
  });
});

describe("capstan: round a pin", () => {
  test.each([
    // e^(μθ), evaluated with 50 digits.
    [0.25, 2 * Math.PI, 4.810477380965351],
    [0.1, 6 * Math.PI, 6.586061962694725],
    [0.15, Math.PI, 1.6019776512823565],
    [0.3, Math.PI / 2, 1.6019776512823565],
  ])("μ %f round %f radians", (mu, wrapAngleRad, ratio) => {
    near(given(capstan({ mu, wrapAngleRad })).tensionRatio, ratio, 1e-13);
    near(given(capstan({ mu, tensionRatio: ratio })).wrapAngleRad, wrapAngleRad, 1e-13);
  });

  test("a textbook's hawser, and a table of holding ratios", () => {
    // Beer and Johnston, Statics, chapter 8: 7500 N held by 150 N with two turns, μ = 0.311 (from memory).
    expect(given(capstan({ tensionRatio: 50, wrapAngleRad: 4 * Math.PI })).mu).toBeCloseTo(0.311, 3);
    // Public table of the capstan equation: μ 0.2, two turns 12; μ 0.5, three turns 12392 (from memory).
    expect(Math.round(given(capstan({ mu: 0.2, wrapAngleRad: 4 * Math.PI })).tensionRatio)).toBe(12);
    expect(Math.round(given(capstan({ mu: 0.5, wrapAngleRad: 6 * Math.PI })).tensionRatio)).toBe(12392);
  });

  test("one value, three, or an impossible one is refused", () => {
    expect(capstan({ mu: 0.1 }).ok).toBe(false);
    expect(capstan({ mu: 0.1, wrapAngleRad: 1, tensionRatio: 2 }).ok).toBe(false);
    expect(capstan({ mu: -0.1, wrapAngleRad: 1 }).ok).toBe(false);
    expect(capstan({ tensionRatio: 0.5, wrapAngleRad: 1 }).ok).toBe(false);
    expect(capstan({ tensionRatio: 2, mu: 0 }).ok).toBe(false);
    expect(capstan({ mu: 100, wrapAngleRad: 100 }).ok).toBe(false);
  });
});

describe("sling-legs: a lift with spread legs", () => {
  // The usual tabulated factors: 1.000, 1.155, 1.414, 2.000 at 0, 30, 45, 60 degrees from the vertical.
  test.each([
    [1000, 2, 0, 500, 1],
    [1000, 2, 30, 577.3502691896258, 1.1547005383792515],
    [1000, 2, 45, 707.1067811865476, Math.SQRT2],
    [1000, 2, 60, 1000, 2],
    [5000, 4, 30, 1443.3756729740644, 1.1547005383792515],
  ])("%f N on %i legs at %f degrees", (loadN, legs, angleFromVerticalDeg, legTensionN, factor) => {
    const lift = given(slingLegs({ loadN, legs, angleFromVerticalDeg }));
    near(lift.legTensionN, legTensionN, 1e-13);
    near(lift.factor, factor, 1e-13);
  });

  test("two legs counted of four carry twice as much each", () => {
    const all = given(slingLegs({ loadN: 5000, legs: 4, angleFromVerticalDeg: 30 }));
    const two = given(slingLegs({ loadN: 5000, legs: 4, angleFromVerticalDeg: 30, legsCounted: 2 }));
    near(two.legTensionN, 2 * all.legTensionN, 1e-15);
  });

  test("level legs, no legs and more legs than there are, are refused", () => {
    for (const bad of [
      { angleFromVerticalDeg: 90 },
      { legs: 0 },
      { legs: 1.5 },
      { legsCounted: 3 },
      { loadN: -1 },
    ])
      expect(slingLegs({ loadN: 1, legs: 2, angleFromVerticalDeg: 10, ...bad }).ok).toBe(false);
  });
});

describe("fall-energy: a load that falls into a spring", () => {
  // F = W (1 + √(1 + 2h/δ)), evaluated with 50 digits.
  test.each([
    [800, 2, 4000, 4466.060555964672, 1.116515138991168, 2493.2121111929346],
    [800, 0, 4000, 1600, 0.4, 320],
    [1000, 0.5, 20_000, 5582.57569495584, 0.279128784747792, 779.128784747792],
  ])("%f N falling %f m into %f N/m", (weightN, freeFallM, stiffnessNPerM, peak, stretch, energy) => {
    const fall = given(fallEnergy({ weightN, freeFallM, stiffnessNPerM }));
    near(fall.peakForceN, peak, 1e-13);
    near(fall.stretchM, stretch, 1e-13);
    near(fall.energyJ, energy, 1e-13);
  });

  test("by the share of the line's length that is fallen", () => {
    near(
      given(fallEnergy({ weightN: 785, stiffnessEAN: 20_000, fallFactor: 1 })).peakForceN,
      6443.288168695546,
      1e-13,
    );
    near(
      given(fallEnergy({ weightN: 785, stiffnessEAN: 20_000, fallFactor: 2 })).peakForceN,
      8748.430479385124,
      1e-13,
    );
  });

  test("springs one after the other are softer than each; a stiff one among soft ones hardly counts", () => {
    const both = given(fallEnergy({ weightN: 800, freeFallM: 1, stiffnessNPerM: [4000, 4000] }));
    near(
      both.peakForceN,
      given(fallEnergy({ weightN: 800, freeFallM: 1, stiffnessNPerM: 2000 })).peakForceN,
      1e-14,
    );
    const stiff = given(fallEnergy({ weightN: 800, freeFallM: 1, stiffnessNPerM: [4000, 1e9] }));
    near(
      stiff.peakForceN,
      given(fallEnergy({ weightN: 800, freeFallM: 1, stiffnessNPerM: 4000 })).peakForceN,
      1e-5,
    );
  });

  test("what is missing or impossible is refused", () => {
    expect(fallEnergy({ weightN: 800 }).ok).toBe(false);
    expect(fallEnergy({ weightN: 800, freeFallM: 1, stiffnessNPerM: [] }).ok).toBe(false);
    expect(fallEnergy({ weightN: 800, freeFallM: -1, stiffnessNPerM: 5 }).ok).toBe(false);
    expect(fallEnergy({ weightN: 0, freeFallM: 1, stiffnessNPerM: 5 }).ok).toBe(false);
  });
});

describe("redirect: a pulley that turns a line", () => {
  test("straight on nothing, square √2, and back on itself twice the tension", () => {
    expect(given(redirect({ tensionN: 1000, turnDeg: 0 })).anchorN).toBe(0);
    near(given(redirect({ tensionN: 1000, turnDeg: 90 })).anchorN, 1000 * Math.SQRT2, 1e-15);
    near(given(redirect({ tensionN: 1000, turnDeg: 60 })).anchorN, 1000, 1e-15);
    expect(given(redirect({ tensionN: 1000, turnDeg: 180 })).anchorN).toBe(2000);
  });

  test("with friction: a 3-4-5 triangle", () => {
    const { tensionOutN, anchorN } = given(redirect({ tensionN: 4000, turnDeg: 90, efficiency: 0.75 }));
    expect(tensionOutN).toBe(3000);
    near(anchorN, 5000, 1e-15);
    expect(redirect({ tensionN: 1, turnDeg: 200 }).ok).toBe(false);
    expect(redirect({ tensionN: 1, turnDeg: 20, efficiency: 1.2 }).ok).toBe(false);
  });
});

describe("a line hung to a sag, from a two-thousandth of the span to a hundred spans", () => {
  const logUniform = (from: number, to: number) =>
    fc.double({ min: Math.log(from), max: Math.log(to), noNaN: true }).map(Math.exp);
  const lines = fc.record({
    spanM: logUniform(1, 300),
    rise: fc.double({ min: -0.5, max: 0.5, noNaN: true }),
    sags: logUniform(0.0005, 100),
    loadN: fc.oneof(fc.constant(0), logUniform(10, 1e5)),
    weightNPerM: logUniform(0.01, 20),
    place: fc.double({ min: 0.02, max: 0.98, noNaN: true }),
    stiffnessEAN: fc.option(logUniform(1e4, 1e7), { nil: undefined }),
  });

  test("has that sag", () => {
    fc.assert(
      fc.property(lines, ({ spanM, rise, sags, loadN, weightNPerM, place, stiffnessEAN }) => {
        const sagM = spanM * sags;
        const { sagM: found } = given(
          loadedLine({
            spanM,
            riseM: spanM * rise,
            sagM,
            loadN,
            weightNPerM,
            positionM: spanM * place,
            ...(stiffnessEAN === undefined ? {} : { stiffnessEAN }),
          }),
        );
        near(found, sagM, 1e-6);
      }),
      { numRuns: 300 },
    );
  });
});
