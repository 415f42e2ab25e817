import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { Effects } from "../contract.ts";
import type { StoredRecord } from "../records.ts";
import type { StoredPull, StoredRecording } from "../store.ts";
import { notFound, orTrouble } from "./transact.ts";

/** A pull with what was read for it. */
export async function getPull({ store }: Effects, id: string): Promise<Result<StoredPull>> {
  return orTrouble(async () => {
    const pull = await store.read.get("pull", id);
    if (pull === undefined) return refuse(notFound("pull", id));
    const { recordingSha256 } = pull;
    return ok(
      withReading(
        pull,
        recordingSha256 === undefined ? undefined : await store.read.getRecording(recordingSha256),
      ),
    );
  });
}

/** The pull with its part of the recording's reading. */
export function withReading(
  pull: StoredRecord<"pull">,
  recording: Pick<StoredRecording, "reading"> | undefined,
): StoredPull {
  const reading = recording?.reading.pulls.find(({ index }) => index === pull.recordingPull);
  return reading === undefined ? pull : { ...pull, reading };
}

/** In the order of pulling; those without one come last, in the order in which they came to the book. */
export function byOrder(a: StoredRecord<"pull">, b: StoredRecord<"pull">): number {
  return (a.order ?? Number.MAX_SAFE_INTEGER) - (b.order ?? Number.MAX_SAFE_INTEGER);
}
