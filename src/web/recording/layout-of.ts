import { completeLayout, type Layout, type LayoutHints, type LayoutProposal } from "../../trace/mod.ts";

/**
 * A proposed layout as one that can be read by; undefined while something must be asked first. What may stay open, such
 * as the rate of a file without time, does not hold up the picture.
 */
export function layoutOf(proposal: LayoutProposal, hints: LayoutHints): Layout | undefined {
  if (proposal.questions.some((question) => question.mayStayOpen !== true)) return undefined;
  const complete = completeLayout(proposal.layout, answeredHere(hints));
  return complete.ok ? complete.value : undefined;
}

/** Hints that the proposal already took in are not said twice: a column's number may mean another column by then. */
function answeredHere({ forceUnit, noTime }: LayoutHints): LayoutHints {
  return { ...(forceUnit === undefined ? {} : { forceUnit }), ...(noTime === undefined ? {} : { noTime }) };
}
