import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { calculations, runCalculation } from "./mod.ts";

const page = (name: string) =>
  readFileSync(new URL(`../../../docs/methods/${name}.md`, import.meta.url), "utf8");
const list = page("README");
const names = calculations.map(({ name }) => [name] as const);

// What each page must say, by the words that open its paragraphs.
const parts = [
  "**Question.**",
  "**Formula.**",
  "**Source.**",
  "**By hand.**",
  "**Coverage.**",
  "**When not to use it.**",
];

describe("every calculation has its page in docs/methods", () => {
  it.each(names)("%s", (name) => {
    const text = page(name);
    expect(text.startsWith(`# ${name}\n`)).toBe(true);
    expect(parts.filter((part) => !text.includes(part))).toEqual([]);
    expect(list).toContain(`[${name}](${name}.md)`);
  });
});

describe("every page's case by hand comes out as its arithmetic does", () => {
  it.each(names)("%s", (name) => {
    const { arithmetic, cases } = byHand(page(name));
    expect(cases.length).toBeGreaterThan(0);
    for (const { input, output } of cases) {
      const answer = runCalculation(name, JSON.parse(input));
      if (!answer.ok) throw new Error(answer.problems.map(({ message }) => message).join(" "));
      const printed = readPrinted(output);
      // A case says something: at least one figure, and each is one that the arithmetic above it comes to.
      const figures = figuresIn(printed);
      expect(figures.length).toBeGreaterThan(0);
      expect(figures.filter((figure) => !holdsFigure(arithmetic, figure))).toEqual([]);
      expect(unlike(answer.value, printed, "")).toEqual([]);
    }
  });
});

describe("the comparison itself", () => {
  const read = (text: string) => readPrinted(text);
  it("takes half a unit of the last digit printed, and a whole number as it stands", () => {
    expect(unlike({ a: 2.2449, b: [80] }, read('{ "a": 2.24, "b": [80] }'), "")).toEqual([]);
    expect(unlike({ a: 2.2451 }, read('{ "a": 2.24 }'), "")).toHaveLength(1);
    expect(unlike({ a: 80.01 }, read('{ "a": 80 }'), "")).toHaveLength(1);
    expect(unlike({ a: 80.01 }, read('{ "a": 80.0 }'), "")).toEqual([]);
  });
  it("sees what is missing, of another kind, or of another length", () => {
    expect(unlike({}, read('{ "a": 1 }'), "")).toHaveLength(1);
    expect(unlike({ a: "1" }, read('{ "a": 1 }'), "")).toHaveLength(1);
    expect(unlike({ a: [1, 2] }, read('{ "a": [1] }'), "")).toHaveLength(1);
    expect(unlike({ a: "x" }, read('{ "a": "y" }'), "")).toHaveLength(1);
  });
  it("finds a figure only as a whole one", () => {
    expect(holdsFigure("so 0.0238 of all", "0.0238")).toBe(true);
    expect(holdsFigure("so 0.02381 of all", "0.0238")).toBe(false);
    expect(holdsFigure("so 10.02", "0.02")).toBe(false);
    expect(holdsFigure("it is −3.5.", "-3.5")).toBe(true);
  });
});

/** The prose under "By hand", and the pairs of input and output that follow it. */
function byHand(text: string): {
  readonly arithmetic: string;
  readonly cases: readonly { readonly input: string; readonly output: string }[];
} {
  const part = text.slice(text.indexOf("**By hand.**"));
  const pairs = part.matchAll(/```json input\n([^`]+)```\n\n```json output\n([^`]+)```/g);
  return {
    arithmetic: part.slice(0, part.indexOf("```json input")),
    cases: [...pairs].map(([, input = "", output = ""]) => ({ input, output })),
  };
}

/** A number by the digits it was printed with: 0.50 and 0.5 are not the same statement. */
class Printed {
  readonly digits: string;
  constructor(digits: string) {
    this.digits = digits;
  }
  isLike(value: unknown): boolean {
    if (typeof value !== "number") return false;
    const decimals = this.digits.split(".")[1]?.length;
    const off = Math.abs(value - Number(this.digits));
    const hair = 1e-9 * Math.max(1, Math.abs(value));
    return off <= (decimals === undefined ? 0 : 0.5 * 10 ** -decimals) + hair;
  }
}

/** JSON whose numbers keep their digits. */
function readPrinted(json: string): unknown {
  const marked = json.replace(/"(?:[^"\\]|\\.)*"|-?\d+(?:\.\d+)?/g, (token) =>
    token.startsWith('"') ? token : `{"digits":"${token}"}`,
  );
  return JSON.parse(marked, (_, value: unknown) =>
    typeof value === "object" && value !== null && "digits" in value
      ? new Printed(String(value.digits))
      : value,
  );
}

/** Where a value is not what is printed; what is not printed is not looked at. */
function unlike(value: unknown, printed: unknown, path: string): string[] {
  if (printed instanceof Printed)
    return printed.isLike(value) ? [] : [`${path}: ${value} where ${printed.digits} is printed`];
  if (Array.isArray(printed)) {
    if (!Array.isArray(value) || value.length !== printed.length)
      return [`${path}: not a list of ${printed.length}`];
    return printed.flatMap((one, i) => unlike(value[i], one, `${path}[${i}]`));
  }
  if (typeof printed === "object" && printed !== null) {
    if (typeof value !== "object" || value === null) return [`${path}: nothing there`];
    return Object.entries(printed).flatMap(([key, one]) =>
      unlike((value as Record<string, unknown>)[key], one, `${path}.${key}`),
    );
  }
  return value === printed ? [] : [`${path}: ${value} where ${printed} is printed`];
}

/** All figures of a printed output, those in its texts among them. */
function figuresIn(printed: unknown): string[] {
  if (printed instanceof Printed) return [printed.digits];
  if (typeof printed === "string") return printed.match(/\d+(\.\d+)?/g) ?? [];
  return typeof printed === "object" && printed !== null ? Object.values(printed).flatMap(figuresIn) : [];
}

function holdsFigure(prose: string, figure: string): boolean {
  const digits = figure.replace("-", "").replace(".", "\\.");
  return new RegExp(`(?<![\\d.])${digits}(?!\\d|\\.\\d)`).test(prose);
}
