import { describe, expect, it } from "vitest";
import { lowerBoundMethods } from "../../stats/mod.ts";
import { type Calculation, calculations, findCalculation, runCalculation } from "./mod.ts";

// Whatever a calculation is given, it answers with a refusal that has a code and a reason, or with finite numbers of the
// shape that it promises, and never with NaN, null, a throw or a wait. Whether they are right is asserted elsewhere.

const awkward: readonly unknown[] = [
  [],
  [5],
  [5, 5, 5, 5],
  [1e-300, 1e300, 1],
  [1e300, 1.1e300, 1.2e300],
  [1e-300, 2e-300, 3e-300],
  [0, 0, 0],
  [1, Number.POSITIVE_INFINITY, 3],
  [1, Number.NaN, 3],
  ["1", "2", "3"],
  "12,4",
  [[1, 2], [3]],
  [null, 1],
  { 0: 1 },
  null,
  undefined,
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
  Number.NaN,
  1e300,
  1e-300,
  -1,
  0,
];

/** Where a calculation has several forms, the example shows one; these are others. */
const otherForms: Readonly<Record<string, readonly object[]>> = {
  "tolerance-factor": [{ n: 4, content: 0.9, confidence: 0.95, sides: "two" }],
  "lower-bound": lowerBoundMethods.map((method) => ({ values: [52, 51, 55, 49, 53], method, content: 0.5 })),
  fit: [
    { values: [52, 51, 55, 49, 53], family: "normal" },
    { values: [52, 51, 55, 49, 53], family: "lognormal" },
  ],
  bootstrap: [
    { values: [52, 51, 55], statistic: "mean", interval: "percentile", resamples: 200 },
    { values: [52, 51, 55], others: [1, 2, 4], statistic: "correlation", resamples: 200 },
    { values: [52, 51, 55], statistic: "median", resamples: 200 },
  ],
  "compare-two": [{ a: [49, 47, 52], b: [55, 54, 51], paired: true }],
  "mixed-model": [
    {
      response: [2, 4, 7, 3, 5, 9, 1, 2, 4],
      fixed: { bury: [1, 2, 3, 1, 2, 3, 1, 2, 3] },
      group: ["a", "a", "a", "b", "b", "b", "c", "c", "c"],
      slopes: ["bury"],
    },
    {
      response: [2, 4, 7, 3, 5, 9, 1, 2, 4],
      group: ["a", "a", "a", "b", "b", "b", "c", "c", "c"],
      crossed: { maker: ["x", "y", "z", "x", "y", "z", "x", "y", "z"] },
    },
  ],
  "nonlinear-fit": [
    { model: "power", x: [1, 2, 4, 8], y: [2, 2.9, 4.1, 5.5], at: 16 },
    { model: "exponential-approach", x: [0, 1, 2, 4, 8], y: [10, 7, 5.4, 4.2, 4] },
  ],
  claim: [{ values: [48.1, 50.3, 49.2, 51, 49.9], claimed: 49, kind: "mean" }],
  power: [
    { kind: "many", n: 5, means: [50, 52, 53], sd: 2 },
    { kind: "bound", n: 8, mean: 55, sd: 2, target: 50, content: 0.9, confidence: 0.95 },
  ],
  "sample-size": [
    { kind: "many", means: [50, 52, 53], sd: 2, power: 0.8 },
    { kind: "bound", mean: 55, sd: 2, target: 50, content: 0.9, confidence: 0.95, power: 0.8 },
  ],
  "standard-uncertainty": [
    { form: "readings", values: [10.1, 10.3, 10.2] },
    { form: "multiple", expanded: 0.24, k: 2 },
    { form: "interval", halfWidth: 2, probability: 0.95, degreesOfFreedom: 9 },
    { form: "limits", lower: 9, upper: 11 },
  ],
  "uncertainty-budget": [
    { parts: [{ name: "cell", value: 0.3, distribution: "normal", sensitivity: 2 }], k: 2 },
  ],
  "coverage-factor": [{ probability: 0.95, shape: "triangular" }],
  round: [
    { value: "10.25", significant: 2 },
    { value: 1.25, step: 0.5, rule: "up" },
  ],
};

const everyOne = calculations.map((calculation) => [calculation.name, calculation] as const);
const formsOf = ({ name, example }: Calculation): readonly unknown[] => [
  example,
  ...(otherForms[name] ?? []),
];

it("every other form is one that the calculation answers", () => {
  for (const [name, forms] of Object.entries(otherForms))
    for (const form of forms)
      expect([name, findCalculation(name).ok, runCalculation(name, form).ok]).toEqual([name, true, true]);
});

describe("one field at a time, however deep: removed, text, infinite, too few, all equal, of any size", () => {
  it.each(everyOne)(
    "%s",
    (_, calculation) => {
      for (const form of formsOf(calculation))
        for (const value of awkward)
          for (const input of copies(form, value)) expectAnswer(calculation, input);
    },
    120_000,
  );
});

describe("every list at once, so that lists that belong together stay of one length", () => {
  const mixed = [1e-300, 1e300, 1, 1e-300, 2e300];
  const alike: Readonly<Record<string, (list: readonly unknown[]) => readonly unknown[]>> = {
    "n = 0": () => [],
    "n = 1": (list) => list.slice(0, 1),
    "n = 2": (list) => list.slice(0, 2),
    "all equal": (list) => list.map(() => list[0]),
    "all zero": (list) => list.map((item) => (typeof item === "number" ? 0 : item)),
    infinite: (list) => list.map((item) => (typeof item === "number" ? Number.NEGATIVE_INFINITY : item)),
    text: (list) => list.map(String),
    "1e-300 and 1e300 mixed": (list) =>
      list.map((item, i) => (typeof item === "number" ? mixed[i % mixed.length] : item)),
  };
  it.each(everyOne)("%s", (_, calculation) => {
    for (const form of formsOf(calculation))
      for (const change of Object.values(alike)) expectAnswer(calculation, withLists(form, change));
  });
});

