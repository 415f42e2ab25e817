import { readdirSync, readFileSync } from "node:fs";
import { cruise, type ICruiseResult, type IForbiddenRuleType } from "dependency-cruiser";
import { beforeAll, describe, expect, test } from "vitest";

// ARCHITECTURE.md holds the table of who may import whom; here it becomes rules, and the sources are held to them.

type Row = { part: string; values: string[]; types: string[] };

const rows = readTable(readFileSync("ARCHITECTURE.md", "utf8"));
const parts = rows.map((row) => row.part);
const anywhere = "(^|/)[^/]+\\.test\\.tsx?$";

describe("the import table", () => {
  let result: ICruiseResult;

  beforeAll(async () => {
    const cruised = await cruise(
      ["src"],
      {
        ruleSet: { forbidden: [...rows.flatMap(rulesOf), noCycles, onlyDoors] },
        validate: true,
        tsPreCompilationDeps: "specify",
        doNotFollow: { path: "node_modules" },
        exclude: { path: anywhere },
      },
      { extensions: [".ts", ".tsx"] },
    );
    result = cruised.output as ICruiseResult;
  }, 240_000);

  test("names every folder of src, and no other", () => {
    const folders = readdirSync("src", { withFileTypes: true }).filter((entry) => entry.isDirectory());
    expect(parts.toSorted()).toEqual(folders.map((folder) => folder.name).toSorted());
  });

  test("was held against all sources", () => {
    expect(result.summary.totalCruised).toBeGreaterThan(parts.length * 2);
    for (const part of parts)
      expect(result.modules.some((module) => module.source.startsWith(`src/${part}/`))).toBe(true);
  });

  test("is kept: no import outside it, no cycle, no way into a part but its door", () => {
    const breaches = result.summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} -> ${to}`);
    expect(breaches).toEqual([]);
  });
});

const noCycles: IForbiddenRuleType = {
  name: "no cycles",
  severity: "error",
  comment: "A cycle makes two files one; types count as well, since a reader follows them all the same.",
  from: {},
  to: { circular: true },
};

const onlyDoors: IForbiddenRuleType = {
  name: "only through the door",
  severity: "error",
  comment: "mod.ts is the only door to a part: what it does not export is the part's own business.",
  from: { path: "^src/([^/]+)/" },
  to: { path: "^src/([^/]+)/", pathNot: ["^src/$1/", "^src/[^/]+/mod\\.ts$", "^src/app/node/mod\\.ts$"] },
};

function rulesOf({ part, values, types }: Row): IForbiddenRuleType[] {
  const own = `^src/${part}/`;
  const allowed = ["problem", ...values].map((name) => `^src/${name}/`);
  const byType = types.map((name) => `^src/${name}/`);
  return [
    {
      name: `${part} imports a part that the table does not give it`,
      severity: "error",
      from: { path: own },
      to: { path: "^src/", pathNot: [own, ...allowed, ...byType] },
    },
    {
      name: `${part} imports a value where the table gives it types only`,
      severity: "error",
      from: { path: own },
      to: {
        path: byType.length === 0 ? "^$" : byType,
        pathNot: [own, ...allowed],
        dependencyTypesNot: ["type-only"],
      },
    },
  ];
}

function readTable(text: string): Row[] {
  const lines = text.slice(text.indexOf("| part | may import | types only |")).split("\n").slice(2);
  const table = lines.slice(
    0,
    lines.findIndex((line) => !line.startsWith("|")),
  );
  const list = (cell: string | undefined) =>
    [...(cell ?? "").matchAll(/`(\w+)`/g)].map((match) => match[1] ?? "");
  return table.flatMap((line) => {
    const [, names, values, types] = line.split("|");
    return list(names).map((part) => ({ part, values: list(values), types: list(types) }));
  });
}
