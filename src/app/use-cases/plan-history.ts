import type { Problem } from "../../problem/mod.ts";
import type { Kept, RecordFields, RecordKind, StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";

/**
 * A series whose plan changes after pulls exist keeps the plan that was: what was planned before seeing them is part of what
 * they show. Other kinds, and plans without pulls, are as entered.
 */
export async function withPlanHistory<K extends RecordKind>(
  book: Pick<StoreWork, "list">,
  kind: K,
  fields: RecordFields<K>,
  stored: StoredRecord<K>,
  now: string,
): Promise<RecordFields<K>> {
  if (kind !== "series") return fields;
  const before = stored as StoredRecord<"series">;
  const after = fields as RecordFields<"series">;
  if (planOf(before) === planOf(after)) return fields;
  const pulls = await book.list("pull", { seriesId: before.id });
  if (pulls.length === 0) return fields;
  const { factors, pullsPerCell, planHistory = [] } = before;
  const past = { until: now, factors, pullsPerCell, pullsThen: pulls.length };
  return { ...after, planHistory: [...planHistory, past] } as RecordFields<"series"> as RecordFields<K>;
}

/** The history is the book's: nobody enters it or takes it away. */
export function historyEntered(kind: RecordKind, input: unknown): Problem | undefined {
  if (kind !== "series" || typeof input !== "object" || input === null || !("planHistory" in input))
    return undefined;
  return {
    code: "INPUT_FIELD",
    message: "The plans that were are kept by the book itself and are not entered.",
    where: { field: "planHistory" },
    wayOut: "Leave the field out; a change of the plan adds to it.",
  };
}

function planOf({ factors, pullsPerCell }: Omit<RecordFields<"series">, keyof Kept>): string {
  return JSON.stringify([factors, pullsPerCell]);
}
