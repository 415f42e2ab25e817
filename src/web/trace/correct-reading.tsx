import type { StoredPull } from "../../app/mod.ts";
import type { Phase, PullReading } from "../../trace/mod.ts";
import { Problems } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { seconds } from "../shown-units.ts";
import { capital, whenText } from "../words.ts";
import { type Boundary, boundariesOf, correctionsOf, correctionWords } from "./boundaries.ts";
import { RowHandle } from "./row-handle.tsx";
import { placeText } from "./trace-facts.tsx";
import type { Sheet } from "./trace-picture.tsx";
import type { Corrections } from "./use-corrections.ts";

/** What a hand is moving and has not let go of: a boundary, or both ends of a slip that is to be added. */
export type Draft =
  | {
      readonly kind: "boundary";
      readonly boundary: Boundary;
      readonly row: number;
      readonly keeping: boolean;
      /** How many corrections the page showed when the boundary was taken up. */
      readonly seen: number;
    }
  | { readonly kind: "slip"; readonly fromRow: number; readonly toRow: number };

/** The handles over the picture: one for each boundary of a phase, or two for a slip that is being added. */
export function Handles(props: {
  readonly sheet: Sheet;
  readonly phases: readonly Phase[];
  readonly rows: number;
  readonly draft: Draft | undefined;
  readonly onMove: (boundary: Boundary, row: number) => void;
  readonly onSlip: (fromRow: number, toRow: number) => void;
  readonly onRest: () => void;
  readonly onEscape: () => void;
}) {
  const { sheet, draft, rows } = props;
  const common = { sheet, onRest: props.onRest, onEscape: props.onEscape };
  if (draft?.kind === "slip")
    return (
      <>
        <RowHandle
          {...common}
          name="top of the new slip"
          row={draft.fromRow}
          least={1}
          most={draft.toRow - 1}
          onRest={() => {}}
          onMove={(row) => props.onSlip(row, draft.toRow)}
        />
        <RowHandle
          {...common}
          name="foot of the new slip"
          row={draft.toRow}
          least={draft.fromRow + 1}
          most={rows}
          level={1}
          onRest={() => {}}
          onMove={(row) => props.onSlip(draft.fromRow, row)}
        />
      </>
    );
  const levels: number[] = [];
  return (
    <>
      {boundariesOf(props.phases, rows).map((boundary) => {
        const moving = draft?.kind === "boundary" && draft.boundary.at === boundary.at;
        const row = moving ? draft.row : boundary.row;
        const x = sheet.acrossRow(row);
        const free = levels.findIndex((taken) => x - taken > 30);
        const level = free < 0 ? Math.min(levels.length, 3) : free;
        levels[level] = x;
        return (
          <RowHandle
            {...common}
            key={boundary.at}
            name={boundary.name}
            row={row}
            least={boundary.least}
            most={boundary.most}
            level={level}
            onMove={(to) => props.onMove(boundary, to)}
          />
        );
      })}
    </>
  );
}

/** Undo and redo, the phases with their ends, and what was corrected, each with a way back to what was read. */
export function CorrectionsBar(props: {
  readonly pull: StoredPull;
  readonly reading: PullReading;
  readonly corrections: Corrections;
  readonly correcting: boolean;
  readonly onCorrecting: (on: boolean) => void;
  readonly rows: number;
  readonly onShow: (row: number) => void;
}) {
  const { corrections, reading, pull } = props;
  const { list } = corrections;
  return (
    <section class="stack corrections-bar" aria-label="Correct the reading">
      <div class="buttons">
        <button
          type="button"
          aria-pressed={props.correcting}
          onClick={() => props.onCorrecting(!props.correcting)}
        >
          {props.correcting ? "Done correcting" : "Correct the phases"}
        </button>
        <button type="button" disabled={!corrections.canUndo} onClick={() => void corrections.undo()}>
          Undo
        </button>
        <button type="button" disabled={!corrections.canRedo} onClick={() => void corrections.redo()}>
          Redo
        </button>
      </div>
      {props.correcting && (
        <p class="aside">
          Drag a grip, or reach it with Tab: arrow keys move it by a sample, Shift by ten, Home and End as far
          as it goes, Escape puts it back. Each move is kept beside what the machine read.
        </p>
      )}
      <Problems heading="Not kept" problems={corrections.problems} />
      <details open={list.length > 0 || props.correcting}>
        <summary>The phases, row by row{list.length > 0 ? `, ${list.length} corrected by hand` : ""}</summary>
        <PhaseTable
          pull={pull}
          reading={reading}
          corrections={corrections}
          rows={props.rows}
          onShow={props.onShow}
        />
      </details>
      {list.length > 0 && (
        <ol class="corrections">
          {list.map((override, at) => (
            <li key={`${override.at} ${at}`}>
              {capital(correctionWords(override))},{" "}
              <span class="aside">
                {whenText(override.at)}
                {override.by === "" ? "" : ` by ${override.by}`}
                {override.why === "" ? "" : `: ${override.why}`}
              </span>{" "}
              {override.what !== "pull" && (
                <button
                  type="button"
                  class="plain"
                  disabled={corrections.busy}
                  onClick={() => void corrections.takeBack([at + 1])}
                >
                  take it back<span class="unseen"> {correctionWords(override)}</span>
                </button>
              )}
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}

function PhaseTable(props: {
  readonly pull: StoredPull;
  readonly reading: PullReading;
  readonly corrections: Corrections;
  readonly rows: number;
  readonly onShow: (row: number) => void;
}) {
  const { reading, pull, corrections } = props;
  const phases = reading.deep?.phases ?? [];
  const machine = pull.machineReading?.deep?.phases ?? phases;
  const boundaries = boundariesOf(phases, props.rows);
  return (
    <Scroll label="Phases">
      <table>
        <thead>
          <tr>
            <th scope="col">Phase</th>
            <th scope="col" class="number">
              From
            </th>
            <th scope="col" class="number">
              Long
            </th>
            <th scope="col">As the machine read it</th>
          </tr>
        </thead>
        <tbody>
          {phases.map((phase, at) => {
            const read = machine[at];
            const boundary = boundaries.find((one) => one.at === at);
            const moved = read !== undefined && read.fromRow !== phase.fromRow;
            const back = boundary === undefined ? [] : correctionsOf(boundary, pull.overrides);
            return (
              <tr key={`${phase.name} ${at}`}>
                <th scope="row">{phase.name}</th>
                <td class="number">
                  <button type="button" class="plain" onClick={() => props.onShow(phase.fromRow)}>
                    {placeText(phase.fromS, phase.fromRow)}
                    <span class="unseen"> on the trace</span>
                  </button>
                </td>
                <td class="number">
                  {phase.fromS === undefined || phase.toS === undefined
                    ? `${phase.toRow - phase.fromRow} rows`
                    : seconds(phase.toS - phase.fromS)}
                </td>
                <td>
                  {moved && read !== undefined ? (
                    <>
                      from {placeText(read.fromS, read.fromRow)}{" "}
                      <button
                        type="button"
                        class="plain"
                        disabled={corrections.busy || back.length === 0}
                        onClick={() => void corrections.takeBack(back)}
                      >
                        reset to what was read<span class="unseen"> at the start of the {phase.name}</span>
                      </button>
                    </>
                  ) : (
                    <span class="aside">the same</span>
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Scroll>
  );
}
