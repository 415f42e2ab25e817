import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";
import type { Problem } from "../../problem/mod.ts";
import { ProblemText } from "./problems.tsx";

export type FieldFrame = {
  readonly label: ComponentChildren;
  readonly hint?: ComponentChildren;
  readonly problems?: readonly Problem[];
};

/** A field with its label, a hint, and its problems beneath it; `children` gets what ties them together. */
export function Field(
  props: FieldFrame & {
    readonly children: (tie: {
      readonly id: string;
      readonly "aria-describedby"?: string;
      readonly "aria-invalid"?: "true";
    }) => ComponentChildren;
  },
) {
  const id = useId();
  const problems = props.problems ?? [];
  const hinted = props.hint === undefined ? "" : `${id}-hint`;
  const wrong = problems.length === 0 ? "" : `${id}-wrong`;
  const describedBy = [hinted, wrong].filter((part) => part !== "").join(" ");
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      {props.hint !== undefined && (
        <span class="hint" id={hinted}>
          {props.hint}
        </span>
      )}
      {props.children({
        id,
        ...(describedBy === "" ? {} : { "aria-describedby": describedBy }),
        ...(problems.length === 0 ? {} : { "aria-invalid": "true" as const }),
      })}
      {problems.length > 0 && (
        <span class="wrong" id={wrong}>
          {problems.map((problem, at) => (
            // The same problem may stand twice.
            <span key={at}>
              <ProblemText problem={problem} />
            </span>
          ))}
        </span>
      )}
    </div>
  );
}

type Common = FieldFrame & {
  readonly value: string;
  readonly onInput: (text: string) => void;
  readonly onLeave?: () => void;
  readonly required?: boolean;
};

export function TextField(
  props: Common & {
    readonly type?: "text" | "date" | "number";
    readonly inputMode?: "decimal" | "numeric";
    readonly placeholder?: string;
    readonly list?: readonly string[];
  },
) {
  const listId = useId();
  return (
    <Field {...frameOf(props)}>
      {(tie) => (
        <>
          <input
            {...tie}
            type={props.type ?? "text"}
            value={props.value}
            required={props.required === true}
            autoComplete="off"
            {...(props.inputMode === undefined ? {} : { inputMode: props.inputMode })}
            {...(props.placeholder === undefined ? {} : { placeholder: props.placeholder })}
            {...(props.list === undefined ? {} : { list: listId })}
            onInput={(event) => props.onInput(event.currentTarget.value)}
            onBlur={() => props.onLeave?.()}
          />
          {props.list !== undefined && (
            <datalist id={listId}>
              {props.list.map((word) => (
                <option key={word} value={word} />
              ))}
            </datalist>
          )}
        </>
      )}
    </Field>
  );
}

export function LongField(props: Common & { readonly rows?: number }) {
  return (
    <Field {...frameOf(props)}>
      {(tie) => (
        <textarea
          {...tie}
          rows={props.rows ?? 3}
          value={props.value}
          onInput={(event) => props.onInput(event.currentTarget.value)}
          onBlur={() => props.onLeave?.()}
        />
      )}
    </Field>
  );
}

export function PickField(
  props: Common & {
    readonly options: readonly { readonly value: string; readonly label: string }[];
    /** The words for "none of them"; absent where one must be picked. */
    readonly none?: string;
  },
) {
  return (
    <Field {...frameOf(props)}>
      {(tie) => (
        <select
          {...tie}
          value={props.value}
          onChange={(event) => props.onInput(event.currentTarget.value)}
          onBlur={() => props.onLeave?.()}
        >
          {props.none !== undefined && <option value="">{props.none}</option>}
          {props.options.map((option) => (
            <option key={option.value} value={option.value}>
              {option.label}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}

function frameOf(props: FieldFrame): FieldFrame {
  return {
    label: props.label,
    ...(props.hint === undefined ? {} : { hint: props.hint }),
    ...(props.problems === undefined ? {} : { problems: props.problems }),
  };
}
