import { signal } from "@preact/signals";

/** The pulls that one finding rests on, marked wherever pulls are shown; by which finding they were marked. */
export type MarkedPulls = { readonly by: string; readonly pulls: ReadonlySet<string> };

/** What is marked on the page; nothing until a finding is asked what it rests on. */
export const markedPulls = signal<MarkedPulls | undefined>(undefined);

/** Marks the pulls of a finding, or unmarks them where they are marked already. */
export function toggleMarks(by: string, pulls: readonly string[]): void {
  markedPulls.value = markedPulls.value?.by === by ? undefined : { by, pulls: new Set(pulls) };
}
