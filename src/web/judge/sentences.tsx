import type { ComponentChildren } from "preact";
import type { Finding, JudgedPull } from "../../findings/mod.ts";
import { withUnitsKept } from "../../units/mod.ts";
import { Warnings } from "../parts/problems.tsx";
import { count } from "../words.ts";
import { markedPulls, toggleMarks } from "./marked-pulls.ts";

/** Findings as sentences, each with its method (once where the next has the same) and, at a press, the pulls it rests on. */
export function Sentences(props: {
  readonly findings: readonly Finding[];
  readonly pulls: readonly JudgedPull[];
  readonly seriesId: string;
  /** What can be done with what the finding is about. */
  readonly after?: (finding: Finding) => ComponentChildren;
}) {
  if (props.findings.length === 0) return null;
  return (
    <ol class="findings">
      {props.findings.map((finding, at) => (
        <li key={finding.id}>
          <p class="sentence">{withUnitsKept(finding.sentence)}</p>
          {finding.method !== props.findings[at - 1]?.method && <p class="by">{finding.method}</p>}
          <RestsOn by={finding.id} of={finding.pulls} pulls={props.pulls} seriesId={props.seriesId} />
          <Doubts of={finding} before={props.findings.slice(0, at)} />
          {props.after?.(finding)}
        </li>
      ))}
    </ol>
  );
}

/** The doubts of a finding; of those that stand with an earlier one already, only that they hold here too. */
function Doubts({ of, before }: { readonly of: Finding; readonly before: readonly Finding[] }) {
  const said = new Set(before.flatMap(({ warnings }) => warnings.map(({ message }) => message)));
  const fresh = of.warnings.filter(({ message }) => !said.has(message));
  return (
    <>
      <Warnings warnings={fresh} />
      {fresh.length < of.warnings.length && (
        <p class="by">
          {count(of.warnings.length - fresh.length, "doubt")} said above{" "}
          {of.warnings.length - fresh.length === 1 ? "holds" : "hold"} here too.
        </p>
      )}
    </>
  );
}

/** "Rests on 8 pulls": a press lists them as links and marks them in the figure and the table of all pulls. */
export function RestsOn(props: {
  readonly by: string;
  readonly of: readonly string[];
  readonly pulls: readonly JudgedPull[];
  readonly seriesId: string;
}) {
  if (props.of.length === 0) return <p class="by">Rests on no pull.</p>;
  const shown = markedPulls.value?.by === props.by;
  const ids = new Set(props.of);
  return (
    <div class="rests-on">
      <button
        type="button"
        class="plain"
        aria-expanded={shown}
        onClick={() => toggleMarks(props.by, props.of)}
      >
        Rests on {count(props.of.length, "pull")}
      </button>
      {shown && (
        <p>
          Ringed in the figure and marked in the table below:{" "}
          {props.pulls
            .filter(({ pullId }) => ids.has(pullId))
            .map((pull, at) => (
              <span key={pull.pullId}>
                {at > 0 && ", "}
                <a href={`/series/${props.seriesId}/pull/${pull.pullId}`}>
                  {pull.specimenLabel ?? `pull ${pull.order ?? "?"}`}
                </a>
              </span>
            ))}
          .
        </p>
      )}
    </div>
  );
}
