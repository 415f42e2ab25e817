import type { z } from "zod";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects } from "../contract.ts";
import { type RecordFields, type RecordKind, recordKinds, type StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";
import { checkMeaning } from "./check-meaning.ts";
import { withPlanHistory } from "./plan-history.ts";
import { notFound, orTrouble, refusalProblem, transact } from "./transact.ts";

/** Stores a new record from input that is checked here. */
export async function createRecord<K extends RecordKind>(
  effects: Effects,
  kind: K,
  input: unknown,
): Promise<Result<StoredRecord<K>>> {
  return transact(effects.store, (book) => createIn(effects, book, kind, input));
}

/** The same inside a transaction of the caller. */
export async function createIn<K extends RecordKind>(
  { now, newId }: Effects,
  book: StoreWork,
  kind: K,
  input: unknown,
): Promise<Result<StoredRecord<K>>> {
  const checked = checkInput(schemaOf(kind), input);
  if (!checked.ok) return checked;
  const meaning = await checkMeaning(book, kind, checked.value);
  if (!meaning.ok) return meaning;
  const createdAt = now();
  const kept = { id: newId(idPrefixes[kind]), revision: 1, createdAt, changedAt: createdAt };
  const fields = await withRecipeVersion(book, kind, checked.value);
  const answer = await book.insert(kind, kept, fields);
  return answer.ok ? ok(answer.value, meaning.warnings) : refuse(refusalProblem(answer.refusal));
}

/** Changes the given fields; null takes an optional field away. */
export async function changeRecord<K extends RecordKind>(
  effects: Effects,
  kind: K,
  id: string,
  revision: number,
  patch: unknown,
): Promise<Result<StoredRecord<K>>> {
  if (!isObject(patch))
    return refuse({
      code: "INPUT_FIELD",
      message: "A change names the fields that change.",
      found: JSON.stringify(patch) ?? "nothing",
      expected: "an object with the fields to change",
    });
  return transact(effects.store, (book) => changeIn(effects, book, kind, id, revision, patch));
}

/** The same inside a transaction of the caller. */
export async function changeIn<K extends RecordKind>(
  { now }: Effects,
  book: StoreWork,
  kind: K,
  id: string,
  revision: number,
  patch: Readonly<Record<string, unknown>>,
): Promise<Result<StoredRecord<K>>> {
  const stored = await book.get(kind, id);
  if (stored === undefined) return refuse(notFound(kind, id));
  if (stored.revision !== revision)
    return refuse(refusalProblem({ kind: "changed-meanwhile", id, revision: stored.revision }));
  const checked = checkInput(schemaOf(kind), patched(kind, stored, patch));
  if (!checked.ok) return checked;
  const meaning = await checkMeaning(book, kind, checked.value, stored);
  if (!meaning.ok) return meaning;
  const changedAt = now();
  const made = await withRecipeVersion(book, kind, checked.value);
  const fields = await withPlanHistory(book, kind, made, stored, changedAt);
  const answer = await book.update(kind, id, revision, changedAt, fields);
  return answer.ok ? ok(answer.value, meaning.warnings) : refuse(refusalProblem(answer.refusal));
}

export async function removeRecord(effects: Effects, kind: RecordKind, id: string): Promise<Result<null>> {
  return transact(effects.store, async (book) => {
    const answer = await book.remove(kind, id);
    return answer.ok ? ok(null) : refuse(refusalProblem(answer.refusal));
  });
}

export async function getStored<K extends RecordKind>(
  effects: Effects,
  kind: K,
  id: string,
): Promise<Result<StoredRecord<K>>> {
  return orTrouble(async () => {
    const stored = await effects.store.read.get(kind, id);
    return stored === undefined ? refuse(notFound(kind, id)) : ok(stored);
  });
}

const idPrefixes: Readonly<Record<RecordKind, string>> = {
  rope: "rop",
  spool: "spo",
  recipe: "rec",
  hardware: "har",
  "load-cell": "cel",
  bench: "ben",
  series: "ser",
  specimen: "spe",
  pull: "pul",
  layout: "lay",
  claim: "cla",
  "pooled-series": "pse",
  rig: "rig",
};

/** The stored fields with the patch laid over them; without the id, revision and times, which nobody enters. */
function patched<K extends RecordKind>(
  kind: K,
  stored: StoredRecord<K>,
  patch: Readonly<Record<string, unknown>>,
): Record<string, unknown> {
  const fields: Record<string, unknown> = {};
  for (const field of Object.keys(recordKinds[kind].shape)) {
    const value = (stored as Record<string, unknown>)[field];
    if (value !== undefined) fields[field] = value;
  }
  // Another recipe is another version as well, unless the change names it.
  if (kind === "specimen" && "recipeId" in patch && patch["recipeId"] !== fields["recipeId"])
    delete fields["recipeRevision"];
  for (const [field, value] of Object.entries(patch)) {
    if (value === null) delete fields[field];
    else if (value !== undefined) fields[field] = value;
  }
  return fields;
}

/** A specimen that names a recipe and no version of it is made by the present one. */
async function withRecipeVersion<K extends RecordKind>(
  book: StoreWork,
  kind: K,
  fields: RecordFields<K>,
): Promise<RecordFields<K>> {
  if (kind !== "specimen") return fields;
  const { recipeId, recipeRevision, ...specimen } = fields as RecordFields<"specimen">;
  // A recipe that is not there is refused by the store, with the words for it.
  const recipe = recipeId === undefined ? undefined : await book.get("recipe", recipeId);
  const completed: RecordFields<"specimen"> = {
    ...specimen,
    ...(recipeId === undefined ? {} : { recipeId }),
    ...(recipe === undefined ? {} : { recipeRevision: recipeRevision ?? recipe.revision }),
  };
  return completed as RecordFields<K>;
}

function schemaOf<K extends RecordKind>(kind: K): z.ZodType<RecordFields<K>> {
  return recordKinds[kind] as unknown as z.ZodType<RecordFields<K>>;
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
