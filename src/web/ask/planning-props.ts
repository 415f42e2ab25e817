import type { SeriesOverview, SeriesPlan } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { PlanTyped } from "./asked.ts";

/** What each section of the planning gets. */
export type PlanningProps = {
  readonly overview: SeriesOverview;
  readonly plan: SeriesPlan | undefined;
  readonly typed: PlanTyped;
  readonly put: (change: Partial<PlanTyped>) => void;
  readonly problems: readonly Problem[];
};
