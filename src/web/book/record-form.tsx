import { useState } from "preact/hooks";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { ChangedElsewhere } from "../parts/changed-elsewhere.tsx";
import { Choice } from "../parts/choice.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { Field, LongField, PickField, TextField } from "../parts/field.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";
import { useResource } from "../use-resource.ts";
import { capital } from "../words.ts";
import { CalibrationLedger } from "./calibration-ledger.tsx";
import { changedFields, fieldsOf, type Typed, typedOf } from "./form-values.ts";
import { type BookKind, bookKinds, type FieldSpec, titleOf } from "./kinds.ts";

export type BookRecord = StoredRecord<BookKind>;

/** A dialog in which one record of the bench book is made or changed. */
export function RecordDialog(props: {
  readonly kind: BookKind;
  readonly record?: BookRecord;
  /** What a new one begins with. */
  readonly begin?: Typed;
  readonly onClose: () => void;
  readonly onSaved: (record: BookRecord) => void;
}) {
  const title = titleOf(props.kind, props.record !== undefined);
  return (
    <Dialog title={title} onClose={props.onClose}>
      <RecordForm {...props} />
    </Dialog>
  );
}

function RecordForm(props: {
  readonly kind: BookKind;
  readonly record?: BookRecord;
  readonly begin?: Typed;
  readonly onClose: () => void;
  readonly onSaved: (record: BookRecord) => void;
}) {
  const { kind } = props;
  const { fields: specs, one } = bookKinds[kind];
  // The record that the typing started from; newer where somebody changed it meanwhile and the user looked at that.
  const [base, setBase] = useState(props.record);
  const [typed, setTyped] = useState<Typed>(() => ({ ...typedOf(specs, props.record), ...props.begin }));
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [theirs, setTheirs] = useState<BookRecord>();
  const form = useFirstWrong(problems);
  const [busy, once] = useOneAtATime();

  async function save(against = base): Promise<void> {
    const { fields, problems: wrong } = fieldsOf(specs, typed);
    if (wrong.length > 0) return refuseWith(wrong);
    const answer =
      against === undefined
        ? await ask<BookRecord>("POST", `/api/records/${kind}`, withoutNulls(fields))
        : await ask<BookRecord>("PATCH", `/api/records/${kind}/${against.id}`, {
            revision: against.revision,
            patch: changedFields(fields, against),
          });
    if (answer.ok) {
      announce(`${capital(one)} kept.`);
      props.onSaved(answer.value);
      return;
    }
    refuseWith(answer.problems);
    if (answer.status === 409 && against !== undefined) {
      const fresh = await ask<BookRecord>("GET", `/api/records/${kind}/${against.id}`);
      if (fresh.ok) setTheirs(fresh.value);
    }
  }

  function refuseWith(wrong: readonly Problem[]): void {
    setProblems(wrong);
    announce("Not kept. Look at the marked fields.");
  }

  const named = new Set(specs.map((spec) => spec.name));
  const elsewhere = problems.filter(({ where }) => !named.has((where?.field ?? "").split(/[.[]/)[0] ?? ""));
  return (
    <form
      ref={form}
      class="fields"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        event.stopPropagation(); // a dialog may stand within the form of another
        void once(save);
      }}
    >
      <p>{bookKinds[kind].why}</p>
      <div class="pair">
        {specs.map((spec) => (
          <SpecField
            key={spec.name}
            spec={spec}
            text={typed[spec.name] ?? ""}
            typed={typed}
            problems={problemsOf(problems, spec.name)}
            onText={(text) => setTyped((before) => ({ ...before, [spec.name]: text }))}
          />
        ))}
      </div>
      <Problems heading="Not kept" problems={elsewhere} />
      {theirs !== undefined && (
        <ChangedMeanwhile
          specs={specs}
          mine={typed}
          theirs={theirs}
          onMine={() => {
            setBase(theirs);
            setTheirs(undefined);
            void once(() => save(theirs));
          }}
          onTheirs={() => {
            setBase(theirs);
            setTyped(typedOf(specs, theirs));
            setTheirs(undefined);
            setProblems([]);
          }}
        />
      )}
      <div class="buttons">
        <button type="submit" class="main" disabled={busy}>
          {base === undefined ? `Keep this ${one}` : "Keep the changes"}
        </button>
        <button type="button" onClick={props.onClose}>
          Leave it
        </button>
      </div>
    </form>
  );
}

