import type { Problem } from "../../problem/mod.ts";
import { TextField } from "../parts/field.tsx";
import { problemsOf } from "../parts/problems.tsx";
import type { NumberSpec } from "./rig-values.ts";

/** The numbers of a load or a part, each a line to type on. */
export function NumberFields(props: {
  readonly specs: readonly NumberSpec[];
  readonly texts: Readonly<Record<string, string>>;
  /** What stands before a field's name where a problem speaks of it. */
  readonly at: string;
  readonly problems: readonly Problem[];
  readonly onText: (name: string, text: string) => void;
}) {
  return (
    <>
      {props.specs.map(({ name, label, hint, required }) => (
        <TextField
          key={name}
          label={label}
          {...(hint === undefined ? {} : { hint })}
          value={props.texts[name] ?? ""}
          inputMode="decimal"
          required={required === true}
          onInput={(text) => props.onText(name, text)}
          problems={problemsOf(props.problems, `${props.at}${name}`)}
        />
      ))}
    </>
  );
}
