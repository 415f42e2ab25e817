import type { SeriesOverview, StoredRecord } from "../../app/mod.ts";
import { type Answer, ask } from "../server.ts";
import type { Patch } from "./saver.ts";

/**
 * Changes the same fields of several pulls in one go, of all or of none, and reads what must be read again once for all.
 * Which revision each pull has is asked of the book just before: other fields of it may have been kept a moment ago.
 */
export async function changePulls(
  seriesId: string,
  ids: readonly string[],
  patch: Patch<"pull">,
): Promise<Answer<readonly StoredRecord<"pull">[]>> {
  for (let tries = 3; ; tries -= 1) {
    const overview = await ask<SeriesOverview>("GET", `/api/series/${seriesId}/overview`);
    if (!overview.ok) return overview;
    const pulls = overview.value.pulls
      .filter(({ id }) => ids.includes(id))
      .map(({ id, revision }) => ({ id, revision }));
    const answer = await ask<readonly StoredRecord<"pull">[]>("PATCH", "/api/pulls", { pulls, patch });
    if (answer.ok || answer.status !== 409 || tries === 1) return answer;
  }
}
