import { describe, expect, test } from "vitest";
import { formatTable, plain } from "./terminal.ts";

describe("a table", () => {
  test("lines up its columns, to the right where that was asked", () => {
    const rows = [
      ["pull", "end"],
      ["1", "collapse"],
      ["10", "decline"],
    ];
    expect(formatTable(rows, "rl")).toEqual(["pull  end", "   1  collapse", "  10  decline"]);
  });
});

describe("text out of a file", () => {
  test.each([
    ["plain words, tab\tand\nline", "plain words, tab\tand\nline"],
    ["Prüfung 42 µs \u{1f9f6}", "Prüfung 42 µs \u{1f9f6}"],
    // ECMA-48: ESC begins a control sequence, and CSI may also come as the one character U+009B.
    ["\u001b[2Jgone", "?[2Jgone"],
    ["\u009b2Jgone", "?2Jgone"],
    ["back\rover", "back?over"],
    ["\u0007", "?"],
  ])("%j cannot steer the terminal", (text, shown) => {
    expect(plain(text)).toBe(shown);
  });
});
