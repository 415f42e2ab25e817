import { useEffect, useRef, useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import { boundMethodWords, type CellFindings, type SeriesFindings } from "../../findings/mod.ts";
import type { Problem, Warning } from "../../problem/mod.ts";
import type { LowerBound, LowerBoundMethod } from "../../stats/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { PickField } from "../parts/field.tsx";
import { FoldedSection } from "../parts/fold.tsx";
import { Note } from "../parts/page.tsx";
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
    <FoldedSection
      title="A strength that most would exceed"
      id="a-strength-that-most-would-exceed"
      gist={`Stated: ${statedBy.name}`}
      open={query["method"] !== undefined}
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
      <BoundsTable cells={cells} findings={findings} asked={asked} />
    </FoldedSection>
  );
}

/** The bound of each cell; what all of them claim alike is said once, above them. */
function BoundsTable(props: {
  readonly cells: readonly CellFindings[];
  readonly findings: SeriesFindings;
  readonly asked: Asked;
}) {
  const { cells, findings, asked } = props;
  const questions = cells.map((cell) => questionOf(cell, findings, asked));
  const answers = useBounds(questions.map((question) => JSON.stringify(question)));
  const claims = new Set(answers.flatMap((answer) => (answer?.ok === true ? [answer.value.meaning] : [])));
  const [claim] = claims.size === 1 ? claims : [];
  return (
    <>
      {claim !== undefined && (
        <p>
          <b>Each bound claims:</b> {claim}
        </p>
      )}
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
              <th scope="col">{claim === undefined ? "What it claims" : "Doubts"}</th>
            </tr>
          </thead>
          <tbody>
            {cells.map((cell, at) => {
              const { values = [], censored = [] } = questions[at] ?? {};
              const stopped = censored.filter(Boolean).length;
              return (
                <tr key={cell.label}>
                  <th scope="row">{cell.label}</th>
                  <td class="number">
                    {values.length}
                    {stopped > 0 && <small>{stopped} stopped</small>}
                  </td>
                  <BoundOf answer={answers[at]} told={claim !== undefined} />
                </tr>
              );
            })}
          </tbody>
        </table>
      </Scroll>
    </>
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

/** What is asked of the registry for one cell: its strengths, and which of them are lower bounds. */
function questionOf(cell: CellFindings, findings: SeriesFindings, asked: Asked) {
  const pulls = findings.pulls.filter(
    ({ pullId, use }) =>
      cell.pulls.includes(pullId) &&
      (use === "counted" || (use === "lower bound" && asked.stopped === "counted")),
  );
  const known = pulls.flatMap(({ strengthN, use }) => (strengthN === undefined ? [] : [{ strengthN, use }]));
  return {
    values: known.map(({ strengthN }) => strengthN),
    censored: known.map(({ use }) => use === "lower bound"),
    method: asked.method,
    content: asked.content,
    confidence: asked.confidence,
  };
}

function BoundOf(props: { readonly answer: Answer<LowerBound> | undefined; readonly told: boolean }) {
  const { answer, told } = props;
  if (answer === undefined)
    return (
      <td colSpan={2} class="aside">
        …
      </td>
    );
  if (!answer.ok)
    return (
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
    );
  const { bound, meaning, warnings } = answer.value;
  return (
    <>
      <td class="number strong">{force(bound)}</td>
      <td>
        {!told && meaning}
        {/* What was found is the bound that stands beside. */}
        <Warnings warnings={unlike(warnings).map(({ found: _beside, ...warning }) => warning)} />
      </td>
    </>
  );
}

/** The server's answers to these questions, each asked once. */
function useBounds(questions: readonly string[]): readonly (Answer<LowerBound> | undefined)[] {
  const [answers, setAnswers] = useState<ReadonlyMap<string, Answer<LowerBound>>>(new Map());
  const asked = useRef(new Set<string>());
  useEffect(() => {
    for (const question of questions) {
      if (asked.current.has(question)) continue;
      asked.current.add(question);
      ask<LowerBound>("POST", "/api/calc/lower-bound", JSON.parse(question), { quiet: true }).then((said) =>
        setAnswers((before) => new Map(before).set(question, said)),
      );
    }
  }, [questions.join()]);
  return questions.map((question) => answers.get(question));
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
