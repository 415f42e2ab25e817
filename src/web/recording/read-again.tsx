import { useEffect, useRef, useState } from "preact/hooks";
import type { Reread, SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { count } from "../words.ts";
import { type NameOfPull, namesOf, ReadingChanges } from "./reading-changes.tsx";

type State =
  | { readonly kind: "idle" }
  | { readonly kind: "reading"; readonly dryRun: boolean; readonly done: number; readonly title: string }
  | {
      readonly kind: "read";
      readonly reread: Reread;
      readonly nameOf: NameOfPull;
      /** True where it was stopped before all was read. */
      readonly stopped: boolean;
      readonly problems: readonly Problem[];
    };

/**
 * Reads recordings again by the present method, a series at a time: first only to see what would come out otherwise,
 * then, at a second press, to keep it.
 */
export function ReadAgain(props: {
  readonly series: readonly { readonly id: string; readonly title: string }[];
  /** What is read again, in words: "this series". */
  readonly what: string;
}) {
  const { series } = props;
  const [state, setState] = useState<State>({ kind: "idle" });
  const stop = useRef<AbortController | undefined>(undefined);
  const looking = useRef(false);
  // Who turns the page wants no comparison any more; what is being stored is finished.
  useEffect(
    () => () => {
      if (looking.current) stop.current?.abort();
    },
    [],
  );

  async function read(dryRun: boolean): Promise<void> {
    if (stop.current !== undefined) return;
    const stopping = new AbortController();
    stop.current = stopping;
    looking.current = dryRun;
    const parts: Reread[] = [];
    const overviews: SeriesOverview[] = [];
    const problems: Problem[] = [];
    for (const [done, { id, title }] of series.entries()) {
      setState({ kind: "reading", dryRun, done, title });
      const answer = await readSeries(id, dryRun, stopping.signal);
      if (stopping.signal.aborted) break;
      if (!answer.ok) problems.push(...answer.problems);
      else {
        parts.push(answer.value);
        // The names of the pulls are wanted only where something is to be told of them.
        if (answer.value.changes.length === 0) continue;
        const overview = await ask<SeriesOverview>("GET", `/api/series/${id}/overview`);
        if (overview.ok) overviews.push(overview.value);
      }
    }
    stop.current = undefined;
    const reread = together(parts, dryRun);
    setState({
      kind: "read",
      reread,
      nameOf: namesOf(overviews),
      stopped: stopping.signal.aborted,
      problems,
    });
    announce(sentenceOf(reread, stopping.signal.aborted));
  }

  /** What only looks can be left in the middle; what stores is finished with the series that it is at. */
  async function readSeries(seriesId: string, dryRun: boolean, signal: AbortSignal) {
    try {
      return await ask<Reread>(
        "POST",
        "/api/reread",
        { seriesId, dryRun },
        dryRun ? { quiet: true, signal } : {},
      );
    } catch {
      return { ok: false as const, problems: [], status: 0 };
    }
  }

  if (state.kind === "reading")
    return (
      <div class="reading-now">
        <progress
          max={series.length}
          {...(series.length > 1 ? { value: state.done } : {})}
          aria-label={`Reading ${props.what} again`}
        />
        <span>
          {state.dryRun ? "Reading, to compare" : "Reading again"}
          {series.length > 1 ? `: ${state.title}` : ""} …
        </span>
        {(state.dryRun || series.length > 1) && (
          <button type="button" onClick={() => stop.current?.abort()}>
            Stop
          </button>
        )}
      </div>
    );

  const look = (
    <button type="button" onClick={() => void read(true)}>
      Read again to compare<span class="unseen"> {props.what}</span>
    </button>
  );
  if (state.kind === "idle") return <div class="buttons">{look}</div>;

  const { reread, nameOf, stopped, problems } = state;
  const changed = new Set(reread.changes.map(({ recordingSha256 }) => recordingSha256)).size;
  return (
    <div class="stack read-again">
      <p class="sentence">{sentenceOf(reread, stopped)}</p>
      <ReadingChanges changes={reread.changes} nameOf={nameOf} />
      {reread.refused.map(({ recordingSha256, fileName, problems: why }) => (
        <Problems
          key={recordingSha256}
          heading={`${fileName} could not be read again; its reading stands as it was`}
          problems={why}
        />
      ))}
      <Problems heading="Not read again" problems={problems} />
      <div class="buttons">
        {reread.dryRun && changed > 0 && !stopped && (
          <button type="button" class="main" onClick={() => void read(false)}>
            Read again and keep {changed === 1 ? "it" : "all of it"}
          </button>
        )}
        {reread.dryRun && changed > 0 ? (
          <button type="button" onClick={() => setState({ kind: "idle" })}>
            Leave it as it is
          </button>
        ) : (
          look
        )}
      </div>
    </div>
  );
}

function together(parts: readonly Reread[], dryRun: boolean): Reread {
  return {
    dryRun,
    recordings: parts.reduce((sum, { recordings }) => sum + recordings, 0),
    changes: parts.flatMap(({ changes }) => changes),
    refused: parts.flatMap(({ refused }) => refused),
  };
}

function sentenceOf({ dryRun, recordings, changes, refused }: Reread, stopped: boolean): string {
  const changed = new Set(changes.map(({ recordingSha256 }) => recordingSha256)).size;
  const read = count(recordings - refused.length, "recording");
  const cut = stopped ? "Stopped. " : "";
  if (dryRun)
    return changed === 0
      ? `${cut}${read} read to compare: nothing would come out otherwise.`
      : `${cut}${read} read to compare: ${changed} would come out otherwise. Nothing is stored yet.`;
  return changed === 0
    ? `${cut}${read} read again: nothing came out otherwise.`
    : `${cut}${read} read again and kept: ${changed} came out otherwise.`;
}
