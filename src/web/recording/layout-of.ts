import type { DraftLayout, Layout } from "../../trace/mod.ts";

/** A proposed layout as one that can be read by, once nothing of it is open; undefined while something must be asked. */
export function layoutOf(proposal: {
  readonly layout: DraftLayout;
  readonly questions: readonly unknown[];
}): Layout | undefined {
  const { force, ...rest } = proposal.layout;
  if (force?.unit === undefined || proposal.questions.length > 0) return undefined;
  return { ...rest, force: { column: force.column, unit: force.unit, inverted: force.inverted } };
}
