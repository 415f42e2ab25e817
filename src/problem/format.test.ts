import { expect, test } from "vitest";
import { formatProblems } from "./mod.ts";

test("formatProblems says place, found, wanted, the line itself, the way out and the code", () => {
  const text = formatProblems("Cannot import pull-14.csv: nothing was stored", [
    {
      code: "INPUT_FIELD",
      message: "this is not a number",
      where: { line: 812, column: "force", text: "40.56;12,4" },
      found: "12,4",
      expected: "a number such as 12.4",
      wayOut: "Decimal commas? Import again with --decimal comma.",
    },
  ]);
  expect(text).toBe(
    [
      "Cannot import pull-14.csv: nothing was stored",
      '  line 812, column "force": found "12,4", wanted a number such as 12.4',
      "    812 | 40.56;12,4",
      "  Decimal commas? Import again with --decimal comma.   [INPUT_FIELD]",
    ].join("\n"),
  );
});

test("formatProblems falls back to the message where nothing was found, and closes with the code", () => {
  const text = formatProblems("Cannot judge the series", [
    { code: "STAT_TOO_FEW", message: "A mean needs a pull." },
  ]);
  expect(text).toBe("Cannot judge the series\n  A mean needs a pull.   [STAT_TOO_FEW]");
});
