import { useState } from "preact/hooks";
import type { LayoutHints, LayoutProposal, LayoutQuestion } from "../../trace/mod.ts";
import { encodings, separators } from "../../trace/mod.ts";
import { type ForceUnit, forceUnits } from "../../units/mod.ts";
import { PickField, TextField } from "../parts/field.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { layoutSentence, separatorWords } from "./layout-sentence.ts";

/**
 * How a file would be read: a sentence, its first rows with the columns that count marked, the reasons, and a way to
 * correct all of it.
 */
export function LayoutSheet(props: {
  readonly proposal: LayoutProposal;
  readonly hints: LayoutHints;
  readonly savedName?: string;
  /** Whether what can be said otherwise stands open. */
  readonly open?: boolean;
  readonly onHints: (hints: LayoutHints) => void;
}) {
  const { proposal, hints, onHints } = props;
  const { layout } = proposal;
  return (
    <div class="stack">
      <p>
        {props.savedName !== undefined && (
          <>
            The saved layout <b>{props.savedName}</b> fits this file and is used.{" "}
          </>
        )}
        {layoutSentence(layout)}
      </p>
      <Preview proposal={proposal} />
      <details>
        <summary>Why it is read so</summary>
        <ul class="reasons">
          {proposal.reasons.map((reason) => (
            <li key={`${reason.about} ${reason.text}`}>{reason.text}</li>
          ))}
        </ul>
        {proposal.preview.lines.length > 0 && (
          <>
            <p class="label">The file's first lines, as they are</p>
            {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard */}
            <pre class="file-lines" tabIndex={0}>
              {proposal.preview.lines.slice(0, 12).join("\n")}
            </pre>
          </>
        )}
      </details>
      <details open={props.open === true}>
        <summary>Something is read wrongly</summary>
        <Corrections proposal={proposal} hints={hints} onHints={onHints} />
      </details>
    </div>
  );
}

/** What the file does not say, as large buttons to press. */
export function Questions(props: {
  readonly proposal: LayoutProposal;
  readonly hints: LayoutHints;
  readonly onHints: (hints: LayoutHints) => void;
}) {
  return (
    <>
      {props.proposal.questions.map((question) => (
        <Question
          key={question.about}
          question={question}
          onHints={(more) => props.onHints({ ...props.hints, ...more })}
        />
      ))}
    </>
  );
}

/** One question as large buttons; a rate is typed. */
function Question(props: {
  readonly question: LayoutQuestion;
  readonly onHints: (hints: LayoutHints) => void;
}) {
  const { question } = props;
  const [rate, setRate] = useState("");
  return (
    <fieldset class="question">
      <legend>{question.text}</legend>
      <div class="buttons">
        {question.options.map((option) => (
          <button
            key={option}
            type="button"
            class="large"
            onClick={() => props.onHints(answerOf(question, option))}
          >
            {option}
          </button>
        ))}
      </div>
      {question.option === "--rate-hz" && (
        <form
          class="buttons rate-line"
          onSubmit={(event) => {
            event.preventDefault();
            const hz = Number(rate.replace(",", "."));
            if (hz > 0) props.onHints({ rateHz: hz });
          }}
        >
          <TextField label="Or: samples per second" value={rate} inputMode="decimal" onInput={setRate} />
          <button type="submit">Use this rate</button>
        </form>
      )}
    </fieldset>
  );
}

function answerOf(question: LayoutQuestion, option: string): LayoutHints {
  if (option === "no time") return { noTime: true };
  switch (question.option) {
    case "--force-unit":
      return { forceUnit: option as ForceUnit };
    case "--force-column":
      return { forceColumn: option };
    case "--time-unit":
      return { timeUnit: option as "s" | "ms" | "us" };
    default:
      return { timeColumn: option };
  }
}

