import { useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import { boundMethodWords, type CellFindings, type SeriesFindings } from "../../findings/mod.ts";
import type { Problem, Warning } from "../../problem/mod.ts";
import type { LowerBound, LowerBoundMethod } from "../../stats/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { PickField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems, Warnings } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { type Answer, ask } from "../server.ts";
import { force } from "../shown-units.ts";
import { count } from "../words.ts";

const contents = [0.9, 0.95, 0.99];
const confidences = [0.75, 0.9, 0.95, 0.99];

type Asked = {
  readonly method: LowerBoundMethod;
  readonly content: number;
  readonly confidence: number;
  readonly stopped: "counted" | "left out";
};

/**
 * A strength that most specimens of a cell exceed, by the method that the series keeps or the reader chooses; a choice
 * stands in the address, so that it can be handed on, and can be kept for the series. The figures are the server's.
 */
export function LowerBounds({
  findings,
  series,
}: {
  readonly findings: SeriesFindings;
  readonly series: SeriesOverview["series"];
}) {
  const { path, query, route } = useLocation();
  const { statedBy } = findings;
  const asked = askedIn(query, statedBy);
  const set = (change: Partial<Asked>): void => {
    const next = { ...asked, ...change };
    const words = new URLSearchParams({
      ...query,
      method: next.method,
      content: String(next.content),
      confidence: String(next.confidence),
      stopped: next.stopped,
    });
    route(`${path}?${words}`, true);
  };
  const stopped = findings.pulls.filter(({ use }) => use === "lower bound").length;
  const cells = findings.cells.filter((cell) => cell.n + cell.stopped > 0);
  if (cells.length === 0) return null;
  return (
    <Section
      wide
      title="A strength that most would exceed"
      margin={
        <>
          <Note>
            <b>Of the specimens</b> is how many such specimens are to be stronger; <b>with confidence</b> is
            how often a bound worked out so keeps its word.
          </Note>
          <Note>
            A method that asks less of the distribution asks for more pulls. Choose it before you look at the
            figures, and keep it for the series: findings and report then state that one.
          </Note>
          <Note>
            <a href={`/help#bound-${asked.method}`}>How often such a bound holds</a>, tried on series whose
            truth is known.
          </Note>
        </>
      }
    >
      <div class="bound-choice">
        <PickField
          label="Method"
          value={asked.method}
          options={Object.entries(boundMethodWords).map(([value, label]) => ({ value, label }))}
          onInput={(method) => set({ method: method as LowerBoundMethod })}
        />
        <PickField
          label="Of the specimens"
          value={String(asked.content)}
          options={shares(contents, asked.content)}
          onInput={(content) => set({ content: Number(content) })}
        />
        <PickField
          label="With confidence"
          value={String(asked.confidence)}
          options={shares(confidences, asked.confidence)}
          onInput={(confidence) => set({ confidence: Number(confidence) })}
        />
        {stopped > 0 && (
          <PickField
            label={stopped === 1 ? "The stopped pull" : `The ${count(stopped, "stopped pull")}`}
            value={asked.stopped}
            options={[
              { value: "counted", label: "counted: at least this strong" },
              { value: "left out", label: "left out" },
            ]}
            onInput={(value) => set({ stopped: value === "left out" ? "left out" : "counted" })}
          />
        )}
      </div>
      <KeptBound asked={asked} statedBy={statedBy} series={series} />
      <Scroll label="Lower bounds">
        <table class="bounds">
          <thead>
            <tr>
              <th scope="col">Cell</th>
              <th scope="col" class="number">
                Pulls
              </th>
              <th scope="col" class="number">
                Bound
              </th>
              <th scope="col">What it claims</th>
            </tr>
          </thead>
          <tbody>
            {cells.map((cell) => (
              <BoundOf key={cell.label} cell={cell} findings={findings} asked={asked} />
            ))}
          </tbody>
        </table>
      </Scroll>
    </Section>
  );
}

/** Whether the bounds shown are those that findings and report state, and the way to make them so. */
function KeptBound(props: {
  readonly asked: Asked;
  readonly statedBy: SeriesFindings["statedBy"];
  readonly series: SeriesOverview["series"];
}) {
  const { asked, statedBy, series } = props;
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  const same =
    asked.method === statedBy.method &&
    asked.content === statedBy.content &&
    asked.confidence === statedBy.confidence;

  async function keep(): Promise<void> {
    setProblems([]);
    const answer = await ask("PATCH", `/api/records/series/${series.id}`, {
      revision: series.revision,
      patch: {
        boundMethod: asked.method,
        boundContent: asked.content,
        boundConfidence: asked.confidence,
      },
    });
    if (!answer.ok) return setProblems(answer.problems);
    announce("Kept: findings and report state this bound.");
  }

  return (
    <div class="kept-bound">
      {same ? (
        <p class="aside">
          This is the bound that findings and report of the series state: <b>{statedBy.name}</b>
          {asked.stopped === "left out" ? ", but with the stopped pulls counted" : ""}.
        </p>
      ) : (
        <>
          <p class="aside">
            Findings and report state the <b>{statedBy.name}</b>.
          </p>
          <button type="button" disabled={busy} onClick={() => void once(keep)}>
            State the one shown here instead
          </button>
        </>
      )}
      <Problems heading="Not kept" problems={problems} />
    </div>
  );
}

function BoundOf(props: {
  readonly cell: CellFindings;
  readonly findings: SeriesFindings;
  readonly asked: Asked;
}) {
  const { cell, asked } = props;
  const pulls = props.findings.pulls.filter(
    ({ pullId, use }) =>
      cell.pulls.includes(pullId) &&
      (use === "counted" || (use === "lower bound" && asked.stopped === "counted")),
  );
  const body = {
    values: pulls.flatMap(({ strengthN }) => (strengthN === undefined ? [] : [strengthN])),
    censored: pulls.flatMap(({ strengthN, use }) => (strengthN === undefined ? [] : [use === "lower bound"])),
    method: asked.method,
    content: asked.content,
    confidence: asked.confidence,
  };
  const answer = useBound(JSON.stringify(body));
  const censored = body.censored.filter(Boolean).length;
  return (
    <tr>
      <th scope="row">{cell.label}</th>
      <td class="number">
        {body.values.length}
        {censored > 0 && <small>{censored} stopped</small>}
      </td>
      {answer === undefined ? (
        <td colSpan={2} class="aside">
          …
        </td>
      ) : answer.ok ? (
        <>
          <td class="number strong">{force(answer.value.bound)}</td>
          <td>
            {answer.value.meaning}
            <Warnings warnings={unlike(answer.value.warnings)} />
          </td>
        </>
      ) : (
        <>
          <td class="number">none</td>
          <td>
            <span class="refused">
              {answer.problems
                .map((problem) => [problem.message, problem.wayOut].filter(Boolean).join(" "))
                .join(" ")}
            </span>
          </td>
        </>
      )}
    </tr>
  );
}

/** The server's answer to one question, asked again when the question changes. */
function useBound(body: string): Answer<LowerBound> | undefined {
  const [answer, setAnswer] = useState<{ readonly of: string; readonly said: Answer<LowerBound> }>();
  useEffect(() => {
    let left = false;
    ask<LowerBound>("POST", "/api/calc/lower-bound", JSON.parse(body), { quiet: true }).then((said) => {
      if (!left) setAnswer({ of: body, said });
    });
    return () => {
      left = true;
    };
  }, [body]);
  // An answer to another question is never shown in its place.
  return answer?.of === body ? answer.said : undefined;
}

function askedIn(query: Readonly<Record<string, string>>, kept: SeriesFindings["statedBy"]): Asked {
  const method = Object.keys(boundMethodWords).find((name) => name === query["method"]) as
    | LowerBoundMethod
    | undefined;
  return {
    method: method ?? kept.method,
    content: shareIn(query["content"]) ?? kept.content,
    confidence: shareIn(query["confidence"]) ?? kept.confidence,
    stopped: query["stopped"] === "left out" ? "left out" : "counted",
  };
}

function shareIn(text: string | undefined): number | undefined {
  const value = Number(text);
  return value > 0 && value < 1 ? value : undefined;
}

/** The customary shares, and the one that the address names. */
function shares(customary: readonly number[], named: number) {
  return [...new Set([...customary, named])]
    .sort((a, b) => a - b)
    .map((share) => ({ value: String(share), label: `${Number((share * 100).toPrecision(6))} %` }));
}

function unlike(warnings: readonly Warning[]): readonly Warning[] {
  return [...new Map(warnings.map((warning) => [warning.message, warning])).values()];
}
