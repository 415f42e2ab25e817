import { describe, expect, test } from "vitest";
import { fieldsOfSeries, splitLevels } from "./series-form.ts";
import { levelOf, nextLabel, planCells, sameLevels } from "./specimen-rows.ts";

describe("labels", () => {
  test("count on by their last number, and keep its width", () => {
    expect(nextLabel("A09")).toBe("A10");
    expect(nextLabel("A99")).toBe("A100");
    expect(nextLabel("L6-30-2")).toBe("L6-30-3");
    expect(nextLabel("7b")).toBe("8b");
    expect(nextLabel("loop")).toBe("loop 2");
    expect(nextLabel("")).toBe("1");
  });
});

describe("levels", () => {
  const bury = { name: "bury", unit: "d", levels: [30, 45] };
  const splice = { name: "splice", unit: "", levels: ["eye", "Loop"] };

  test("are numbers where they read as such, and the plan's own words otherwise", () => {
    expect(levelOf("30", bury)).toBe(30);
    expect(levelOf("37,5", bury)).toBe(37.5);
    expect(levelOf("loop", splice)).toBe("Loop");
    expect(levelOf("knot", splice)).toBe("knot");
  });

  test("are parted at commas, or at semicolons where decimals have commas", () => {
    expect(splitLevels("20, 30,45 , ")).toEqual(["20", "30", "45"]);
    expect(splitLevels("4,5; 6")).toEqual(["4,5", "6"]);
  });

  test("make a cell of every combination: as many as the product of their numbers", () => {
    const cells = planCells([bury, splice]);
    expect(cells.length).toBe(2 * 2);
    expect(new Set(cells.map((cell) => JSON.stringify(cell))).size).toBe(4);
    expect(planCells([])).toEqual([{}]);
    expect(sameLevels({ bury: 30, splice: "eye", maker: "x" }, { bury: 30, splice: "eye" })).toBe(true);
    expect(sameLevels({ bury: "30" }, { bury: 30 })).toBe(false);
  });
});

describe("a typed series", () => {
  const typed = {
    title: "T",
    question: "",
    method: "",
    tester: "",
    conclusions: "",
    pullsPerCell: "5",
    factors: [{ name: "bury", unit: "d", levels: "30, 45" }],
  };

  test("becomes its fields", () => {
    const { fields, problems } = fieldsOfSeries(typed);
    expect(problems).toEqual([]);
    expect(fields["pullsPerCell"]).toBe(5);
    expect(fields["factors"]).toEqual([{ name: "bury", unit: "d", levels: [30, 45] }]);
  });

  test("says of every field what is wrong with it", () => {
    const { problems } = fieldsOfSeries({
      ...typed,
      pullsPerCell: "2.5",
      factors: [
        { name: "", unit: "", levels: "" },
        { name: "pin", unit: "mm", levels: "10, 10" },
      ],
    });
    expect(problems.map(({ where }) => where?.field)).toEqual([
      "pullsPerCell",
      "factors[0].levels",
      "factors[0].name",
      "factors[1].levels",
    ]);
  });
});
