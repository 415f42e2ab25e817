import type { Specimen } from "../book/specimen-rows.ts";
import { recallTyped, rememberTyped } from "../memory.ts";

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
  const name = `unsent.${specimenId}`;
  const read = () => recallTyped<Unsent>(name);
  const write = (unsent: Unsent) =>
    rememberTyped(name, Object.keys(unsent.typed).length === 0 ? undefined : unsent);

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
