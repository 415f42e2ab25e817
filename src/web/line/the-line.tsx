import { useLocation } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import { recall } from "../memory.ts";
import { useResource } from "../use-resource.ts";
import { capital, type Stage, stages } from "../words.ts";
import { BraidPattern } from "./braid.tsx";
import { progressOf, type StageProgress } from "./progress.ts";

/** The stage and series that an address speaks of. */
export function placeOnLine(path: string): { readonly seriesId?: string; readonly stage?: Stage } {
  const match = /^\/series\/([^/]+)\/([a-z]+)/.exec(path);
  const seriesId = match?.[1];
  const stage = stages.find((name) => name === match?.[2]);
  return {
    ...(seriesId === undefined ? {} : { seriesId: decodeURIComponent(seriesId) }),
    ...(stage === undefined ? {} : { stage }),
  };
}

/**
 * The line: a 12-strand rope on which the six stages are tucks, filled as a series goes through them. It is the way
 * through a series; outside a series it leads back to the one that was open last.
 */
export function TheLine() {
  const { path } = useLocation();
  const { seriesId, stage } = placeOnLine(path);
  const open = seriesId ?? recall("last-series");
  return (
    <nav class="line" aria-label="The line: six stages of a series">
      <Rope />
      <a class="name" href="/">
        Bitter End
      </a>
      {open === undefined ? (
        <Stations current={undefined} seriesId={undefined} progress={undefined} />
      ) : (
        <SeriesStations seriesId={open} current={seriesId === undefined ? undefined : stage} />
      )}
    </nav>
  );
}

function SeriesStations(props: { readonly seriesId: string; readonly current: Stage | undefined }) {
  const answer = useResource<SeriesOverview>(`/api/series/${encodeURIComponent(props.seriesId)}/overview`);
  // A series that was open last may be gone; the stages then stand as words.
  const gone = answer !== undefined && !answer.ok;
  return (
    <Stations
      current={props.current}
      seriesId={gone ? undefined : props.seriesId}
      progress={answer?.ok === true ? progressOf(answer.value) : undefined}
    />
  );
}

function Stations(props: {
  readonly seriesId: string | undefined;
  readonly current: Stage | undefined;
  readonly progress: Readonly<Record<Stage, StageProgress>> | undefined;
}) {
  const { seriesId, current, progress } = props;
  return (
    <ol>
      {stages.map((stage) => {
        const state = progress?.[stage];
        const words = (
          <>
            <Tuck done={state?.done ?? 0} />
            <span class="words">
              <b>{capital(stage)}</b>
              <small class={state?.care === true ? "care-text" : undefined}>{state?.text ?? "\u00a0"}</small>
            </span>
          </>
        );
        return (
          <li key={stage} class={stage === current ? "current" : undefined}>
            {seriesId === undefined ? (
              <span class="station">{words}</span>
            ) : (
              <a
                class="station"
                href={`/series/${encodeURIComponent(seriesId)}/${stage}`}
                aria-current={stage === current ? "page" : undefined}
              >
                {words}
              </a>
            )}
          </li>
        );
      })}
    </ol>
  );
}

/** A tail leaving the rope and tucked back into it: an outline until the stage is done, laid up when it is. */
function Tuck({ done }: { readonly done: number }) {
  const path = "M36 2C18 5 6 16 6 29S18 55 36 58";
  return (
    <svg class="tuck" viewBox="0 0 40 60" aria-hidden="true" focusable="false">
      <path d={path} class="tuck-edge" />
      <path d={path} class="tuck-core" />
      {done > 0 && (
        <path
          d={path}
          class="tuck-laid"
          pathLength="100"
          stroke-dasharray={`${Math.min(1, done) * 100} 200`}
        />
      )}
    </svg>
  );
}

function Rope() {
  return (
    <>
      <svg class="rope down" aria-hidden="true" focusable="false">
        <defs>
          <BraidPattern id="braid-down" />
        </defs>
        <rect x="0" y="0" width="40" height="100%" fill="url(#braid-down)" />
        <path class="rope-edge" d="M0.75 0V4000M39.25 0V4000" />
      </svg>
      <svg class="bitter-end" viewBox="0 0 60 44" aria-hidden="true" focusable="false">
        <path class="whipping" d="M8 4H52M8 10H52M8 16H52M8 22H52" />
        <path class="fray" d="M14 26L10 42M22 26L20 43M30 26V43M38 26L40 43M46 26L50 42" />
      </svg>
      <svg class="rope across" aria-hidden="true" focusable="false">
        <defs>
          <BraidPattern id="braid-across" across />
        </defs>
        <g transform="scale(0.55)">
          <rect x="0" y="0" width="200%" height="40" fill="url(#braid-across)" />
          <path class="rope-edge" d="M0 0.75H4000M0 39.25H4000" />
        </g>
      </svg>
    </>
  );
}
