import { type ReadonlySignal, signal } from "@preact/signals";
import type { RecordFields, RecordKind, StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { ask } from "../server.ts";

/** How it stands with what was typed into one record. */
export type SaveState<K extends RecordKind> =
  | { readonly kind: "kept" }
  | { readonly kind: "waiting" }
  | { readonly kind: "saving" }
  | { readonly kind: "refused"; readonly problems: readonly Problem[] }
  /** Somebody changed the same fields meanwhile. */
  | { readonly kind: "changed"; readonly theirs: StoredRecord<K>; readonly fields: readonly string[] };

/** Fields to be changed; null takes an optional field away. */
export type Patch<K extends RecordKind> = {
  readonly [F in keyof RecordFields<K>]?: RecordFields<K>[F] | null;
};

/** Keeps one record as it is typed: a moment after the last change, and in the order of the changes. */
export type Saver<K extends RecordKind> = {
  readonly state: ReadonlySignal<SaveState<K>>;
  /** The record as last heard from the book; undefined until a new one was kept. */
  readonly record: ReadonlySignal<StoredRecord<K> | undefined>;
  put(patch: Patch<K>): void;
  /** Saves what waits, now. */
  flush(): Promise<void>;
  /** A newer record was heard of by another way. */
  heard(record: StoredRecord<K>): void;
  /** Asks the user to decide these fields: what was typed rests on an older record than the one that is now heard. */
  clash(fields: readonly string[]): void;
  keepMine(): Promise<void>;
  takeTheirs(): StoredRecord<K> | undefined;
};

const restMs = 600;

/**
 * Makes the saver of one record.
 *
 * @example
 * const saver = makeSaver("pull", pull);
 * saver.put({ outcome: { kind: "broke", place: "taper end" } });
 */
export function makeSaver<K extends RecordKind>(
  kind: K,
  initial: StoredRecord<K> | undefined,
  options: {
    /** Fields that a new record begins with; nothing is sent before `ready` says that there is enough of it. */
    readonly begin?: Patch<K>;
    readonly ready?: (fields: Patch<K>) => boolean;
    /** Told what was kept, and which fields were changed again meanwhile and still wait. */
    readonly onKept?: (record: StoredRecord<K>, waiting: readonly string[]) => void;
    readonly onRefused?: (problems: readonly Problem[]) => void;
  } = {},
): Saver<K> {
  const state = signal<SaveState<K>>({ kind: "kept" });
  const record = signal(initial);
  let pending: Patch<K> = {};
  let timer: ReturnType<typeof setTimeout> | undefined;
  let running: Promise<void> | undefined;

  function put(patch: Patch<K>): void {
    pending = { ...pending, ...patch };
    if (Object.keys(pending).length === 0) return;
    if (state.value.kind !== "saving") state.value = { kind: "waiting" };
    clearTimeout(timer);
    timer = setTimeout(() => void flush(), restMs);
  }

  async function flush(): Promise<void> {
    clearTimeout(timer);
    if (running !== undefined) await running;
    if (Object.keys(pending).length === 0 || state.value.kind === "changed") return;
    if (record.value === undefined && options.ready?.({ ...options.begin, ...pending }) === false) return;
    running = send();
    await running;
    running = undefined;
    // Something was typed while it was being saved.
    if (Object.keys(pending).length > 0 && state.value.kind === "waiting") await flush();
  }

  async function send(): Promise<void> {
    const base = record.value;
    const patch = pending;
    pending = {};
    state.value = { kind: "saving" };
    const answer =
      base === undefined
        ? await ask<StoredRecord<K>>("POST", `/api/records/${kind}`, present({ ...options.begin, ...patch }))
        : await ask<StoredRecord<K>>("PATCH", `/api/records/${kind}/${base.id}`, {
            revision: base.revision,
            patch,
          });
    if (answer.ok) {
      record.value = answer.value;
      state.value = { kind: Object.keys(pending).length > 0 ? "waiting" : "kept" };
      options.onKept?.(answer.value, Object.keys(pending));
      return;
    }
    pending = { ...patch, ...pending };
    if (answer.status === 409 && base !== undefined) return meet(base, patch);
    state.value = { kind: "refused", problems: answer.problems };
    options.onRefused?.(answer.problems);
  }

  /** Somebody else changed the record: where other fields than mine, mine go on top; else the user decides. */
  async function meet(base: StoredRecord<K>, patch: Patch<K>): Promise<void> {
    const fresh = await ask<StoredRecord<K>>("GET", `/api/records/${kind}/${base.id}`);
    if (!fresh.ok) {
      state.value = { kind: "refused", problems: fresh.problems };
      return;
    }
    const before = base as Readonly<Record<string, unknown>>;
    const now = fresh.value as Readonly<Record<string, unknown>>;
    // Also what was typed while this was under way; what both changed alike is no difference to decide.
    const mine = { ...patch, ...pending } as Readonly<Record<string, unknown>>;
    const fields = Object.keys(mine).filter(
      (name) =>
        JSON.stringify(before[name]) !== JSON.stringify(now[name]) &&
        JSON.stringify(mine[name] ?? null) !== JSON.stringify(now[name] ?? null),
    );
    if (fields.length > 0) {
      state.value = { kind: "changed", theirs: fresh.value, fields };
      return;
    }
    record.value = fresh.value;
    state.value = { kind: "waiting" };
    await send();
  }

  return {
    state,
    record,
    put,
    flush,
    heard(fresh) {
      const known = record.value;
      const idle = state.value.kind === "kept" && Object.keys(pending).length === 0;
      if (idle && (known === undefined || fresh.revision > known.revision)) record.value = fresh;
    },
    clash(fields) {
      clearTimeout(timer);
      if (record.value !== undefined) state.value = { kind: "changed", theirs: record.value, fields };
    },
    async keepMine() {
      if (state.value.kind !== "changed") return;
      record.value = state.value.theirs;
      state.value = { kind: "waiting" };
      await flush();
    },
    takeTheirs() {
      if (state.value.kind !== "changed") return undefined;
      const { theirs } = state.value;
      pending = {};
      record.value = theirs;
      state.value = { kind: "kept" };
      return theirs;
    },
  };
}

function present(fields: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null));
}
