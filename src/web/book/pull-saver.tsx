import { useEffect, useMemo, useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import { announce } from "../announce.tsx";
import { Choice } from "../parts/choice.tsx";
import { Field } from "../parts/field.tsx";
import { pullName } from "../words.ts";
import { makeSaver, type Saver } from "./saver.ts";

export type Pull = SeriesOverview["pulls"][number];

/** The saver of one pull, following what the book says of it. */
export function usePullSaver(pull: Pull, overview: SeriesOverview): Saver<"pull"> {
  // One saver for as long as the pull is on the page.
  const saver = useMemo(
    () =>
      makeSaver("pull", pull, {
        onKept: () => announce(`${pullName(pull, overview)} kept.`),
        onRefused: () => announce(`${pullName(pull, overview)} was not kept.`),
      }),
    [pull.id],
  );
  useEffect(() => saver.heard(pull), [saver, pull]);
  useEffect(() => () => void saver.flush(), [saver]);
  return saver;
}

/** Which specimen a pull was; those already pulled say so. */
export function SpecimenChoice(props: {
  readonly pull: Pull;
  readonly overview: SeriesOverview;
  readonly saver: Saver<"pull">;
}) {
  const { overview, saver } = props;
  const [text, setText] = useState<string>();
  const chosen = overview.specimens.find((one) => one.id === saver.record.value?.specimenId);
  const unknown = text !== undefined && text.trim() !== "" && specimenOf(text, overview) === undefined;
  const taken = new Set(
    overview.pulls.filter((one) => one.id !== props.pull.id).map((one) => one.specimenId ?? ""),
  );
  const free = overview.specimens.filter((one) => !taken.has(one.id));
  const pulled = overview.specimens.filter((one) => taken.has(one.id));
  return (
    <Field
      label="Specimen"
      problems={
        unknown
          ? [
              {
                code: "INPUT_FIELD",
                message: "No specimen of this series has this label.",
                found: text.trim(),
                wayOut: "Choose one from the list, or add it at Splice.",
              },
            ]
          : []
      }
    >
      {(tie) => (
        <Choice
          {...tie}
          text={text ?? chosen?.label ?? ""}
          placeholder={overview.specimens.length === 0 ? "none made yet" : "which one?"}
          options={[...free, ...pulled].map((one) => ({
            key: one.id,
            label: one.label,
            ...(taken.has(one.id) ? { detail: "pulled already" } : {}),
          }))}
          onText={setText}
          onPick={(option) => {
            setText(undefined);
            saver.put({ specimenId: option.key });
            saver.flush();
          }}
          onLeave={() => {
            if (text === undefined) return;
            const found = specimenOf(text, overview);
            if (text.trim() === "") saver.put({ specimenId: null });
            else if (found === undefined) return;
            else saver.put({ specimenId: found.id });
            setText(undefined);
            saver.flush();
          }}
        />
      )}
    </Field>
  );
}

function specimenOf(text: string, overview: SeriesOverview): SeriesOverview["specimens"][number] | undefined {
  return overview.specimens.find((one) => one.label.toLowerCase() === text.trim().toLowerCase());
}

/** How the fields of a pull are called. */
export function pullFieldName(field: string): string {
  const names: Readonly<Record<string, string>> = {
    specimenId: "Specimen",
    outcome: "Outcome",
    notes: "Notes",
    benchId: "Bench",
    typedPeakN: "Peak",
    operator: "Operator",
  };
  return names[field] ?? field;
}

/** A field's value in words, where two versions of a pull are laid side by side. */
export function pullFieldText(value: unknown, field: string, overview: SeriesOverview): string {
  if (value === undefined || value === null || value === "") return "(empty)";
  if (field === "specimenId")
    return overview.specimens.find((one) => one.id === value)?.label ?? String(value);
  if (typeof value === "object" && "kind" in value) {
    const more = "place" in value ? value.place : "reason" in value ? value.reason : "";
    return `${String(value.kind)} ${String(more)}`.trim();
  }
  return String(value);
}
