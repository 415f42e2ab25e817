import { signal } from "@preact/signals";
import { recallTyped, rememberTyped } from "../memory.ts";

/** What the reader opened or folded, by its place; kept in this browser, for every page of its kind. */
const chosen = signal<Readonly<Record<string, boolean>>>(kept());

/** The folds that are on the page, in their order. */
const there = signal<readonly { readonly id: string; readonly atFirst: boolean }[]>([]);

/** Whether a fold is open: as the reader left it, else as it begins. */
export function isOpen(id: string, atFirst: boolean): boolean {
  return chosen.value[id] ?? atFirst;
}

export function setOpen(ids: readonly string[], open: boolean): void {
  if (ids.every((id) => chosen.value[id] === open)) return;
  chosen.value = { ...chosen.value, ...Object.fromEntries(ids.map((id) => [id, open])) };
  rememberTyped("folds", chosen.value);
}

export function foldsThere(): readonly { readonly id: string; readonly open: boolean }[] {
  return there.value.map(({ id, atFirst }) => ({ id, open: isOpen(id, atFirst) }));
}

/** Says that a fold is on the page; answers how it is said that it left. */
export function foldArrives(id: string, atFirst: boolean): () => void {
  const one = { id, atFirst };
  there.value = [...there.value, one];
  return () => {
    there.value = there.value.filter((other) => other !== one);
  };
}

function kept(): Record<string, boolean> {
  const found = recallTyped<unknown>("folds");
  if (typeof found !== "object" || found === null) return {};
  return Object.fromEntries(Object.entries(found).filter(([, open]) => typeof open === "boolean"));
}
