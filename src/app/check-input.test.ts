import { expect, test } from "vitest";
import { z } from "zod";
import { processorMs } from "../../test/setup/processor-time.ts";
import { checkInput, fieldPath, quoted } from "./check-input.ts";

const schema = z.object({
  name: z.string().min(1).max(5),
  share: z.number().gt(0).lt(1).optional(),
  count: z.number().int().min(2).max(9).optional(),
  level: z.union([z.number(), z.string()]).optional(),
  day: z.iso.date().optional(),
  parts: z
    .array(z.object({ size: z.number() }))
    .max(2)
    .optional(),
  note: z.string().default("none"),
});

const faults = (input: unknown) => {
  const checked = checkInput(schema, input);
  return checked.ok
    ? []
    : checked.problems.map(({ where, found, expected }) => [where?.field, found, expected]);
};

test("completes what may be left out", () => {
  expect(checkInput(schema, { name: "a" })).toEqual({
    ok: true,
    value: { name: "a", note: "none" },
    warnings: [],
  });
});

test.each([
  [{ name: "" }, "name", "", "at least one letter"],
  [{ name: "abcdef" }, "name", "abcdef", "at most 5 letters"],
  [{ name: "a", share: 1 }, "share", "1", "less than 1"],
  [{ name: "a", share: 0 }, "share", "0", "more than 0"],
  [{ name: "a", share: Number.NaN }, "share", "NaN", "a number"],
  [{ name: "a", count: 2.5 }, "count", "2.5", "a whole number"],
  [{ name: "a", count: 1 }, "count", "1", "at least 2"],
  [{ name: "a", count: "3" }, "count", "3", "a number"],
  [{ name: "a", level: true }, "level", "true", "a number or text"],
  [{ name: "a", day: "31.5.2024" }, "day", "31.5.2024", "a date such as 2024-05-31"],
  [{ name: "a", parts: [{ size: 1 }, { size: "2" }] }, "parts[1].size", "2", "a number"],
  [
    { name: "a", parts: [{ size: 1 }, { size: 2 }, { size: 3 }] },
    "parts",
    '[{"size":1},{"size":2},{"size":3}]',
    "at most 2 entries",
  ],
])("%j: %s", (input, field, found, expected) => {
  expect(faults(input)).toEqual([[field, found, expected]]);
});

test("says every fault at once, of fields that are wrong and of fields that are unknown", () => {
  expect(faults({ share: 7, shaer: 0.5, parts: [{ siez: 1 }] }).map(([field]) => field)).toEqual([
    "name",
    "share",
    "parts[0].size",
    "shaer",
    "parts[0].siez",
  ]);
});

test("does not take a field of an object's prototype for a known one", () => {
  expect(faults(JSON.parse('{"name":"a","__proto__":{"x":1}}')).map(([field]) => field)).toEqual([
    "__proto__",
  ]);
  expect(faults(JSON.parse('{"name":"a","constructor":1}')).map(([field]) => field)).toEqual(["constructor"]);
});

test("looks through a million numbers in a moment", () => {
  const numbers = z.object({ values: z.array(z.number()).max(1e6) });
  const values = Array.from({ length: 1e6 }, (_, at) => at);
  const took = processorMs(() => expect(checkInput(numbers, { values }).ok).toBe(true));
  // Some 100 ms. A walk that copied a path for each number took minutes.
  expect(took).toBeLessThan(5000);
  expect(checkInput(numbers, { values: [...values, 1] })).toMatchObject({
    problems: [{ where: { field: "values" }, expected: "at most 1000000 entries" }],
  });
});

test("writes paths and values as people do", () => {
  expect(fieldPath(["factors", 0, "levels", 2])).toBe("factors[0].levels[2]");
  expect(quoted("x".repeat(200))).toHaveLength(80);
  expect(quoted(undefined)).toBe("undefined");
});
