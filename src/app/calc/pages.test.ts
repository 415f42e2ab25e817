import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { calculations } from "./mod.ts";

const page = (name: string) =>
  readFileSync(new URL(`../../../docs/methods/${name}.md`, import.meta.url), "utf8");
const list = page("README");

// What each page must say, by the words that open its paragraphs.
const parts = ["**Question.**", "**Formula.**", "**Source.**", "**By hand.**", "**When not to use it.**"];

describe("every calculation has its page in docs/methods", () => {
  it.each(calculations.map(({ name }) => [name] as const))("%s", (name) => {
    const text = page(name);
    expect(text.startsWith(`# ${name}\n`)).toBe(true);
    expect(parts.filter((part) => !text.includes(part))).toEqual([]);
    expect(list).toContain(`[${name}](${name}.md)`);
  });
});
