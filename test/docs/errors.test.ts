import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { problemCodes } from "../../src/problem/mod.ts";

// docs/errors.md and the codes in the program are one list. To write the page anew after a code was added:
// BITTEREND_WRITE_DOCS=1 npm test -- test/docs

const page = "docs/errors.md";

describe("the list of codes", () => {
  const wanted = errorsPage();
  if (process.env["BITTEREND_WRITE_DOCS"] !== undefined) writeFileSync(page, wanted);

  test("is what docs/errors.md says", () => {
    expect(readFileSync(page, "utf8")).toBe(wanted);
  });

  test("holds no code that the program never uses", () => {
    const sources = readdirSync("src", { recursive: true, encoding: "utf8" }).filter(
      (file) => /\.tsx?$/.test(file) && !file.endsWith("codes.ts") && !file.includes(".test."),
    );
    const text = sources.map((file) => readFileSync(`src/${file}`, "utf8")).join("\n");
    const idle = Object.keys(problemCodes).filter((code) => !text.includes(`"${code}"`));
    expect(idle).toEqual([]);
  });
});

function errorsPage(): string {
  const lines = Object.entries(problemCodes).map(([code, sentence]) => `| \`${code}\` | ${sentence} |`);
  return `# Codes of problems and warnings

Each problem says what was found, where, what is wanted and the way out; its code names the kind. A code keeps its
meaning once published. Problems refuse; warnings ride along with a result up to the printed report.

| code | meaning |
|---|---|
${lines.join("\n")}
`;
}
