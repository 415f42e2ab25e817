import type { SeriesFields } from "../../series/mod.ts";
import type { Finding } from "../types.ts";
import { counted } from "../words.ts";
import { planChanges } from "./plan-changes.ts";

/** Each change of the plan after pulls existed as a sentence, with what it does to what may be concluded. */
export function statePlanChanges(
  series: Pick<SeriesFields, "factors" | "pullsPerCell" | "planHistory">,
): Finding[] {
  return planChanges(series.planHistory ?? [], series).map(({ at, pullsThen, changed, inference }, i) => ({
    id: `plan-changed-${i + 1}`,
    sentence: `The plan was changed on ${at.slice(0, 10)}, after ${counted(pullsThen, "pull")}: ${changed.join("; ")}. ${inference.join(" ")}`,
    method: "The plan that stands beside the plans that were, which the book keeps.",
    pulls: [],
    warnings: [],
  }));
}