describe("all of them only lower bounds, or all but one", () => {
  const marking = calculations.filter(({ example, schemas }) => marksOf(schemas().input, example).length > 0);
  it("is asked of the calculations that take such marks", () => {
    expect(marking.map(({ name }) => name)).toEqual(
      expect.arrayContaining(["lower-bound", "fit", "fit-compare", "survival-curve", "weakest-part"]),
    );
  });
  it.each(marking.map((calculation) => [calculation.name, calculation] as const))("%s", (_, calculation) => {
    for (const input of marksOf(calculation.schemas().input, calculation.example))
      expectAnswer(calculation, input);
  });
});

// A size limit is a reason: what it refuses, it says. What is answered is answered within seconds, on any machine.
describe("a million values", () => {
  // As a load cell writes them: of some thousand steps.
  const steps = Float64Array.from({ length: 1000 }, (_, i) => 1 + 1e-3 * ((i * 0.6180339887498949) % 1));
  const lists = calculations.filter(({ example }) => countLists(example) > 0);
  it.each(lists.map((calculation) => [calculation.name, calculation] as const))(
    "%s",
    (_, calculation) => {
      const length = Math.ceil(1_000_000 / countLists(calculation.example));
      const input = withLists(calculation.example, (list) => {
        const long = new Array<unknown>(length);
        for (let i = 0; i < length; i++) {
          const item = list[i % list.length];
          long[i] = typeof item === "number" ? item * (steps[i % 1000] as number) : item;
        }
        return long;
      });
      const answer = expectAnswer(calculation, input);
      if (!answer.ok) expect(answer.problems[0]?.expected).toMatch(/^at most \d+|^\d+ or fewer/);
    },
    60_000,
  );
});

function expectAnswer(calculation: Calculation, input: unknown) {
  const answer = calculation.calculate(input);
  if (answer.ok) {
    const kept = JSON.parse(JSON.stringify(answer.value));
    expect(leaks(kept, calculation.name)).toEqual([]);
    const shape = calculation.output.safeParse(kept);
    expect(shape.error?.issues ?? []).toEqual([]);
  } else {
    expect(answer.problems.length).toBeGreaterThan(0);
    for (const { code, message } of answer.problems) expect([code, message]).not.toContain("");
  }
  return answer;
}

/** Every copy of an example in which one field, however deep, is another value. */
function copies(example: unknown, value: unknown): unknown[] {
  if (typeof example !== "object" || example === null) return [value];
  const inside = Object.entries(example).flatMap(([key, part]) =>
    copies(part, value).map((changed) =>
      Array.isArray(example)
        ? example.map((item, i) => (String(i) === key ? changed : item))
        : withField(example, key, changed),
    ),
  );
  return [value, ...inside];
}

/** What is undefined is no field at all, as in JSON. */
function withField(example: object, key: string, value: unknown): object {
  const { [key]: _, ...others } = example as Record<string, unknown>;
  return value === undefined ? others : { ...example, [key]: value };
}

/** The example with every list of plain values changed. */
function withLists(example: unknown, change: (list: readonly unknown[]) => readonly unknown[]): unknown {
  if (typeof example !== "object" || example === null) return example;
  if (Array.isArray(example))
    return isPlain(example) ? change(example) : example.map((item) => withLists(item, change));
  return Object.fromEntries(Object.entries(example).map(([key, part]) => [key, withLists(part, change)]));
}

function countLists(example: unknown): number {
  if (typeof example !== "object" || example === null) return 0;
  if (Array.isArray(example) && isPlain(example)) return 1;
  return Object.values(example).reduce((count: number, part) => count + countLists(part), 0);
}

function isPlain(list: readonly unknown[]): boolean {
  return list.length > 0 && list.every((item) => typeof item !== "object");
}

/** Copies of the example with marks of lower bounds set, wherever the schema knows such marks beside a list. */
function marksOf(schema: unknown, example: unknown): unknown[] {
  return ["censored", "stopped"].flatMap((mark) =>
    [(_: number) => true, (i: number) => i > 0].flatMap((isMarked) => {
      const marked = marking(schema, example, mark, isMarked);
      return JSON.stringify(marked) === JSON.stringify(example) ? [] : [marked];
    }),
  );
}

function marking(schema: unknown, part: unknown, mark: string, isMarked: (i: number) => boolean): unknown {
  if (typeof part !== "object" || part === null) return part;
  const known = schema as { items?: unknown; properties?: Record<string, unknown> };
  if (Array.isArray(part)) return part.map((item) => marking(known.items ?? {}, item, mark, isMarked));
  const fields = Object.entries(part).map(([key, inside]) => [
    key,
    marking(known.properties?.[key] ?? {}, inside, mark, isMarked),
  ]);
  const list = Object.values(part).find((inside): inside is unknown[] => Array.isArray(inside));
  const marks =
    known.properties?.[mark] === undefined || list === undefined
      ? []
      : [[mark, list.map((_, i) => isMarked(i))]];
  return Object.fromEntries([...fields, ...marks]);
}

/** Paths to whatever is no finite number. */
function leaks(value: unknown, path: string): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [`${path} is ${value}`];
  if (value === null) return [`${path} is null`];
  if (typeof value !== "object") return [];
  return Object.entries(value).flatMap(([key, item]) => leaks(item, `${path}.${key}`));
}
