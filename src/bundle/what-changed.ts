import type { JudgedPull, SeriesFindings } from "../findings/mod.ts";
import { formatNumber } from "../units/mod.ts";
import { canonicalJson } from "./canonical.ts";
import { columnsOf, snakeCase } from "./columns.ts";
import type { BundleContent, RowOf, TableName } from "./content.ts";

/** More than these are counted, not listed: what changed throughout is another report. */
const mostSentences = 200;

/**
 * What a later revision changed, a sentence each: pulls added and taken out, strengths and outcomes moved from what to
 * what and why, cells that moved with them, records and words that were changed, sources and pictures that came or went, and
 * methods of another version. Nothing where nothing that a report shows has changed.
 *
 * Values are written with as many digits as it takes to tell them apart. The reason of a moved value is the one that was
 * given with the correction, where one was given.
 *
 * @example
 * whatChanged(frozen, now) // ["Pull 7 (B1) was added.", "Pull 2 (A2): strength from 24.10 kN to 23.85 kN, …"]
 */
export function whatChanged(before: BundleContent, after: BundleContent): readonly string[] {
  const sentences = [
    ...pullsComeAndGone(before, after),
    ...pullsMoved(before, after),
    ...cellsMoved(before, after),
    ...recordTables.flatMap((table) => rowsChanged(table, before, after)),
    ...wordsChanged(before, after),
    ...othersChanged(before, after),
    ...methodsChanged(before, after),
  ];
  return sentences.length <= mostSentences
    ? sentences
    : [
        ...sentences.slice(0, mostSentences),
        `And ${sentences.length - mostSentences} more changes, all of them in the bundle.`,
      ];
}

/** Tables whose rows are told field by field; those of pulls, readings and the series itself are told in their own words. */
const recordTables = [
  "specimens",
  "ropes",
  "spools",
  "recipes",
  "hardware",
  "load-cells",
  "benches",
  "claims",
  "pooled-series",
  "recordings",
  "pictures",
] as const satisfies readonly TableName[];

const rowWords: Readonly<Record<(typeof recordTables)[number], string>> = {
  specimens: "Specimen",
  ropes: "Rope",
  spools: "Spool",
  recipes: "Recipe",
  hardware: "Hardware",
  "load-cells": "Load cell",
  benches: "Bench",
  claims: "Source: published figure",
  "pooled-series": "Source: pooled series",
  recordings: "Recording",
  pictures: "Picture",
};

function pullsComeAndGone(before: BundleContent, after: BundleContent): string[] {
  const had = new Set(before.tables.pulls.map(({ id }) => id));
  const has = new Set(after.tables.pulls.map(({ id }) => id));
  return [
    ...after.tables.pulls
      .filter(({ id }) => !had.has(id))
      .map((pull) => `${nameOfPull(pull, after)} was added.`),
    ...before.tables.pulls
      .filter(({ id }) => !has.has(id))
      .map((pull) => `${nameOfPull(pull, before)} is no longer in it.`),
  ];
}

function pullsMoved(before: BundleContent, after: BundleContent): string[] {
  const sentences: string[] = [];
  for (const pull of after.tables.pulls) {
    const old = before.tables.pulls.find(({ id }) => id === pull.id);
    if (old === undefined) continue;
    const judged = judgementMoved(judgedPull(before, pull.id), judgedPull(after, pull.id));
    // A typed peak is the strength, where the cell sits in line.
    const told = judged.length > 0 ? [...toldOfPulls, "typedPeakN"] : toldOfPulls;
    const parts = [
      ...judged,
      ...(specimenLabel(old, before) === specimenLabel(pull, after)
        ? []
        : [`specimen from ${specimenLabel(old, before)} to ${specimenLabel(pull, after)}`]),
      ...fieldsMoved("pulls", old, pull, told),
      ...readingMoved(pull.id, before, after),
    ];
    const why = reasons(old, pull);
    if (parts.length === 0 && why.length === 0) continue;
    const what = parts.length === 0 ? "was corrected" : parts.join("; ");
    const because = why.length === 0 ? "" : ` Why: ${why.join("; ")}.`;
    sentences.push(`${nameOfPull(pull, after)}: ${what}.${because}`);
  }
  return sentences;
}

/** Told as an outcome, a specimen or a reason. */
const toldOfPulls = [
  "id",
  "specimenId",
  "outcomeKind",
  "outcomePlace",
  "outcomeReason",
  "overrides",
  "order",
];

function judgementMoved(old: JudgedPull | undefined, now: JudgedPull | undefined): string[] {
  if (old === undefined || now === undefined) return [];
  const parts: string[] = [];
  if (old.strengthN !== now.strengthN) parts.push(`strength from ${apart(old.strengthN, now.strengthN)}`);
  const [endWas, endIs] = [outcomeWords(old), outcomeWords(now)];
  if (endWas !== endIs) parts.push(`outcome from ${endWas} to ${endIs}`);
  if (old.use !== now.use) parts.push(`${useWords[old.use]} before, ${useWords[now.use]} now`);
  return parts;
}

