import type { SeriesOverview, StoredRecord } from "../../app/mod.ts";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { LevelValue } from "../../series/mod.ts";
import { readWanted, wantedText } from "../splice/wanted.ts";
import { measures, shownQuantity, trimmed, typedQuantity } from "./quantity.ts";
import type { Patch } from "./saver.ts";

export type Specimen = StoredRecord<"specimen">;
export type Factor = SeriesOverview["series"]["factors"][number];

/** One column of the specimen ledger. */
export type Column = {
  /** The field, or "levels.NAME" for a factor. */
  readonly key: string;
  readonly label: string;
  readonly as: "text" | "length" | "wanted" | "date" | "rope" | "spool" | "recipe" | "level";
  readonly factor?: Factor;
};

/** The ledger's columns for a series: what it is, its levels, what it is made of, its length as wanted, all as made. */
export function columnsOf(series: SeriesOverview["series"]): readonly Column[] {
  return [
    { key: "label", label: "Specimen", as: "text" },
    ...series.factors.map(
      (factor): Column => ({
        key: `levels.${factor.name}`,
        label: factor.unit === "" ? factor.name : `${factor.name}, ${factor.unit}`,
        as: "level",
        factor,
      }),
    ),
    { key: "ropeId", label: "Rope", as: "rope" },
    { key: "spoolId", label: "Spool", as: "spool" },
    { key: "recipeId", label: "Recipe", as: "recipe" },
    { key: "wanted", label: "Wanted", as: "wanted" },
    { key: "cutLengthMm", label: "Cut, mm", as: "length" },
    { key: "finishedLengthMm", label: "Finished, mm", as: "length" },
    { key: "buryFullMm", label: "Full bury, mm", as: "length" },
    { key: "buryTaperMm", label: "Taper, mm", as: "length" },
    { key: "maker", label: "Maker", as: "text" },
    { key: "madeOn", label: "Made on", as: "date" },
    { key: "notes", label: "Notes", as: "text" },
  ];
}

/** What a cell shows for a specimen. */
export function cellText(column: Column, specimen: Specimen | undefined, overview: SeriesOverview): string {
  if (specimen === undefined) return "";
  switch (column.as) {
    case "level": {
      const level = specimen.levels[column.factor?.name ?? ""];
      return level === undefined ? "" : levelText(level);
    }
    case "rope":
      return overview.ropes.find((one) => one.id === specimen.ropeId)?.name ?? "";
    case "spool":
      return overview.spools.find((one) => one.id === specimen.spoolId)?.name ?? "";
    case "recipe":
      return overview.recipes.find((one) => one.id === specimen.recipeId)?.name ?? "";
    case "wanted":
      return wantedText(specimen.wanted);
    default: {
      const value = (specimen as Readonly<Record<string, unknown>>)[column.key];
      return typeof value === "number" ? trimmed(value) : typeof value === "string" ? value : "";
    }
  }
}

/** What was typed into a cell as a change of the specimen. */
export function cellPatch(
  column: Column,
  text: string,
  specimen: Readonly<{
    levels?: Readonly<Record<string, LevelValue>> | null;
    wanted?: Specimen["wanted"] | null;
  }>,
  overview: SeriesOverview,
): Result<Patch<"specimen">> {
  const typed = text.trim();
  if (column.as === "level") return levelPatch(column, typed, specimen.levels ?? {});
  if (typed === "") return ok({ [column.key]: column.as === "text" ? "" : null } as Patch<"specimen">);
  if (column.as === "wanted") {
    const wanted = readWanted(typed, specimen.wanted ?? {});
    return wanted.ok ? ok({ wanted: wanted.value }) : wanted;
  }
  if (column.as === "length") {
    const answer = typedQuantity(typed, measures.mm, column.key);
    return answer.ok ? ok({ [column.key]: answer.value } as Patch<"specimen">) : answer;
  }
  if (column.as === "date") {
    const date = isoDate(typed);
    if (date === undefined)
      return refuse(wrong(column, typed, "a date such as 2026-03-14", "This is not a date."));
    return ok({ madeOn: date });
  }
  if (column.as === "text") return ok({ [column.key]: typed } as Patch<"specimen">);
  const records = { rope: overview.ropes, spool: overview.spools, recipe: overview.recipes }[column.as];
  const named = records.find((one) => one.name.toLowerCase() === typed.toLowerCase());
  if (named === undefined)
    return refuse({
      ...wrong(
        column,
        typed,
        `the name of a ${column.as} in the bench book`,
        `No ${column.as} has this name.`,
      ),
      wayOut: `Choose one from the list, or make it with the last line of the list.`,
    });
  return ok({ [column.key]: named.id } as Patch<"specimen">);
}

function levelPatch(
  column: Column,
  typed: string,
  levels: Readonly<Record<string, LevelValue>>,
): Result<Patch<"specimen">> {
  const name = column.factor?.name ?? "";
  const { [name]: _gone, ...others } = levels;
  return ok({ levels: typed === "" ? others : { ...others, [name]: levelOf(typed, column.factor) } });
}

/** A typed level: the plan's own where it is one of them, otherwise a number where it reads as one. */
export function levelOf(typed: string, factor?: Factor): LevelValue {
  const known = factor?.levels.find((level) => levelText(level).toLowerCase() === typed.toLowerCase());
  if (known !== undefined) return known;
  const value = Number(typed.replace(",", "."));
  return typed !== "" && Number.isFinite(value) ? value : typed;
}

export function levelText(level: LevelValue): string {
  return typeof level === "number" ? trimmed(level) : level;
}

/**
 * The label that follows: its last number grows by one.
 *
 * @example
 * nextLabel("A09") // "A10"
 */
export function nextLabel(label: string): string {
  const match = /^(.*?)(\d+)(\D*)$/.exec(label);
  if (match === null) return label === "" ? "1" : `${label} 2`;
  const [, before = "", digits = "", after = ""] = match;
  return `${before}${String(Number(digits) + 1).padStart(digits.length, "0")}${after}`;
}

/** The cells of the plan with how many specimens each still needs. */
export function missingOfPlan(
  overview: SeriesOverview,
): readonly { readonly levels: Readonly<Record<string, LevelValue>>; readonly missing: number }[] {
  const { series, specimens } = overview;
  return planCells(series.factors).map((levels) => {
    const made = specimens.filter((one) => sameLevels(one.levels, levels)).length;
    return { levels, missing: Math.max(0, series.pullsPerCell - made) };
  });
}

/** Every combination of the factors' levels; one empty cell where nothing is varied. */
export function planCells(factors: readonly Factor[]): readonly Readonly<Record<string, LevelValue>>[] {
  return factors.reduce<readonly Readonly<Record<string, LevelValue>>[]>(
    (cells, factor) =>
      cells.flatMap((cell) => factor.levels.map((level) => ({ ...cell, [factor.name]: level }))),
    [{}],
  );
}

export function sameLevels(
  one: Readonly<Record<string, LevelValue>>,
  other: Readonly<Record<string, LevelValue>>,
): boolean {
  const names = Object.keys(other);
  return names.every((name) => one[name] === other[name]);
}

export function lengthText(mm: number | undefined): string {
  return shownQuantity(mm, measures.mm);
}

function wrong(column: Column, found: string, expected: string, message: string): Problem {
  return { code: "INPUT_FIELD", message, where: { field: column.key }, found, expected };
}

function isoDate(text: string): string | undefined {
  if (text.toLowerCase() === "today") {
    const now = new Date();
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  }
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text)) ? text : undefined;
}

function two(value: number): string {
  return String(value).padStart(2, "0");
}