function Preview({ proposal }: { readonly proposal: LayoutProposal }) {
  const { layout, columns, preview } = proposal;
  const timeColumn = layout.time.kind === "column" ? layout.time.column : undefined;
  const role = (column: number): string => {
    if (column === layout.force?.column) return `force, ${layout.force.unit ?? "unit?"}`;
    if (column === timeColumn) return "time";
    if (column === layout.displacement?.column) return `travel, ${layout.displacement.unit}`;
    if (column === layout.segment?.column) return "pull number";
    return "";
  };
  const shown = columns.slice(0, 12);
  return (
    <Scroll label="The file's first rows">
      <table class="preview">
        <thead>
          <tr>
            {shown.map((column) => (
              <th key={column.column} scope="col" class={role(column.column) === "" ? "unread" : undefined}>
                <span class="role">{role(column.column) || "not read"}</span>
                {column.name}
                {column.unit === undefined ? "" : `, ${column.unit}`}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {preview.rows.slice(0, 5).map((row, at) => (
            // Rows of a file have no other name.
            <tr key={at}>
              {shown.map((column) => (
                <td key={column.column} class={role(column.column) === "" ? "unread" : undefined}>
                  {row[column.column - 1] ?? ""}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

function Corrections(props: {
  readonly proposal: LayoutProposal;
  readonly hints: LayoutHints;
  readonly onHints: (hints: LayoutHints) => void;
}) {
  const { proposal, hints, onHints } = props;
  const { layout } = proposal;
  const columns = proposal.columns.map((column) => ({
    value: String(column.column),
    label: `${column.column}: ${column.name}`,
  }));
  const put = <N extends keyof LayoutHints>(name: N, value: LayoutHints[N] | undefined): void => {
    const { [name]: _before, ...others } = hints;
    onHints(value === undefined ? others : { ...others, [name]: value });
  };
  return (
    <div class="pair corrections">
      <PickField
        label="Force column"
        value={String(layout.force?.column ?? "")}
        none="not found"
        options={columns}
        onInput={(text) => put("forceColumn", text === "" ? undefined : text)}
      />
      <PickField
        label="Unit of force"
        value={layout.force?.unit ?? ""}
        none="not known"
        options={forceUnits.map((unit) => ({ value: unit, label: unit }))}
        onInput={(text) =>
          put(
            "forceUnit",
            forceUnits.find((unit) => unit === text),
          )
        }
      />
      <PickField
        label="Sign of force"
        value={layout.force?.inverted === undefined ? "" : layout.force.inverted ? "yes" : "no"}
        none="as the record shows"
        options={[
          { value: "no", label: "a pull is positive" },
          { value: "yes", label: "a pull is negative" },
        ]}
        onInput={(text) => put("inverted", text === "" ? undefined : text === "yes")}
      />
      <PickField
        label="Time column"
        value={layout.time.kind === "column" ? String(layout.time.column) : ""}
        none="none"
        options={columns}
        onInput={(text) => put("timeColumn", text === "" ? undefined : text)}
      />
      <PickField
        label="Unit of time"
        value={hints.timeUnit ?? ""}
        none="as proposed"
        options={[
          { value: "s", label: "seconds" },
          { value: "ms", label: "milliseconds" },
          { value: "us", label: "microseconds" },
        ]}
        onInput={(text) =>
          put(
            "timeUnit",
            (["s", "ms", "us"] as const).find((unit) => unit === text),
          )
        }
      />
      <TextField
        label="Samples per second"
        hint="Where the file has no time."
        inputMode="decimal"
        value={hints.rateHz === undefined ? "" : String(hints.rateHz)}
        onInput={(text) => {
          const hz = Number(text.replace(",", "."));
          put("rateHz", hz > 0 ? hz : undefined);
        }}
      />
      <PickField
        label="Parted by"
        value={layout.separator}
        options={separators.map((value) => ({ value, label: separatorWords[value] ?? value }))}
        onInput={(text) =>
          put(
            "separator",
            separators.find((one) => one === text),
          )
        }
      />
      <PickField
        label="Decimal sign"
        value={layout.decimal}
        options={[
          { value: ".", label: "point" },
          { value: ",", label: "comma" },
        ]}
        onInput={(text) => put("decimal", text === "," ? "," : ".")}
      />
      <PickField
        label="Characters"
        value={layout.encoding}
        options={encodings.map((value) => ({ value, label: value }))}
        onInput={(text) =>
          put(
            "encoding",
            encodings.find((one) => one === text),
          )
        }
      />
    </div>
  );
}
