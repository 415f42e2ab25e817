import type { StoredRecord } from "../../app/mod.ts";
import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";
import type { claimBases, Factor, LevelValue } from "../../series/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { measures, shownQuantity, typedQuantity } from "../book/quantity.ts";

/** What stands in the fields of a form, as typed. */
export type Typed = Readonly<Record<string, string>>;

/** What was typed as the fields of a record, with what is wrong; null takes an optional field away. */
export type FieldsOfForm = {
  readonly fields: Readonly<Record<string, unknown>>;
  readonly problems: readonly Problem[];
};

export const basisLabels: Readonly<Record<(typeof claimBases)[number], string>> = {
  "rated, all legs": "share of the rated strength of all legs",
  "rated single line": "share of one line’s rated strength",
  "measured single line": "share of one line as the source measured it",
  force: "a force",
};
export const basisOptions = Object.entries(basisLabels).map(([value, label]) => ({ value, label }));

/** A claim as it would be typed; a new one as its form begins. */
export function typedClaim(claim?: StoredRecord<"claim">): Typed {
  const begin = { kind: "mean", basis: "rated, all legs", margin: "5 %", content: "95 %" };
  if (claim === undefined) return begin;
  return {
    ...begin,
    statement: claim.statement,
    source: claim.source,
    kind: claim.kind,
    basis: claim.basis,
    value: claim.basis === "force" ? shownForce(claim.valueN) : shownShare(claim.share),
    legs: shownNumber(claim.legs),
    measuredLineN: shownForce(claim.measuredLineN),
    margin: shownShare(claim.margin),
    content: shownShare(claim.content),
    ...typedLevels("levels", claim.levels),
  };
}

/** The typed form as the fields of a claim; its one figure goes where its basis says. */
export function fieldsOfClaim(typed: Typed, factors: readonly Factor[]): FieldsOfForm {
  const read = reader(typed);
  const basis = typed["basis"] ?? "";
  const isForce = basis === "force";
  return read.all({
    statement: read.words("statement", "What is claimed"),
    source: read.words("source", "Where it stands"),
    kind: typed["kind"],
    basis,
    share: isForce ? null : read.share("value", true),
    valueN: isForce ? read.force("value", true) : null,
    legs: read.whole("legs"),
    measuredLineN: basis === "measured single line" ? read.force("measuredLineN") : null,
    // Of the two only the one that belongs to the kind is asked for.
    ...(typed["kind"] === "least"
      ? { content: read.share("content", true) }
      : { margin: read.share("margin", true) }),
    levels: levelsIn(typed, "levels", factors),
  });
}

/** Another series as it would be typed; a new one as its form begins. */
export function typedPooled(pooled?: StoredRecord<"pooled-series">): Typed {
  const begin = {
    from: "book",
    basis: "rated, all legs",
    ratedStrengthBasis: "not stated",
    ratedStrengthEnds: "not stated",
    construction: "12-strand braid",
  };
  if (pooled === undefined) return begin;
  const isForce = pooled.basis === "force";
  return {
    from: pooled.otherSeriesId === undefined ? "published" : "book",
    name: pooled.name,
    otherSeriesId: pooled.otherSeriesId ?? "",
    source: pooled.source,
    n: shownNumber(pooled.n),
    basis: pooled.basis,
    mean: isForce ? shownForce(pooled.meanN) : shownShare(pooled.meanShare),
    sd: isForce ? shownForce(pooled.sdN) : shownShare(pooled.sdShare),
    legs: shownNumber(pooled.legs),
    ratedStrengthN: shownForce(pooled.ratedStrengthN),
    ratedStrengthBasis: pooled.ratedStrengthBasis,
    ratedStrengthEnds: pooled.ratedStrengthEnds,
    measuredLineN: shownForce(pooled.measuredLineN),
    construction: pooled.construction,
    ...typedLevels("levels", pooled.levels),
    ...typedLevels("otherLevels", pooled.otherLevels),
  };
}

