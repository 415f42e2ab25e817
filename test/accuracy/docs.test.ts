import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { faultKinds } from "../../src/trace/mod.ts";
import { boundaryNames } from "./boundaries.ts";
import { faultTelling } from "./telling.ts";

// docs/accuracy.md says by which codes each fault is told, and how each boundary is judged.

const rows = readFileSync("docs/accuracy.md", "utf8")
  .split("\n")
  .filter((line) => line.startsWith("| "))
  .map((line) => line.slice(2, -2).split(" | "));

test.each(faultKinds)("the page says how %s is told", (kind) => {
  const row = rows.find(([name]) => name === kind);
  const told = row?.at(-1)?.match(/[A-Z]+_[A-Z_]+/g);
  expect(told).toEqual([...faultTelling[kind].codes]);
});

test.each(boundaryNames)("the page says what %s means", (name) => {
  expect(rows.filter(([first]) => first === name)).toHaveLength(1);
});