function readingMoved(pullId: string, before: BundleContent, after: BundleContent): string[] {
  const of = ({ tables }: BundleContent) => tables.readings.find((row) => row.pullId === pullId);
  const [old, now] = [of(before), of(after)];
  if (old === undefined && now === undefined) return [];
  if (old === undefined) return ["it has a reading now"];
  if (now === undefined) return ["it has no reading any more"];
  const moved = columnsOf("readings")
    .filter(({ field }) => field !== "method" && !sameField(old, now, field))
    .map(({ field }) => fieldWords(field));
  if (moved.length === 0) return [];
  const listed = moved.slice(0, 6).join(", ") + (moved.length > 6 ? ` and ${moved.length - 6} more` : "");
  const method =
    old.method === now.method ? "" : ` by version ${now.method} of the method (before: ${old.method})`;
  return [`it was read again${method}, and the reading moved in ${listed}`];
}

/** Why, as it was said with each correction that is new, or that one was taken back. */
function reasons(old: RowOf<"pulls">, now: RowOf<"pulls">): string[] {
  const had = new Set(old.overrides.map(canonicalJson));
  const has = new Set(now.overrides.map(canonicalJson));
  const who = (by: string) => (by === "" ? "" : `${by}: `);
  return [
    ...now.overrides
      .filter((override) => !had.has(canonicalJson(override)))
      .map(({ what, by, why }) => `${who(by)}${overrideWords[what]}${why === "" ? "" : `, ${why}`}`),
    ...old.overrides
      .filter((override) => !has.has(canonicalJson(override)))
      .map(({ what }) => `taken back: ${overrideWords[what]}`),
  ];
}

function cellsMoved(before: BundleContent, after: BundleContent): string[] {
  const old = findingsIn(before)?.cells ?? [];
  const now = findingsIn(after)?.cells ?? [];
  return now.flatMap((cell) => {
    const was = old.find(
      (one) => canonicalJson(one.levels) === canonicalJson(cell.levels) && one.kind === cell.kind,
    );
    if (was === undefined) return [];
    const value = (figure: { readonly ok: boolean; readonly value?: number }) =>
      figure.ok ? figure.value : undefined;
    // A bound never stands without what it claims and the pulls that it rests on.
    const name = findingsIn(after)?.statedBy.name ?? "stated bound";
    const count = cell.bound.ok ? `${cell.bound.value.n} pulls` : "these pulls";
    const bound = (one: typeof cell) => (one.bound.ok ? one.bound.value.boundN : undefined);
    const parts = [
      ...(was.n === cell.n ? [] : [`pulls that count from ${was.n} to ${cell.n}`]),
      ...(value(was.meanN) === value(cell.meanN)
        ? []
        : [`mean strength from ${apart(value(was.meanN), value(cell.meanN))}`]),
      ...(bound(was) === bound(cell) ? [] : [`${name} of ${count} from ${apart(bound(was), bound(cell))}`]),
    ];
    return parts.length === 0 ? [] : [`${capital(cell.label)}: ${parts.join("; ")}.`];
  });
}

function rowsChanged(
  table: (typeof recordTables)[number],
  before: BundleContent,
  after: BundleContent,
): string[] {
  const old = new Map(before.tables[table].map((row) => [keyOf(row), row]));
  const now = new Map(after.tables[table].map((row) => [keyOf(row), row]));
  const word = rowWords[table];
  const sentences: string[] = [];
  for (const [key, row] of now) {
    const was = old.get(key);
    if (was === undefined) sentences.push(`${word} ${nameOfRow(row)} was added.`);
    else {
      const parts = fieldsMoved(table, was, row, ["id", "sha256", "version"]);
      if (parts.length > 0) sentences.push(`${word} ${nameOfRow(row)}: ${parts.join("; ")}.`);
    }
  }
  for (const [key, row] of old)
    if (!now.has(key)) sentences.push(`${word} ${nameOfRow(row)} is no longer in it.`);
  return sentences;
}

function wordsChanged(before: BundleContent, after: BundleContent): string[] {
  const [old, now] = [before.tables.series[0], after.tables.series[0]];
  if (old === undefined || now === undefined) return [];
  return columnsOf("series").flatMap(({ field }) => {
    if (sameField(old, now, field)) return [];
    const [was, is] = [fieldOf(old, field), fieldOf(now, field)];
    const word = fieldWords(field);
    if (typeof is === "string" || typeof was === "string") {
      const short = [was, is].every((text) => typeof text !== "string" || text.length <= 80);
      if (was === undefined || was === "") return [`Words of the series were added: ${word}.`];
      if (is === undefined || is === "") return [`Words of the series were taken out: ${word}.`];
      return short
        ? [`The series’ ${word}: from “${String(was)}” to “${String(is)}”.`]
        : [`Words of the series were rewritten: ${word}.`];
    }
    return [`The series’ ${word}: ${fromTo(was, is)}.`];
  });
}