/** What somebody else changed of a record's fields while this was typed, and the choice between the two. */
export function ChangedMeanwhile(props: {
  readonly specs: readonly FieldSpec[];
  readonly mine: Typed;
  readonly theirs: Readonly<Record<string, unknown>>;
  readonly onMine: () => void;
  readonly onTheirs: () => void;
}) {
  const { mine } = props;
  const theirs = typedOf(props.specs, props.theirs);
  const differences = props.specs
    .filter(({ name }) => theirs[name] !== mine[name])
    .map(({ name, label }) => ({ label, mine: mine[name] ?? "", theirs: theirs[name] ?? "" }));
  return <ChangedElsewhere differences={differences} onMine={props.onMine} onTheirs={props.onTheirs} />;
}

function SpecField(props: {
  readonly spec: FieldSpec;
  readonly text: string;
  /** All that stands in the form: a figure of the points needs the class beside them. */
  readonly typed: Typed;
  readonly problems: readonly Problem[];
  readonly onText: (text: string) => void;
}) {
  const { spec } = props;
  const frame = {
    label: spec.required === true ? spec.label : spec.label,
    problems: props.problems,
    value: props.text,
    onInput: props.onText,
    ...(spec.hint === undefined ? {} : { hint: spec.hint }),
    ...(spec.required === true ? { required: true } : {}),
  };
  switch (spec.as) {
    case "long":
      return <LongField {...frame} />;
    case "date":
      return <TextField {...frame} type="date" />;
    case "pick":
      return <PickField {...frame} options={spec.words.map((word) => ({ value: word, label: word }))} />;
    case "calibration":
      return (
        <CalibrationLedger
          label={spec.label}
          text={props.text}
          accuracyClass={props.typed["accuracyClass"] ?? ""}
          problems={props.problems}
          onText={props.onText}
        />
      );
    case "record":
      return <RecordField {...frame} of={spec.of} />;
    case "number":
    case "whole":
      return <TextField {...frame} inputMode={spec.as === "whole" ? "numeric" : "decimal"} />;
    default:
      return <TextField {...frame} />;
  }
}

/** A reference to another record, with a way to make one on the spot. */
function RecordField(props: {
  readonly label: preact.ComponentChildren;
  readonly hint?: preact.ComponentChildren;
  readonly problems?: readonly Problem[];
  readonly value: string;
  readonly onInput: (id: string) => void;
  readonly of: BookKind;
}) {
  const answer = useResource<readonly BookRecord[]>(`/api/records/${props.of}`);
  const records = answer?.ok === true ? answer.value : [];
  const chosen = records.find((record) => record.id === props.value);
  const [text, setText] = useState<string>();
  const [making, setMaking] = useState<string>();
  const { one } = bookKinds[props.of];
  return (
    <>
      <Field
        label={props.label}
        {...(props.hint === undefined ? {} : { hint: props.hint })}
        {...(props.problems === undefined ? {} : { problems: props.problems })}
      >
        {(tie) => (
          <Choice
            {...tie}
            text={text ?? chosen?.name ?? ""}
            options={records.map((record) => ({ key: record.id, label: record.name }))}
            onText={(typed) => {
              setText(typed);
              props.onInput(records.find((record) => record.name === typed.trim())?.id ?? "");
            }}
            onPick={(option) => {
              setText(undefined);
              props.onInput(option.key);
            }}
            onNew={(typed) => setMaking(typed)}
            newLabel={`Make a new ${one}`}
          />
        )}
      </Field>
      {making !== undefined && (
        <RecordDialog
          kind={props.of}
          begin={making === "" ? {} : { name: making }}
          onClose={() => setMaking(undefined)}
          onSaved={(record) => {
            setText(undefined);
            props.onInput(record.id);
            setMaking(undefined);
          }}
        />
      )}
    </>
  );
}

function withoutNulls(fields: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null));
}
