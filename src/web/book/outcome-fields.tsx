import { useId, useLayoutEffect, useState } from "preact/hooks";
import type { Outcome, OutcomeKind } from "../../series/mod.ts";
import { failurePlaces, outcomeKinds } from "../../series/mod.ts";
import { Choice } from "../parts/choice.tsx";
import { Mark } from "../parts/marks.tsx";
import { capital } from "../words.ts";

/**
 * What happened to the specimen, as large labelled buttons that are one set of radio buttons: arrow keys and the first
 * letters B, S, T and V choose. Where it failed, or why it was stopped or is void, is asked beneath.
 */
export function OutcomeFields(props: {
  readonly outcome: Outcome | undefined;
  readonly name: string;
  /** False while something typed here is still on its way to the book: then what the book says is older. */
  readonly settled: boolean;
  readonly onOutcome: (outcome: Outcome) => void;
  readonly onLeave?: () => void;
}) {
  const id = useId();
  const [kind, setKind] = useState<OutcomeKind | undefined>(props.outcome?.kind);
  const [words, setWords] = useState(wordsOf(props.outcome));

  // Said elsewhere meanwhile: shown here.
  const told = JSON.stringify(props.outcome ?? null);
  // Only a change in the book counts, and at once: an effect that came later could undo what was typed meanwhile.
  useLayoutEffect(() => {
    if (props.outcome === undefined || !props.settled) return;
    setKind(props.outcome.kind);
    // The book keeps words without the space at their end; who has just typed it is in the middle of the next word.
    const kept = wordsOf(props.outcome);
    setWords((now) => (now.trim() === kept ? now : kept));
  }, [told, props.settled]);

  function put(next: OutcomeKind, text: string): void {
    setKind(next);
    setWords(text);
    const outcome = outcomeOf(next, text);
    if (outcome !== undefined) props.onOutcome(outcome);
  }

  const failed = kind === "broke" || kind === "slipped";
  return (
    <>
      <fieldset
        onKeyDown={(event) => {
          const letters: Record<string, OutcomeKind> = {
            b: "broke",
            s: "slipped",
            t: "stopped",
            v: "void",
          };
          const next = letters[event.key.toLowerCase()];
          if (next === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
          event.preventDefault();
          put(next, sameWords(kind, next) ? words : "");
          document.getElementById(`${id}-${next}`)?.focus();
        }}
      >
        <legend class="label">Outcome</legend>
        <div class="outcomes">
          {outcomeKinds.map((one) => (
            <label key={one}>
              <input
                type="radio"
                id={`${id}-${one}`}
                name={id}
                checked={kind === one}
                aria-label={`${capital(one)}, ${props.name}`}
                onChange={() => put(one, sameWords(kind, one) ? words : "")}
              />
              <Mark kind={one} />
              {capital(one)}
            </label>
          ))}
        </div>
      </fieldset>
      <div class="field">
        {kind !== undefined && (
          <>
            <label for={`${id}-words`}>
              {failed ? "Where it failed" : kind === "void" ? "Why it is void" : "Why it was stopped"}
            </label>
            {failed ? (
              <Choice
                id={`${id}-words`}
                text={words}
                options={failurePlaces.map((word) => ({ key: word, label: word }))}
                onText={(text) => put(kind, text)}
                onPick={(option) => put(kind, option.label)}
                {...(props.onLeave === undefined ? {} : { onLeave: props.onLeave })}
              />
            ) : (
              <input
                id={`${id}-words`}
                value={words}
                autoComplete="off"
                onInput={(event) => put(kind, event.currentTarget.value)}
                onBlur={() => props.onLeave?.()}
                {...(kind === "void" && words.trim() === ""
                  ? { "aria-invalid": "true" as const, "aria-describedby": `${id}-why` }
                  : {})}
              />
            )}
            {kind === "void" && words.trim() === "" && (
              <span class="wrong" id={`${id}-why`}>
                A void pull is shown and left out with its reason. It is kept as soon as you say why.
              </span>
            )}
          </>
        )}
      </div>
    </>
  );
}

function outcomeOf(kind: OutcomeKind, text: string): Outcome | undefined {
  if (kind === "broke" || kind === "slipped") return { kind, place: text };
  if (kind === "stopped") return { kind, reason: text };
  return text.trim() === "" ? undefined : { kind, reason: text };
}

/** Places go with places, reasons with reasons. */
function sameWords(before: OutcomeKind | undefined, next: OutcomeKind): boolean {
  const places = ["broke", "slipped"];
  return before !== undefined && places.includes(before) === places.includes(next);
}

/** Where it failed, or why it was stopped or is void. */
export function wordsOf(outcome: Outcome | undefined): string {
  if (outcome === undefined) return "";
  return outcome.kind === "broke" || outcome.kind === "slipped" ? outcome.place : outcome.reason;
}
