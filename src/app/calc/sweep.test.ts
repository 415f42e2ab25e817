import { expect, it } from "vitest";
import { calculations, runCalculation } from "./mod.ts";

// Every list of numbers in each calculation's example is put in turn to each of these. Whatever is given: a refusal with a
// code, or finite numbers only. What is right is asserted elsewhere.
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
  1e300,
  -1,
  0,
];

/** Every copy of an example in which one field, however deep, is another value. */
function copies(example: unknown, value: unknown): unknown[] {
  if (typeof example !== "object" || example === null) return [value];
  const inside = Object.entries(example).flatMap(([key, part]) =>
    copies(part, value).map((changed) =>
      Array.isArray(example)
        ? example.map((item, i) => (String(i) === key ? changed : item))
        : { ...example, [key]: changed },
    ),
  );
  return [value, ...inside];
}

function leaks(value: unknown, path: string): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [`${path} is ${value}`];
  if (value === null) return [`${path} is null`];
  if (typeof value !== "object") return [];
  return Object.entries(value).flatMap(([key, item]) => leaks(item, `${path}.${key}`));
}

it.each(calculations.map((calculation) => [calculation.name, calculation.example] as const))(
  "%s gives finite numbers or a refusal, whatever it is given",
  (name, example) => {
    for (const value of awkward) {
      for (const input of copies(example, value)) {
        const answer = runCalculation(name, input);
        if (answer.ok) expect(leaks(answer.value, name)).toEqual([]);
        else expect(answer.problems.length).toBeGreaterThan(0);
      }
    }
  },
  120_000,
);
