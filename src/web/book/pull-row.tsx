import { useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Outcome } from "../../series/mod.ts";
import { Mark } from "../parts/marks.tsx";
import { force } from "../shown-units.ts";
import { bestPeakN } from "../trace/best-peak.ts";
import { capital, count, pullName } from "../words.ts";
import { OutcomeFields, wordsOf } from "./outcome-fields.tsx";
import { type Pull, pullFieldName, pullFieldText, SpecimenChoice, usePullSaver } from "./pull-saver.tsx";
import { SaveTrouble, SaveWord } from "./save-state.tsx";

/**
 * One pull of the list: a line where all was said of it when the page came, else its controls. What is being said stays
 * open under the hand until it is folded.
 */
export function PullRow({ pull, overview }: { readonly pull: Pull; readonly overview: SeriesOverview }) {
  const saver = usePullSaver(pull, overview);
  const outcome = saver.record.value?.outcome ?? pull.outcome;
  const said = saver.record.value?.specimenId !== undefined && outcome !== undefined;
  const [open, setOpen] = useState(!said || wordsOf(outcome) === "");
  const recording = overview.recordings.find((one) => one.sha256 === pull.recordingSha256);
  const doubts = pull.reading?.warnings.length ?? 0;
  const name = pullName(pull, overview);
  return (
    <li>
      <div class="figures">
        <a class="peak" href={`/series/${overview.series.id}/pull/${pull.id}`}>
          {peakOf(pull)}
        </a>
        <span class="called">{name}</span>
        {!open && outcome !== undefined && (
          <span class="ended">
            <Mark kind={outcome.kind} /> {endedAs(outcome)}
          </span>
        )}
        <span class="aside">
          {recording?.fileName ?? "typed"}
          {pull.recordingPull !== undefined && pull.recordingPull > 1 ? `, pull ${pull.recordingPull}` : ""}
        </span>
        {doubts > 0 && (
          <a class="stamp" href={`/series/${overview.series.id}/pull/${pull.id}`}>
            {count(doubts, "doubt")}
          </a>
        )}
        {(open || saver.state.value.kind !== "kept") && <SaveWord saver={saver} />}
        {(said || !open) && (
          <button
            type="button"
            class="plain"
            aria-expanded={open}
            aria-label={`${open ? "Fold" : "Change"} ${name}`}
            onClick={() => {
              if (open) saver.flush();
              setOpen(!open);
            }}
          >
            {open ? "Fold" : "Change"}
          </button>
        )}
      </div>
      {open && (
        <div class="controls">
          <SpecimenChoice pull={pull} overview={overview} saver={saver} />
          <OutcomeFields
            name={name}
            outcome={outcome}
            settled={saver.state.value.kind === "kept"}
            onOutcome={(next) => saver.put({ outcome: next })}
            onLeave={() => saver.flush()}
          />
        </div>
      )}
      <SaveTrouble
        saver={saver}
        nameOf={pullFieldName}
        show={(value, field) => pullFieldText(value, field, overview)}
        onTheirs={() => undefined}
      />
    </li>
  );
}

/** The peak of a pull as it counts: read and less the rest, as recorded, or typed. */
export function peakOf(pull: Pull): string {
  const value = pull.reading === undefined ? pull.typedPeakN : bestPeakN(pull.reading);
  return value === undefined ? "no peak" : force(value);
}

/** "Slipped, bury"; "Void: the pin bent". */
function endedAs(outcome: Outcome): string {
  const words = wordsOf(outcome);
  if (words === "") return capital(outcome.kind);
  return `${capital(outcome.kind)}${"place" in outcome ? ", " : ": "}${words}`;
}
