import { z } from "zod";
import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects } from "../contract.ts";
import type { RecordKind, StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";
import { type Cells, cellsOf } from "./cells.ts";
import { historyEntered } from "./plan-history.ts";
import { isUpToDate } from "./pulls.ts";
import { changeIn, changeRecord, createRecord } from "./records.ts";
import { readAgain } from "./reread.ts";
import { orTrouble, transact } from "./transact.ts";

/** Stores a new record; a pull that names a bench is read with the calibration of its cell. */
export async function createAndRead<K extends RecordKind>(
  effects: Effects,
  kind: K,
  input: unknown,
): Promise<Result<StoredRecord<K>>> {
  if (kind === "pull" && hasOverrides(input)) return refuse(overridesApart);
  const history = historyEntered(kind, input);
  if (history !== undefined) return refuse(history);
  const created = await createRecord(effects, kind, input);
  return created.ok ? upToDate(effects, kind, created) : created;
}

/** Changes a record, and makes the readings anew that rest on it. */
export async function changeAndRead<K extends RecordKind>(
  effects: Effects,
  kind: K,
  id: string,
  revision: number,
  patch: unknown,
): Promise<Result<StoredRecord<K>>> {
  if (kind === "pull" && hasOverrides(patch)) return refuse(overridesApart);
  const history = historyEntered(kind, patch);
  if (history !== undefined) return refuse(history);
  const changed = await changeRecord(effects, kind, id, revision, patch);
  return changed.ok ? upToDate(effects, kind, changed) : changed;
}

/**
 * Changes the same fields of several pulls, of all of them or of none: fifty pulls of one day's log are said to be pulled on
 * another bench in one go, and the log is read again once for all.
 */
export async function changePulls(
  effects: Effects,
  input: unknown,
): Promise<Result<readonly StoredRecord<"pull">[]>> {
  const checked = checkInput(pullsChangeFields, input);
  if (!checked.ok) return checked;
  const { pulls, patch } = checked.value;
  if (hasOverrides(patch)) return refuse(overridesApart);
  const changed = await transact(effects.store, async (book) => {
    const done: StoredRecord<"pull">[] = [];
    const warnings: Warning[] = [];
    for (const [at, { id, revision }] of pulls.entries()) {
      const one = await changeIn(effects, book, "pull", id, revision, patch);
      if (!one.ok) return { ok: false, problems: one.problems.map((problem) => ofPull(problem, at)) };
      done.push(one.value);
      warnings.push(...one.warnings);
    }
    return ok(done, warnings);
  });
  if (!changed.ok) return changed;
  const warnings = [...changed.warnings, ...(await makeAnew(effects, async () => changed.value))];
  return orTrouble(async () => {
    const now: StoredRecord<"pull">[] = [];
    // Read again, a pull may have got another number in its recording, and so another revision.
    for (const pull of changed.value) now.push((await effects.store.read.get("pull", pull.id)) ?? pull);
    return ok(now, warnings);
  });
}

/** Several pulls with the revisions that they have, and the fields that change. */
export const pullsChangeFields = z.object({
  pulls: z
    .array(z.object({ id: z.string().min(1), revision: z.number().int().min(1) }))
    .min(1)
    .max(2000),
  patch: z.record(z.string(), z.unknown()),
});

/** Makes readings anew that rest on a record which was stored: a cell, a bench, a pull. */
async function upToDate<K extends RecordKind>(
  effects: Effects,
  kind: K,
  stored: Result<StoredRecord<K>> & { readonly ok: true },
): Promise<Result<StoredRecord<K>>> {
  if (kind !== "load-cell" && kind !== "bench" && kind !== "pull") return stored;
  const { id } = stored.value;
  const { read } = effects.store;
  const warnings = [
    ...stored.warnings,
    ...(await makeAnew(effects, (cells) => pullsOn(read, kind, id, cells))),
  ];
  const now = await orTrouble(async () => ok((await read.get(kind, id)) ?? stored.value));
  // Read again, a pull may have got another number in its recording, and so another revision.
  return ok(now.ok ? now.value : stored.value, warnings);
}

/**
 * Reads the recordings of these pulls again, each once, where their readings are out of date. What cannot be read again
 * stands as it was, marked as such, and a warning says so: what was changed is stored.
 */
async function makeAnew(
  effects: Effects,
  pullsOf: (cells: Cells) => Promise<readonly StoredRecord<"pull">[]>,
): Promise<readonly Warning[]> {
  const { read } = effects.store;
  const done = await orTrouble<readonly Warning[]>(async () => {
    const cells = await cellsOf(read);
    const warnings: Warning[] = [];
    for (const [sha256, pulls] of bySha256(await pullsOf(cells))) {
      const recording = await read.getRecording(sha256);
      if (recording === undefined || pulls.every((pull) => isUpToDate(pull, recording, cells))) continue;
      const again = await readAgain(effects, sha256, {});
      if (!again.ok) warnings.push(notReadAgain(`"${recording.fileName}"`, again.problems));
    }
    return ok(warnings);
  });
  return done.ok ? done.value : [notReadAgain("What rests on this", done.problems)];
}

/** Which of the pulls it was that could not be changed, where the problem does not name a field of its own. */
function ofPull(problem: Problem, at: number): Problem {
  return { ...problem, where: { field: `pulls[${at}]`, ...problem.where } };
}

function notReadAgain(what: string, problems: readonly Problem[]): Warning {
  return {
    code: "READING_OUT_OF_DATE",
    message: `${what} could not be read again: ${problems.map(({ message }) => message).join(" ")}`,
    wayOut: "The reading stands as it was, marked as out of date. Read it again: bitterend reread.",
  };
}

function hasOverrides(input: unknown): boolean {
  return typeof input === "object" && input !== null && "overrides" in input;
}

const overridesApart: Problem = {
  code: "INPUT_FIELD",
  message: "Corrections of a reading are made and taken back one by one, not with the pull's other fields.",
  where: { field: "overrides" },
  wayOut: "Use the address of the pull's corrections.",
};

/** The pulls whose reading may rest on this record. */
async function pullsOn(
  book: Pick<StoreWork, "get" | "list">,
  kind: "load-cell" | "bench" | "pull",
  id: string,
  { benches }: Cells,
): Promise<readonly StoredRecord<"pull">[]> {
  if (kind === "pull") {
    const pull = await book.get("pull", id);
    return pull === undefined ? [] : [pull];
  }
  const ids =
    kind === "bench" ? [id] : benches.filter(({ loadCellId }) => loadCellId === id).map((bench) => bench.id);
  const pulls: StoredRecord<"pull">[] = [];
  for (const benchId of ids) pulls.push(...(await book.list("pull", { benchId })));
  return pulls;
}

function bySha256(pulls: readonly StoredRecord<"pull">[]): ReadonlyMap<string, StoredRecord<"pull">[]> {
  const groups = new Map<string, StoredRecord<"pull">[]>();
  for (const pull of pulls) {
    if (pull.recordingSha256 === undefined) continue;
    groups.set(pull.recordingSha256, [...(groups.get(pull.recordingSha256) ?? []), pull]);
  }
  return groups;
}
