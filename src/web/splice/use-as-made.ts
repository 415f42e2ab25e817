import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { announce } from "../announce.tsx";
import { makeSaver } from "../book/saver.ts";
import type { Specimen } from "../book/specimen-rows.ts";
import { type MadeField, madeFields, madePatch, madeText } from "./as-made-fields.ts";
import { unsentOf } from "./unsent.ts";

/** How long until what nobody answered to is sent once more. */
const againMs = 4000;
/** A field is sent when it is left, or when the hand has rested this long. */
const restMs = 1500;

/**
 * The fields of one specimen as they are typed, kept field by field. What the book does not have yet waits in the
 * browser's own store and is sent again when the page is opened, when the connection is back, and every few seconds.
 */
export function useAsMade(specimen: Specimen) {
  const [sheet] = useState(() => openSheet(specimen));
  useEffect(() => sheet.saver.heard(specimen), [sheet, specimen]);
  useEffect(() => {
    sheet.sendWaiting();
    const again = (): void => {
      if (sheet.isUnanswered()) void sheet.saver.flush();
    };
    const timer = setInterval(again, againMs);
    addEventListener("online", again);
    return () => {
      clearInterval(timer);
      removeEventListener("online", again);
      void sheet.saver.flush();
    };
  }, [sheet]);
  return sheet;
}

function openSheet(specimen: Specimen) {
  const unsent = unsentOf(specimen.id);
  const waiting = unsent.read();
  const typed = signal<Readonly<Record<string, string>>>({ ...waiting?.typed });
  const saver = makeSaver("specimen", waiting?.base ?? specimen, {
    onKept: (record) => {
      letGo(record);
      announce(`${record.label} kept.`);
    },
  });

  /** What the book said of a field when typing in it began. */
  const seen = new Map(Object.keys(typed.value).map((name) => [name, fieldText(waiting?.base, name)]));
  let resting: ReturnType<typeof setTimeout> | undefined;

  const recordNow = (): Specimen => saver.record.value ?? specimen;
  const patchOf = (field: MadeField, text: string) => madePatch(field, text, recordNow());

  /** Lets go of every typed text that the book now says the same of. */
  function letGo(record: Specimen): void {
    const left: Record<string, string> = {};
    for (const [name, text] of Object.entries(typed.value)) {
      const field = madeFields.find((one) => one.name === name);
      const patch = field === undefined ? undefined : madePatch(field, text, record);
      if (field === undefined || (patch?.ok === true && says(record, patch.value))) unsent.drop(name, text);
      else left[name] = text;
    }
    typed.value = left;
  }

  async function send(names: readonly string[]): Promise<void> {
    await saver.flush();
    const clashing: string[] = [];
    for (const name of names) {
      const field = madeFields.find((one) => one.name === name);
      const text = typed.value[name];
      const patch = field === undefined || text === undefined ? undefined : patchOf(field, text);
      if (patch?.ok !== true) continue;
      saver.put(patch.value);
      // Somebody else's entry came in under the hand: what was typed over was not this.
      if (
        seen.has(name) &&
        seen.get(name) !== fieldText(recordNow(), name) &&
        !says(recordNow(), patch.value)
      )
        clashing.push(name);
    }
    if (clashing.length > 0) saver.clash(clashing);
    else await saver.flush();
  }

  function leave(field: MadeField): void {
    const text = typed.value[field.name];
    const patch = text === undefined ? undefined : patchOf(field, text);
    if (patch?.ok !== true) return;
    if (says(recordNow(), patch.value) && saver.state.value.kind === "kept") letGo(recordNow());
    else void send([field.name]);
  }

  return {
    saver,
    typed,
    textOf: (field: MadeField): string => typed.value[field.name] ?? madeText(field, recordNow()),
    problemsOf(field: MadeField) {
      const text = typed.value[field.name];
      const patch = text === undefined ? undefined : patchOf(field, text);
      return patch === undefined || patch.ok ? [] : patch.problems;
    },
    /** The record as it would be with everything that is typed and can be read. */
    asTyped(): Specimen {
      const read = madeFields.flatMap((field) => {
        const text = typed.value[field.name];
        const patch = text === undefined ? undefined : patchOf(field, text);
        return patch?.ok === true ? [[field.name, Object.values(patch.value)[0] ?? undefined]] : [];
      });
      return { ...recordNow(), ...Object.fromEntries(read) };
    },
    type(field: MadeField, text: string): void {
      if (typed.value[field.name] === undefined) seen.set(field.name, fieldText(recordNow(), field.name));
      typed.value = { ...typed.value, [field.name]: text };
      unsent.put(field.name, text, recordNow());
      clearTimeout(resting);
      resting = setTimeout(() => leave(field), restMs);
    },
    leave,
    sendWaiting(): void {
      if (Object.keys(typed.value).length > 0) void send(Object.keys(typed.value));
    },
    isUnanswered(): boolean {
      const state = saver.state.value;
      return state.kind === "refused" && state.problems.every(({ code }) => code === "SERVER_NO_ANSWER");
    },
    takeTheirs(): void {
      const state = saver.state.value;
      if (state.kind !== "changed") return;
      for (const name of state.fields) unsent.drop(name, typed.value[name] ?? "");
      const mine = Object.entries(typed.value).filter(([name]) => !state.fields.includes(name));
      saver.takeTheirs();
      typed.value = Object.fromEntries(mine);
      void send(mine.map(([name]) => name));
    },
  };
}

export type AsMadeSheet = ReturnType<typeof openSheet>;

function fieldText(record: Specimen | undefined, name: string): string {
  return JSON.stringify((record as Readonly<Record<string, unknown>> | undefined)?.[name] ?? null);
}

/** True where the record already says what a change would make it say. */
function says(record: Specimen, patch: object): boolean {
  const now = record as Readonly<Record<string, unknown>>;
  return Object.entries(patch).every(
    ([name, value]) => JSON.stringify(now[name] ?? null) === JSON.stringify(value ?? null),
  );
}
