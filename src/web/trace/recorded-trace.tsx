import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import type { StoredPull, StoredRecording } from "../../app/mod.ts";
import { Waiting } from "../parts/page.tsx";
import { Problems, Warnings } from "../parts/problems.tsx";
import { fileSize } from "../shown-units.ts";
import { useResource } from "../use-resource.ts";
import { type Boundary, withBoundary } from "./boundaries.ts";
import { CorrectionsBar, type Draft, Handles } from "./correct-reading.tsx";
import { fetchWindow } from "./fetch-window.ts";
import { OtherLoads } from "./other-loads.tsx";
import { Slips } from "./slips.tsx";
import { Drops, TraceFacts, UncertaintyBudget } from "./trace-facts.tsx";
import { type Look, TracePicture } from "./trace-picture.tsx";
import { useCorrections } from "./use-corrections.ts";
import type { TraceSource } from "./use-windows.ts";

/** A pull's trace with what was read of it: shown, told in figures, and corrected by hand. */
export function RecordedTrace(props: {
  readonly pull: StoredPull;
  readonly name: string;
  readonly sha256: string;
  readonly series: string;
  readonly ratedStrengthN?: number;
}) {
  const { sha256, pull } = props;
  const answer = useResource<StoredRecording>(`/api/recordings/${sha256}`);
  const source = useCallback<TraceSource>(
    (fromRow, toRow, columns) => fetchWindow(sha256, fromRow, toRow, columns),
    [sha256],
  );
  const corrections = useCorrections(pull);
  const [correcting, setCorrecting] = useState(false);
  const [draft, latest, setDraft] = useDraft();
  const keeping = useRef<Promise<void> | undefined>(undefined);
  const [look, setLook] = useState<Look>();
  useUndoKeys(corrections.undo, corrections.redo);
  const { reading } = pull;
  // What was moved is kept by now, and the book's own reading is shown again; what a hand still moves stays in the hand.
  useEffect(() => {
    if (latest.current?.kind === "boundary" && latest.current.keeping) setDraft(undefined);
  }, [pull.revision]);
  if (reading === undefined) return null;
  if (answer === undefined) return <Waiting text="Drawing the trace" />;
  if (!answer.ok) return <Problems heading="The recording cannot be shown" problems={answer.problems} />;
  const recording = answer.value;
  const { rows } = recording.reading;
  const shown = draft?.kind === "boundary" ? withBoundary(reading, draft.boundary, draft.row) : reading;
  const others = recording.reading.pulls.filter((one) => one.index !== reading.index);
  const show = (row: number): void => setLook({ row });

  /** Keeps what was moved; a boundary that is moved on while it is being kept is kept where it then rests. */
  async function keep(): Promise<void> {
    await keeping.current;
    keeping.current = keepNow();
    await keeping.current;
    keeping.current = undefined;
  }

  async function keepNow(): Promise<void> {
    const moved = latest.current;
    if (moved?.kind !== "boundary" || moved.keeping) return;
    const { boundary, row } = moved;
    if (row === boundary.row) return setDraft(undefined);
    const mine = { ...moved, keeping: true };
    setDraft(mine);
    const correction = { what: "boundary", fromRow: boundary.row, toRow: row } as const;
    const kept = await corrections.make(correction, moved.seen);
    if (!kept && latest.current === mine) setDraft(undefined);
  }

  async function keepSlip(): Promise<void> {
    if (draft?.kind !== "slip") return;
    const { fromRow, toRow } = draft;
    const kept = await corrections.make({ what: "add slip", fromRow, toRow });
    if (kept) setDraft(undefined);
  }

  return (
    <div class="trace-and-facts">
      <div class="stack">
        <TracePicture
          source={source}
          rows={rows}
          pulls={[...others, shown]}
          focus={shown}
          name={props.name}
          leftOut={leftOutRows(recording)}
          {...(pull.machineReading === undefined ? {} : { machine: pull.machineReading })}
          {...(look === undefined ? {} : { look })}
          overlay={(sheet) =>
            (correcting || draft?.kind === "slip") && (
              <Handles
                sheet={sheet}
                phases={reading.deep?.phases ?? []}
                rows={rows}
                draft={draft}
                onMove={(boundary: Boundary, row) =>
                  setDraft({ kind: "boundary", boundary, row, keeping: false, seen: pull.overrides.length })
                }
                onSlip={(fromRow, toRow) => setDraft({ kind: "slip", fromRow, toRow })}
                onRest={() => void keep()}
                onEscape={() => setDraft(undefined)}
              />
            )
          }
        />
        {reading.deep !== undefined && (
          <CorrectionsBar
            pull={pull}
            reading={reading}
            corrections={corrections}
            correcting={correcting}
            onCorrecting={(on) => {
              setCorrecting(on);
              setDraft(undefined);
            }}
            rows={rows}
            onShow={show}
          />
        )}
        <Warnings
          heading="Doubts about this reading"
          warnings={[...reading.warnings, ...recording.reading.warnings]}
          onShow={show}
        />
        {reading.deep !== undefined && (
          <Slips
            pull={pull}
            slips={reading.deep.slips}
            corrections={corrections}
            draft={draft?.kind === "slip" ? draft : undefined}
            onDraft={(fromRow, toRow) => {
              setDraft({ kind: "slip", fromRow, toRow });
              show(Math.round((fromRow + toRow) / 2));
            }}
            onKeep={() => void keepSlip()}
            onLeave={() => setDraft(undefined)}
            onShow={show}
          />
        )}
        <details>
          <summary>All drops of the force</summary>
          <Drops pull={reading} />
        </details>
        <OtherLoads
          loads={recording.reading.otherLoads}
          sha256={sha256}
          series={props.series}
          pull={pull}
          corrections={corrections}
          onShow={show}
        />
      </div>
      <div class="stack">
        <TraceFacts
          pull={reading}
          {...(props.ratedStrengthN === undefined ? {} : { ratedStrengthN: props.ratedStrengthN })}
        />
        <UncertaintyBudget pull={reading} />
        <p class="aside">
          {recording.fileName}, {fileSize(recording.sizeBytes)}, {rows} rows, read by method{" "}
          {recording.reading.method.name} {recording.reading.method.version}.{" "}
          <a href={`/api/recordings/${sha256}/bytes`} download={recording.fileName}>
            The bytes as they came
          </a>
          <br />
          SHA-256 <code>{sha256}</code>
        </p>
      </div>
    </div>
  );
}

/** What a hand is moving, also for work that was begun before the page was drawn anew. */
function useDraft() {
  const [draft, draw] = useState<Draft>();
  const latest = useRef<Draft | undefined>(undefined);
  const put = (next: Draft | undefined): void => {
    latest.current = next;
    draw(next);
  };
  return [draft, latest, put] as const;
}

/** Ctrl+Z and Ctrl+Shift+Z anywhere on the page, save where text is typed: there they undo the typing. */
function useUndoKeys(undo: () => Promise<void>, redo: () => Promise<void>): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      if (key !== "z" && key !== "y") return;
      const place = event.target;
      if (
        place instanceof Element &&
        place.closest("input, textarea, select, dialog, [contenteditable]") !== null
      )
        return;
      event.preventDefault();
      void (key === "y" || event.shiftKey ? redo() : undo());
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  });
}

/** Rows of samples that the reading left out, as far as its doubts name them. */
function leftOutRows({ reading }: StoredRecording): readonly number[] {
  return reading.warnings
    .filter(({ code }) => code === "READING_SPIKES")
    .flatMap(({ where }) => (where?.row === undefined ? [] : [where.row]));
}
