import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { Factor } from "../../series/mod.ts";
import { announce } from "../announce.tsx";
import { changedFields } from "../book/form-values.ts";
import { levelText } from "../book/specimen-rows.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Dialog } from "../parts/dialog.tsx";
import { PickField } from "../parts/field.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";
import { type FieldsOfForm, levelKey, type Typed } from "./outside-fields.ts";

/** What a form of an outside figure gives each of its fields. */
export type FieldOf = (name: string) => {
  readonly value: string;
  readonly onInput: (text: string) => void;
  readonly problems: readonly Problem[];
};

/** A dialog in which a figure from outside is entered or changed, and kept with the series. */
export function OutsideForm(props: {
  readonly title: string;
  readonly kind: "claim" | "pooled-series";
  readonly seriesId: string;
  readonly record: StoredRecord<"claim"> | StoredRecord<"pooled-series"> | undefined;
  readonly begin: Typed;
  readonly read: (typed: Typed) => FieldsOfForm;
  /** Which field of the record belongs to which of the form, where their names differ. */
  readonly shownAs: Readonly<Record<string, string>>;
  readonly onClose: () => void;
  readonly children: (field: FieldOf, typed: Typed) => ComponentChildren;
}) {
  const { kind, record } = props;
  const [typed, setTyped] = useState(props.begin);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const form = useFirstWrong(problems);
  const [busy, once] = useOneAtATime();
  const asked = new Set<string>();

  async function save(): Promise<void> {
    const { fields, problems: wrong } = props.read(typed);
    if (wrong.length > 0) return refuseWith(wrong);
    const answer =
      record === undefined
        ? await ask("POST", `/api/records/${kind}`, { seriesId: props.seriesId, ...withoutNulls(fields) })
        : await ask("PATCH", `/api/records/${kind}/${record.id}`, {
            revision: record.revision,
            patch: changedFields(fields, record),
          });
    if (!answer.ok) return refuseWith(answer.problems.map((problem) => shownAt(problem, props.shownAs)));
    announce("Kept.");
    props.onClose();
  }

  function refuseWith(wrong: readonly Problem[]): void {
    setProblems(wrong);
    announce("Not kept. Look at the marked fields.");
  }

  const fieldOf: FieldOf = (name) => {
    asked.add(name);
    return {
      value: typed[name] ?? "",
      onInput: (text) => setTyped((before) => ({ ...before, [name]: text })),
      problems: problemsOf(problems, name),
    };
  };
  const fields = props.children(fieldOf, typed);
  const elsewhere = problems.filter(({ where }) => !asked.has(where?.field ?? ""));
  return (
    <Dialog title={props.title} onClose={props.onClose}>
      <form
        ref={form}
        class="fields"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void once(save);
        }}
      >
        {fields}
        <Problems heading="Not kept" problems={elsewhere} />
        <div class="buttons">
          <button type="submit" class="main" disabled={busy}>
            Keep it
          </button>
          <button type="button" onClick={props.onClose}>
            Leave it
          </button>
        </div>
      </form>
    </Dialog>
  );
}

/** One choice for each factor of a plan: a level, or whichever. */
export function LevelFields(props: {
  readonly legend: string;
  readonly prefix: "levels" | "otherLevels";
  readonly factors: readonly Factor[];
  readonly field: FieldOf;
}) {
  if (props.factors.length === 0) return null;
  return (
    <fieldset>
      <legend class="label">{props.legend}</legend>
      <div class="pair">
        {props.factors.map(({ name, unit, levels }) => (
          <PickField
            key={name}
            label={unit === "" ? name : `${name}, ${unit}`}
            none="whichever"
            options={levels.map((level) => ({ value: levelKey(level), label: levelText(level) }))}
            {...props.field(`${props.prefix}.${name}`)}
          />
        ))}
      </div>
    </fieldset>
  );
}

/** A problem that the book found, at the field of this form that it is about. */
function shownAt(problem: Problem, shownAs: Readonly<Record<string, string>>): Problem {
  const field = problem.where?.field;
  const shown = field === undefined ? undefined : shownAs[field];
  return shown === undefined ? problem : { ...problem, where: { ...problem.where, field: shown } };
}

function withoutNulls(fields: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null));
}
