import type { SeriesFindings } from "../findings/mod.ts";
import { type PullDetails, pullsCsv } from "../report/mod.ts";
import type { BundleContent } from "./content.ts";

/** The table of every pull as the report shows it, computed from a content: for those who want one table and no joins. */
export function resultsCsv({ tables, findings }: BundleContent): string {
  const [series] = tables.series;
  if (series === undefined) return "";
  const pullDetails: Record<string, PullDetails> = {};
  for (const pull of tables.pulls) {
    const benchName = tables.benches.find(({ id }) => id === pull.benchId)?.name;
    pullDetails[pull.id] = {
      ...(pull.notes === "" ? {} : { notes: pull.notes }),
      ...(pull.operator === "" ? {} : { operator: pull.operator }),
      ...(pull.pulledAt === undefined ? {} : { pulledAt: pull.pulledAt }),
      ...(benchName === undefined ? {} : { benchName }),
      ...(pull.recordingSha256 === undefined ? {} : { recordingSha256: pull.recordingSha256 }),
      ...(pull.recordingPull === undefined ? {} : { recordingPull: pull.recordingPull }),
    };
  }
  // What is written here was found by this program, in this run.
  return pullsCsv({ series, findings: findings as unknown as SeriesFindings, pullDetails });
}
