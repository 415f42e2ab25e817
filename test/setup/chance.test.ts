import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";

const root = join(import.meta.dirname, "..", "..");

/** Sources of the program and its tests, each with its path from the root. */
function sources(): string[] {
  return ["src", "test"].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
      .filter((path) => /\.tsx?$/.test(path))
      .map((path) => join(folder, path)),
  );
}

test("property tests draw the same cases on every run, and others when asked", () => {
  const asked = process.env["BITTEREND_SEED"];
  expect(fc.readConfigureGlobal().seed).toBe(asked === undefined ? 1 : Number(asked));
  const draw = () => fc.sample(fc.double(), 20);
  expect(draw()).toEqual(draw());
  expect(fc.sample(fc.double(), { numRuns: 20, seed: 2 })).not.toEqual(
    fc.sample(fc.double(), { numRuns: 20, seed: 3 }),
  );
});

test("no test draws from chance that no seed gives", () => {
  const drawn = sources().filter(
    (path) =>
      path.endsWith(".test.ts") && /Math\.random\(|randomInt\(/.test(readFileSync(join(root, path), "utf8")),
  );
  expect(drawn.filter((path) => !path.endsWith("chance.test.ts"))).toEqual([]);
});
