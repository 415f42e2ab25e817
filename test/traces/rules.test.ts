import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";

// docs/reading.md gives every rule a name. A rule without a test that carries its name is one that nothing holds.

const rules = [...readFileSync("docs/reading.md", "utf8").matchAll(/^\*\*(R-[A-Z]+)\.\*\*/gm)].map(
  ([, rule]) => rule,
);

test("every rule of docs/reading.md is in the title of a test, and every rule in a title is in the page", () => {
  const tested = new Set<string>();
  for (const folder of ["src/trace", "test/traces"])
    for (const file of readdirSync(folder, { encoding: "utf8", recursive: true }).filter((name) =>
      name.endsWith(".test.ts"),
    ))
      for (const [, title = ""] of readFileSync(join(folder, file), "utf8").matchAll(/\btest\(\s*"([^"]*)"/g))
        for (const [rule] of title.matchAll(/\bR-[A-Z]+\b/g)) tested.add(rule);
  expect(rules.length).toBeGreaterThan(10);
  expect([...tested].sort()).toEqual(rules.toSorted());
});
