import type { Factor, LevelValue } from "../../series/mod.ts";
import type { JudgedPull } from "../types.ts";

/** What a pull belongs to beside the plan: its rope, its spool, its maker. */
export const kindNames = ["rope", "spool", "maker"] as const;
export type KindName = (typeof kindNames)[number];

/** The group of a pull; a spool is one of its rope. Nothing where nobody said. */
export function groupOf(kind: KindName, pull: JudgedPull): string | undefined {
  if (kind === "rope") return pull.ropeName;
  if (kind === "maker") return pull.maker;
  return pull.spoolName === undefined ? undefined : `${pull.ropeName ?? ""}\u0000${pull.spoolName}`;
}

/** A kind with the group of each pull, where every pull has one and there are two groups or more. */
export function groupsOf(kind: KindName, pulls: readonly JudgedPull[]): string[] | undefined {
  const groups = pulls.flatMap((pull) => groupOf(kind, pull) ?? []);
  return groups.length === pulls.length && new Set(groups).size > 1 ? groups : undefined;
}

/** A level in words: "60 d". */
export function levelLabel({ unit }: Factor, level: LevelValue): string {
  return unit === "" ? String(level) : `${level} ${unit}`;
}

/** True where each group of `fine` lies in one group of `coarse`. */
export function liesWithin(fine: readonly string[], coarse: readonly string[]): boolean {
  const of = new Map<string, string>();
  return fine.every((group, i) => {
    const known = of.get(group);
    of.set(group, coarse[i] as string);
    return known === undefined || known === coarse[i];
  });
}

/** Several sortings at once: what is alike in all of them. */
export function crossed(n: number, sortings: readonly (readonly string[])[]): string[] {
  return Array.from({ length: n }, (_, i) => sortings.map((sorting) => sorting[i]).join("\u0001"));
}
