import { expect, test } from "vitest";
import { compareOutput, keyOf, readAnswers, relative } from "./compare.ts";
import { output, type Spec } from "./spec.ts";

// The comparison itself must be able to say no: by arithmetic.

test("a difference is relative to the larger number, or to the size named", () => {
  expect(relative([1.1], [1], 0)).toBeCloseTo(0.1 / 1.1, 12);
  expect(relative([1e-9], [-1e-9], 1)).toBeCloseTo(2e-9, 20);
  expect(relative([0], [0], 0)).toBe(0);
});

test("a number that is none, or one too many, is a disagreement", () => {
  expect(relative([1], [Number.NaN], 0)).toBe(Number.POSITIVE_INFINITY);
  expect(relative([1, 2], [1], 0)).toBe(Number.POSITIVE_INFINITY);
});

test("an answer of R is read with its versions, numbers and refusals", () => {
  const { versions, answers } = readAnswers(
    "versions\tR 4\tlme4 1.1\npool\t0\tdl\t1 2.5e-3 NA\npool\t1\t!\tno convergence\n",
  );
  expect(versions).toEqual(["R 4", "lme4 1.1"]);
  expect(answers.get(keyOf("pool", 0, "dl"))).toEqual([1, 0.0025, Number.NaN]);
  expect(answers.get(keyOf("pool", 1, "!"))).toBe("no convergence");
});

test("what lies beyond the tolerance is counted with its case, what one side lacks is counted apart", () => {
  const spec: Spec = {
    name: "half",
    calculation: "half",
    group: "base",
    inR: "x / 2",
    draw: () => ({}),
    outputs: { half: output((v: { half?: number }) => v.half, 1e-6) },
  };
  const cases = [{ half: 1 }, { half: 2.1 }, { half: 3 }, {}].map((value, at) => ({ input: { at }, value }));
  const { answers } = readAnswers("versions\tR\nhalf\t0\thalf\t1\nhalf\t1\thalf\t2\nhalf\t3\thalf\t4\n");
  const compared = compareOutput(spec, "half", cases, answers);
  expect(compared).toMatchObject({ compared: 2, onlyOurs: 1, onlyR: 1 });
  expect(compared.beyond.map(({ input }) => input)).toEqual([{ at: 1 }]);
  expect(compared.largest).toBeCloseTo(0.1 / 2.1, 12);
});