function othersChanged(before: BundleContent, after: BundleContent): string[] {
  return after.others.flatMap((other) => {
    const was = before.others.find(({ seriesId }) => seriesId === other.seriesId);
    return was === undefined || canonicalJson(was) === canonicalJson(other)
      ? []
      : [`The pulls of “${other.title}”, with which it is pooled, changed.`];
  });
}

function methodsChanged(before: BundleContent, after: BundleContent): string[] {
  const names = [...new Set([...Object.keys(before.methods), ...Object.keys(after.methods)])].sort();
  return names.flatMap((name) => {
    const [was, is] = [before.methods[name], after.methods[name]];
    if (was === is) return [];
    if (was === undefined) return [`Method ${name}, version ${is}, came to it.`];
    if (is === undefined) return [`Method ${name} is no longer used.`];
    return [`Method ${name} from version ${was} to version ${is}.`];
  });
}

function fieldsMoved(table: TableName, old: object, now: object, told: readonly string[]): string[] {
  return columnsOf(table).flatMap(({ field }) =>
    told.includes(field) || sameField(old, now, field)
      ? []
      : [`${fieldWords(field)} ${fromTo(fieldOf(old, field), fieldOf(now, field))}`],
  );
}

function fromTo(was: unknown, is: unknown): string {
  const [one, other] = [valueText(was), valueText(is)];
  // Two long texts are not set side by side; that they differ is what counts.
  return one === undefined || other === undefined ? "changed" : `from ${one} to ${other}`;
}

function valueText(value: unknown): string | undefined {
  if (value === undefined || value === "") return "nothing";
  if (typeof value === "number" || typeof value === "boolean") return String(value);
  const text = typeof value === "string" ? `“${value}”` : JSON.stringify(value);
  return text.length > 80 ? undefined : text;
}

function sameField(old: object, now: object, field: string): boolean {
  const [was, is] = [fieldOf(old, field), fieldOf(now, field)];
  if (was === undefined || is === undefined) return was === is;
  return canonicalJson(was) === canonicalJson(is);
}

function fieldOf(row: object, field: string): unknown {
  return (row as Readonly<Record<string, unknown>>)[field];
}

/** "buryFullMm" is "bury full (mm)". */
function fieldWords(field: string): string {
  const words = snakeCase(field).split("_");
  const unit = words.at(-1) ?? "";
  return words.length > 1 && ["mm", "n", "s", "m"].includes(unit)
    ? `${words.slice(0, -1).join(" ")} (${unit === "n" ? "N" : unit})`
    : words.join(" ");
}

function nameOfPull(pull: RowOf<"pulls">, content: BundleContent): string {
  return `Pull ${pull.order ?? pull.id} (${specimenLabel(pull, content)})`;
}

function specimenLabel({ specimenId }: RowOf<"pulls">, { tables }: BundleContent): string {
  return tables.specimens.find(({ id }) => id === specimenId)?.label ?? "no specimen said";
}

function nameOfRow(row: object): string {
  const fields = row as Readonly<Record<string, unknown>>;
  const name = fields["label"] ?? fields["name"] ?? fields["statement"] ?? fields["fileName"] ?? fields["id"];
  const source = typeof fields["statement"] === "string" ? `, ${String(fields["source"] ?? "")}` : "";
  return `“${String(name)}”${source}`;
}

function keyOf(row: object): string {
  const fields = row as Readonly<Record<string, unknown>>;
  return `${String(fields["id"] ?? fields["sha256"])} ${String(fields["version"] ?? "")}`;
}

function findingsIn({ findings }: BundleContent): SeriesFindings | undefined {
  // Both contents were frozen by this program from findings of its own.
  return findings === null ? undefined : (findings as unknown as SeriesFindings);
}

function judgedPull(content: BundleContent, id: string): JudgedPull | undefined {
  return findingsIn(content)?.pulls.find(({ pullId }) => pullId === id);
}

function outcomeWords({ outcome }: JudgedPull): string {
  if (outcome === undefined) return "not judged";
  const about = "place" in outcome ? outcome.place : outcome.reason;
  return about === "" ? outcome.kind : `${outcome.kind} (${about})`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Two forces with as many digits as it takes to tell them apart. */
function apart(was: number | undefined, is: number | undefined): string {
  const text = (forceN: number | undefined, decimals: number) =>
    forceN === undefined ? "not given" : `${formatNumber(forceN / 1000, { decimals })} kN`;
  let decimals = 2;
  while (decimals < 9 && text(was, decimals) === text(is, decimals)) decimals += 1;
  return `${text(was, decimals)} to ${text(is, decimals)}`;
}

const useWords = {
  counted: "counted",
  "lower bound": "counted as a lower bound",
  "left out": "left out",
} as const;

const overrideWords = {
  boundary: "a phase’s boundary was moved",
  "strike slip": "a slip was struck out",
  "add slip": "a slip was added",
  "other load": "said to be another load and no pull",
  pull: "rows named as a pull",
} as const;
