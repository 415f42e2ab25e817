import { type OutcomeKind, outcomeKinds } from "../series/mod.ts";
import type { JudgedPull } from "./types.ts";

/** How often each outcome was given; pulls that nobody judged are in none. */
export function countOutcomes(pulls: readonly JudgedPull[]): Record<OutcomeKind, number> {
  return Object.fromEntries(
    outcomeKinds.map((kind) => [kind, pulls.filter(({ outcome }) => outcome?.kind === kind).length]),
  ) as Record<OutcomeKind, number>;
}

/** How often each place of failure was written down for pulls that broke or slipped; "not said" where nobody wrote one. */
export function countPlaces(pulls: readonly JudgedPull[]): Record<string, number> {
  const counts = new Map<string, number>();
  for (const { outcome } of pulls) {
    if (outcome?.kind !== "broke" && outcome?.kind !== "slipped") continue;
    const place = outcome.place === "" ? "not said" : outcome.place;
    counts.set(place, (counts.get(place) ?? 0) + 1);
  }
  return Object.fromEntries([...counts].sort(([a], [b]) => (a < b ? -1 : 1)));
}
