import type { Specimen } from "../book/specimen-rows.ts";

/** What was typed of one specimen and is not in the book yet, with the record that the typing started from. */
export type Unsent = { readonly base: Specimen; readonly typed: Readonly<Record<string, string>> };

/**
 * The entries of a specimen that wait in this browser's own store until the book has them: they outlive a reload, a lost
 * connection and a closed page. Field by field, so that two tabs do not wipe out each other's.
 *
 * @example
 * const unsent = unsentOf("spe-1");
 * unsent.put("cutLengthMm", "1746", specimen);
 * unsent.drop("cutLengthMm", "1746"); // the book has it now
 */
export function unsentOf(specimenId: string) {
  const key = `bitterend.unsent.${specimenId}`;

  function read(): Unsent | undefined {
    try {
      const text = localStorage.getItem(key);
      return text === null ? undefined : (JSON.parse(text) as Unsent);
    } catch {
      return undefined; // storage is switched off, or something else wrote here
    }
  }

  function write(unsent: Unsent): void {
    try {
      if (Object.keys(unsent.typed).length === 0) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify(unsent));
    } catch {
      // Storage is switched off: what was typed then stands on the page alone.
    }
  }

  return {
    read,
    put(field: string, text: string, base: Specimen): void {
      const known = read();
      write({ base: known?.base ?? base, typed: { ...known?.typed, [field]: text } });
    },
    /** Only what still stands there as it was sent: another tab may have typed anew. */
    drop(field: string, text: string): void {
      const known = read();
      if (known?.typed[field] !== text) return;
      const { [field]: _sent, ...typed } = known.typed;
      write({ base: known.base, typed });
    },
  };
}
