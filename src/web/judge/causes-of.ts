import type { SeriesOverview } from "../../app/mod.ts";
import type { Finding, SeriesFindings } from "../../findings/mod.ts";

/** What every section of the causes is given. */
export type CausesOf = {
  readonly overview: SeriesOverview;
  readonly findings: SeriesFindings;
  /** The sentences of the section. */
  readonly sentences: readonly Finding[];
};
