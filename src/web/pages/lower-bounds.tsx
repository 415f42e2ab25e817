import { useEffect, useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import type { CellFindings, SeriesFindings } from "../../findings/mod.ts";
import type { Warning } from "../../problem/mod.ts";
import type { LowerBound, LowerBoundMethod } from "../../stats/mod.ts";
import { PickField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Warnings } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { type Answer, ask } from "../server.ts";
import { force } from "../shown-units.ts";
import { count } from "../words.ts";

const methods: Readonly<Record<LowerBoundMethod, string>> = {
  normal: "normal tolerance bound",
  lognormal: "log-normal tolerance bound",
  weibull: "Weibull tolerance bound",
  "distribution-free": "distribution-free, an order statistic",
  "hanson-koopmans": "Hanson-Koopmans, nearly distribution-free",
  "mean-3sd": "mean − 3 SD",
  lowest: "lowest of n",
};
const contents = [0.9, 0.95, 0.99];
const confidences = [0.75, 0.9, 0.95, 0.99];

type Asked = {
  readonly method: LowerBoundMethod;
  readonly content: number;
  readonly confidence: number;
  readonly stopped: "counted" | "left out";
};

/**
 * A strength that most specimens of a cell exceed, by the method that the reader chooses; the choice stands in the
 * address, so that it can be handed on. The figures are the server's.
 */
export function LowerBounds({ findings }: { readonly findings: SeriesFindings }) {
  const { path, query, route } = useLocation();
  const asked = askedIn(query);
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
            figures, and say which it was: the address of this page keeps it.
          </Note>
        </>
      }
    >
      <div class="bound-choice">
        <PickField
          label="Method"
          value={asked.method}
          options={Object.entries(methods).map(([value, label]) => ({ value, label }))}
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

function askedIn(query: Readonly<Record<string, string>>): Asked {
  const method = Object.keys(methods).find((name) => name === query["method"]) as
    | LowerBoundMethod
    | undefined;
  return {
    method: method ?? "normal",
    content: shareIn(query["content"]),
    confidence: shareIn(query["confidence"]),
    stopped: query["stopped"] === "left out" ? "left out" : "counted",
  };
}

function shareIn(text: string | undefined): number {
  const value = Number(text);
  return value > 0 && value < 1 ? value : 0.95;
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
