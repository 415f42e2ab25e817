import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { FieldSpec } from "./kinds.ts";
import { levelOf, levelText } from "./specimen-rows.ts";

export type TypedFactor = { readonly name: string; readonly unit: string; readonly levels: string };

/** The fields of a series as they are typed. */
export type TypedSeries = {
  readonly title: string;
  readonly question: string;
  readonly method: string;
  readonly tester: string;
  readonly conclusions: string;
  readonly pullsPerCell: string;
  readonly factors: readonly TypedFactor[];
};

/** How the fields are called where two versions of a series are laid side by side. */
export const seriesSpecs: readonly FieldSpec[] = [
  { name: "title", label: "Title", as: "text" },
  { name: "question", label: "Question", as: "long" },
  { name: "method", label: "How it is pulled", as: "long" },
  { name: "tester", label: "Tester", as: "text" },
  { name: "conclusions", label: "Conclusions", as: "long" },
  { name: "pullsPerCell", label: "Pulls in each cell", as: "whole" },
];
export const factorSpecs: readonly FieldSpec[] = [{ name: "factors", label: "What is varied", as: "text" }];

export function typedSeries(series: StoredRecord<"series">): TypedSeries {
  return {
    title: series.title,
    question: series.question,
    method: series.method,
    tester: series.tester,
    conclusions: series.conclusions,
    pullsPerCell: String(series.pullsPerCell),
    factors: series.factors.map((factor) => ({
      name: factor.name,
      unit: factor.unit,
      levels: factor.levels.map(levelText).join(", "),
    })),
  };
}

/**
 * What was typed as the fields of a series. Levels are parted by commas (a decimal comma is read where no space follows
 * it and semicolons part them), and each is a number where it reads as one.
 */
export function fieldsOfSeries(typed: TypedSeries): {
  readonly fields: Readonly<Record<string, unknown>>;
  readonly problems: readonly Problem[];
} {
  const problems: Problem[] = [];
  const pullsPerCell = Number(typed.pullsPerCell.trim() === "" ? 0 : typed.pullsPerCell);
  if (!Number.isInteger(pullsPerCell) || pullsPerCell < 0)
    problems.push(
      wrong(
        "pullsPerCell",
        "Pulls in each cell is not a whole number.",
        typed.pullsPerCell,
        "a whole number such as 5",
      ),
    );
  const factors = typed.factors.map((factor, at) => {
    const levels = splitLevels(factor.levels).map((text) => levelOf(text));
    if (levels.length === 0)
      problems.push(
        wrong(
          `factors[${at}].levels`,
          "This factor has no level.",
          factor.levels,
          "levels such as 20, 30, 45",
        ),
      );
    const twice = levels.find((level, index) => levels.indexOf(level) !== index);
    if (twice !== undefined)
      problems.push(
        wrong(`factors[${at}].levels`, "A level stands twice.", String(twice), "each level once"),
      );
    if (factor.name.trim() === "")
      problems.push(
        wrong(`factors[${at}].name`, "This factor has no name.", factor.name, "a word such as bury"),
      );
    return { name: factor.name.trim(), unit: factor.unit.trim(), levels };
  });
  const { title, question, method, tester, conclusions } = typed;
  return { fields: { title, question, method, tester, conclusions, pullsPerCell, factors }, problems };
}

/**
 * Parts typed levels: at semicolons where there are any, otherwise at commas.
 *
 * @example
 * splitLevels("4,5; 6") // ["4,5", "6"]
 */
export function splitLevels(text: string): readonly string[] {
  return text
    .split(text.includes(";") ? ";" : ",")
    .map((part) => part.trim())
    .filter((part) => part !== "");
}

function wrong(field: string, message: string, found: string, expected: string): Problem {
  return { code: "INPUT_FIELD", message, where: { field }, found, expected };
}
