import type { RecordKind } from "../../app/mod.ts";
import { Problems } from "../parts/problems.tsx";
import type { Saver } from "./saver.ts";

/** One or two words on how it stands with what was typed. */
export function SaveWord<K extends RecordKind>({ saver }: { readonly saver: Saver<K> }) {
  const state = saver.state.value;
  const words = {
    kept: saver.record.value === undefined ? "" : "kept",
    waiting: "typing …",
    saving: "keeping …",
    refused: "not kept",
    changed: "changed elsewhere",
  };
  return <span class="save-state">{words[state.kind]}</span>;
}

/** What stands in the way of keeping it, and the choice where somebody else changed the same. */
export function SaveTrouble<K extends RecordKind>(props: {
  readonly saver: Saver<K>;
  readonly nameOf: (field: string) => string;
  readonly show: (value: unknown, field: string) => string;
  readonly onTheirs: () => void;
}) {
  const { saver } = props;
  const state = saver.state.value;
  if (state.kind === "refused")
    return (
      <>
        <Problems heading="Not kept" problems={state.problems} />
        {state.problems.every((problem) => problem.code === "SERVER_NO_ANSWER") && (
          <button type="button" onClick={() => saver.flush()}>
            Try again
          </button>
        )}
      </>
    );
  if (state.kind !== "changed") return null;
  const theirs = state.theirs as Readonly<Record<string, unknown>>;
  return (
    <div class="problems" role="alert">
      <b>This was changed elsewhere while you typed. Nothing of yours is lost.</b>
      <ul>
        {state.fields.map((field) => (
          <li key={field}>
            {props.nameOf(field)}: in the book now {props.show(theirs[field], field)}
          </li>
        ))}
      </ul>
      <div class="buttons">
        <button type="button" onClick={() => saver.keepMine()}>
          Keep mine over it
        </button>
        <button
          type="button"
          onClick={() => {
            saver.takeTheirs();
            props.onTheirs();
          }}
        >
          Take what is in the book
        </button>
      </div>
    </div>
  );
}
