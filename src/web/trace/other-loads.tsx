import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import type { StoredPull } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { OtherLoad } from "../../trace/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { force } from "../shown-units.ts";
import { count } from "../words.ts";
import { placeText } from "./trace-facts.tsx";
import type { Corrections } from "./use-corrections.ts";

/** Loads that were not read as pulls: a set-up tug, handling. One that was a pull is turned into one, and the reverse. */
export function OtherLoads(props: {
  readonly loads: readonly OtherLoad[];
  readonly sha256: string;
  readonly series: string;
  readonly pull: StoredPull;
  readonly corrections: Corrections;
  readonly onShow: (row: number) => void;
}) {
  const { route } = useLocation();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  const { loads, pull, corrections } = props;
  const noPull = pull.overrides.some(({ what }) => what === "other load");

  async function makePull({ startRow, endRow }: OtherLoad): Promise<void> {
    const answer = await ask<StoredPull>("POST", `/api/recordings/${props.sha256}/pulls`, {
      fromRow: startRow,
      toRow: endRow,
    });
    if (!answer.ok) return setProblems(answer.problems);
    announce("The load is a pull now.");
    route(`/series/${props.series}/pull/${answer.value.id}`);
  }

  return (
    <details open={noPull}>
      <summary>
        {loads.length === 0
          ? "Was this a pull at all?"
          : `${count(loads.length, "other load")} in this recording`}
      </summary>
      <div class="stack">
        {loads.length > 0 && (
          <ul class="contents">
            {loads.map((load) => (
              <li key={load.startRow}>
                <span>
                  up to {force(load.peakN)},{" "}
                  <button type="button" class="plain" onClick={() => props.onShow(load.startRow)}>
                    {placeText(load.startS, load.startRow)}
                    <span class="unseen"> on the trace</span>
                  </button>
                </span>
                <button type="button" disabled={busy} onClick={() => void once(() => makePull(load))}>
                  This was a pull<span class="unseen"> up to {force(load.peakN)}</span>
                </button>
              </li>
            ))}
          </ul>
        )}
        <Problems heading="It stays another load" problems={problems} />
        {noPull ? (
          <p>Somebody said that this load was no pull. Take that back among the corrections above.</p>
        ) : (
          <div class="buttons">
            <button
              type="button"
              disabled={corrections.busy}
              onClick={() => void corrections.make({ what: "other load" })}
            >
              This load was no pull, but handling
            </button>
          </div>
        )}
      </div>
    </details>
  );
}