/** The typed form as the fields of a series to pool: one of the book, or its figures as they were published. */
export function fieldsOfPooled(
  typed: Typed,
  about: {
    readonly factors: readonly Factor[];
    readonly other?: { readonly title: string; readonly factors: readonly Factor[] } | undefined;
  },
): FieldsOfForm {
  const read = reader(typed);
  const levels = levelsIn(typed, "levels", about.factors);
  const absent = {
    n: null,
    meanShare: null,
    sdShare: null,
    meanN: null,
    sdN: null,
    legs: null,
    ratedStrengthN: null,
    measuredLineN: null,
  };
  if (typed["from"] === "book")
    return read.all({
      ...absent,
      otherSeriesId: read.words("otherSeriesId", "The other series"),
      name: (typed["name"] ?? "").trim() || (about.other?.title ?? "another series").slice(0, 200),
      source: (typed["source"] ?? "").trim(),
      otherLevels: levelsIn(typed, "otherLevels", about.other?.factors ?? []),
      levels,
    });
  const basis = typed["basis"] ?? "";
  const isForce = basis === "force";
  return read.all({
    ...absent,
    otherSeriesId: null,
    otherLevels: {},
    name: read.words("name", "Who pulled it"),
    source: read.words("source", "Where it stands"),
    n: read.whole("n", true),
    basis,
    ...(isForce
      ? { meanN: read.force("mean", true), sdN: read.force("sd", true) }
      : { meanShare: read.share("mean", true), sdShare: read.share("sd", true) }),
    legs: read.whole("legs"),
    ratedStrengthN: read.force("ratedStrengthN"),
    measuredLineN: basis === "measured single line" ? read.force("measuredLineN") : null,
    ratedStrengthBasis: typed["ratedStrengthBasis"],
    ratedStrengthEnds: typed["ratedStrengthEnds"],
    construction: (typed["construction"] ?? "").trim(),
    levels,
  });
}

/** A share as people type it: "92 %", "92,5"; a bare number is per cent. */
export function typedShare(text: string, field: string): Result<number> {
  const bare = /^([\d\s]*[.,]?\d+)\s*%?$/.exec(text.trim())?.[1];
  const value = Number(bare?.replace(/\s/g, "").replace(",", "."));
  if (bare === undefined || !Number.isFinite(value))
    return refuse({
      code: "INPUT_FIELD",
      message: "This is not a share in per cent.",
      where: { field },
      found: text,
      expected: "a number such as 92 %",
    });
  // Divided in decimal, so that 92.3 % is 0.923 and no more digits.
  return ok(Number((value / 100).toPrecision(12)));
}

/** Reads typed fields one by one and gathers what is wrong with them. */
function reader(typed: Typed) {
  const problems: Problem[] = [];
  const textOf = (field: string) => (typed[field] ?? "").trim();
  const missing = (field: string, message: string, expected: string): null => {
    problems.push({ code: "INPUT_FIELD", message, where: { field }, expected });
    return null;
  };
  const taken = <T>(answer: Result<T>): T | null => {
    if (answer.ok) return answer.value;
    problems.push(...answer.problems);
    return null;
  };
  return {
    words: (field: string, name: string) =>
      textOf(field) === "" ? missing(field, `${name} is empty.`, "a few words") : textOf(field),
    share: (field: string, wanted = false) =>
      textOf(field) === ""
        ? wanted
          ? missing(field, "The figure is empty.", "a share such as 92 %")
          : null
        : taken(typedShare(textOf(field), field)),
    force: (field: string, wanted = false) =>
      textOf(field) === ""
        ? wanted
          ? missing(field, "The figure is empty.", "a force such as 31 kN")
          : null
        : taken(typedQuantity(textOf(field), measures.force, field)),
    whole: (field: string, wanted = false) => {
      const text = textOf(field);
      if (text === "") return wanted ? missing(field, "The number is empty.", "a whole number") : null;
      return /^\d+$/.test(text) ? Number(text) : missing(field, "This is no whole number.", "such as 2");
    },
    all: (fields: Readonly<Record<string, unknown>>): FieldsOfForm => ({ fields, problems }),
  };
}

/** A level as the value of a choice: numbers and words are kept apart. */
export function levelKey(level: LevelValue): string {
  return JSON.stringify(level);
}

function typedLevels(prefix: string, levels: Readonly<Record<string, LevelValue>>): Typed {
  return Object.fromEntries(
    Object.entries(levels).map(([name, level]) => [`${prefix}.${name}`, levelKey(level)]),
  );
}

function levelsIn(typed: Typed, prefix: string, factors: readonly Factor[]): Record<string, LevelValue> {
  return Object.fromEntries(
    factors.flatMap(({ name, levels }) => {
      const level = levels.find((one) => levelKey(one) === typed[`${prefix}.${name}`]);
      return level === undefined ? [] : [[name, level]];
    }),
  );
}

function shownForce(valueN: number | undefined): string {
  return shownQuantity(valueN, measures.force);
}

function shownShare(share: number | undefined): string {
  if (share === undefined) return "";
  return `${formatNumber(100 * share, { significant: 6 })
    .replace(/(\.\d*?)0+$/, "$1")
    .replace(/\.$/, "")} %`;
}

function shownNumber(value: number | undefined): string {
  return value === undefined ? "" : String(value);
}
