import { signal } from "@preact/signals";
import { useEffect, useLayoutEffect, useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview, StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { changedFields } from "../book/form-values.ts";
import { PlanTable } from "../book/plan-table.tsx";
import { ChangedMeanwhile } from "../book/record-form.tsx";
import { SeriesPhotographs, TakeOutSeries } from "../book/series-album.tsx";
import {
  factorSpecs,
  fieldsOfSeries,
  seriesSpecs,
  type TypedFactor,
  type TypedSeries,
  typedSeries,
} from "../book/series-form.ts";
import { useLater } from "../judge/use-later.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { LongField, TextField } from "../parts/field.tsx";
import { Note, Section, SeriesPage, Waiting } from "../parts/page.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";

/** What was typed and not yet kept, by series: turning to another page loses none of it. */
const drafts = new Map<string, { base: Series; typed: TypedSeries }>();
const unkept = signal(0);

type Series = StoredRecord<"series">;

/** Ask: the question, what is varied, how many pulls each cell gets. */
export default function Ask() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  return (
    <SeriesPage
      key={id}
      id={id}
      title="Ask"
      chapter="1 of 6"
      intro="A question that pulls can answer, what is varied on purpose, and how many of each."
    >
      {(overview) => (
        <>
          <AskForm overview={overview} />
          <PlanningLater overview={overview} />
          <SeriesPhotographs overview={overview} />
          <TakeOutSeries overview={overview} />
        </>
      )}
    </SeriesPage>
  );
}

const loadPlanning = () => import("../ask/planning.tsx");

/** Planning carries the fit with it: it is fetched once the question stands. */
function PlanningLater({ overview }: { readonly overview: SeriesOverview }) {
  const part = useLater(loadPlanning);
  return part === undefined ? <Waiting text="Working out the plan" /> : <part.Planning overview={overview} />;
}

function AskForm({ overview }: { readonly overview: SeriesOverview }) {
  const { series } = overview;
  const draft = drafts.get(series.id);
  const [base, setBase] = useState<Series>(draft?.base ?? series);
  const [typed, setTyped] = useState<TypedSeries>(draft?.typed ?? typedSeries(series));
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [theirs, setTheirs] = useState<Series>();
  const form = useFirstWrong(problems);
  const [state, setState] = useState("");
  const [busy, once] = useOneAtATime();
  const dirty = JSON.stringify(typed) !== JSON.stringify(typedSeries(base));

  useEffect(() => {
    if (dirty) drafts.set(series.id, { base, typed });
    else drafts.delete(series.id);
    unkept.value = drafts.size;
  }, [dirty, base, typed, series.id]);

  useEffect(() => {
    const warn = (event: BeforeUnloadEvent): void => {
      if (drafts.size > 0) event.preventDefault();
    };
    addEventListener("beforeunload", warn);
    return () => removeEventListener("beforeunload", warn);
  }, []);

  // Changed elsewhere while nothing is typed here: shown at once, before anything can be typed over it.
  useLayoutEffect(() => {
    if (!dirty && !busy && series.revision > base.revision) {
      setBase(series);
      setTyped(typedSeries(series));
    }
  }, [series, base, dirty, busy]);

  function put(change: Partial<TypedSeries>): void {
    setTyped((before) => ({ ...before, ...change }));
    setState("");
  }

  async function save(against = base): Promise<void> {
    const { fields, problems: wrong } = fieldsOfSeries(typed);
    setProblems(wrong);
    if (wrong.length > 0) return announce("Not kept. Look at the marked fields.");
    setState("Keeping …");
    const patch = changedFields(fields, against);
    const answer = await ask<Series>("PATCH", `/api/records/series/${series.id}`, {
      revision: against.revision,
      patch,
    });
    setState("");
    if (answer.ok) {
      setBase(answer.value);
      // What was typed while it was on its way stays typed.
      setTyped((now) => (now === typed ? typedSeries(answer.value) : now));
      setState("Kept.");
      announce("Kept.");
      return;
    }
    if (answer.status !== 409) return setProblems(answer.problems);
    const fresh = await ask<Series>("GET", `/api/records/series/${series.id}`);
    if (fresh.ok) setTheirs(fresh.value);
    else setProblems(fresh.problems);
  }

  const known = new Set(["title", "question", "method", "tester", "conclusions", "pullsPerCell", "factors"]);
  const elsewhere = problems.filter(
    ({ where }) => !known.has(/^[a-zA-Z]+/.exec(where?.field ?? "")?.[0] ?? ""),
  );
  return (
    <form
      ref={form}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void once(save);
      }}
    >
      <Section
        title="The question"
        margin={
          <Note>
            A good question names what is varied and what counts as an answer: “Does a bury of 30 d slip
            before the rope breaks?”
          </Note>
        }
      >
        <div class="fields">
          <TextField
            label="Title"
            value={typed.title}
            required
            onInput={(title) => put({ title })}
            problems={problemsOf(problems, "title")}
          />
          <LongField
            label="What do you want to know?"
            value={typed.question}
            onInput={(question) => put({ question })}
            problems={problemsOf(problems, "question")}
          />
          <LongField
            label="How it is pulled"
            hint="Bedding in, hold, speed of the pull, how the ends are held. The report prints it as the method."
            value={typed.method}
            onInput={(method) => put({ method })}
            problems={problemsOf(problems, "method")}
          />
          <TextField
            label="Tester"
            value={typed.tester}
            onInput={(tester) => put({ tester })}
            problems={problemsOf(problems, "tester")}
          />
        </div>
      </Section>
      <Section
        title="What is varied"
        margin={
          <>
            <Note>
              One factor at a time is easiest to read. Every level of one is pulled with every level of the
              other: two sizes at four buries are eight cells.
            </Note>
            <Note>Levels are typed one after another: 20, 30, 45, 60.</Note>
          </>
        }
      >
        {typed.factors.length === 0 && (
          <p class="empty">
            Nothing is varied: all pulls lie in one cell. That is a fair way to learn a strength.
          </p>
        )}
        {typed.factors.map((factor, at) => (
          <FactorFields
            // Factors have no other name while they are typed.
            key={at}
            at={at}
            factor={factor}
            problems={problems}
            onChange={(changed) =>
              put({ factors: typed.factors.map((one, index) => (index === at ? changed : one)) })
            }
            onRemove={() => put({ factors: typed.factors.filter((_, index) => index !== at) })}
          />
        ))}
        <button
          type="button"
          onClick={() => put({ factors: [...typed.factors, { name: "", unit: "", levels: "" }] })}
        >
          Vary {typed.factors.length === 0 ? "something" : "another thing"}
        </button>
        <Problems
          problems={problemsOf(problems, "factors").filter(({ where }) => !/\]\./.test(where?.field ?? ""))}
        />
      </Section>
      <Section
        title="How many"
        margin={
          <Note>
            One pull is an anecdote. With 3 the 95/95 bound lies 7.7 standard deviations below the mean; with
            5, 4.2; with 10, 2.9 (normal strengths).
          </Note>
        }
      >
        <div class="short">
          <TextField
            label="Pulls in each cell"
            value={typed.pullsPerCell}
            inputMode="numeric"
            onInput={(pullsPerCell) => put({ pullsPerCell })}
            problems={problemsOf(problems, "pullsPerCell")}
          />
        </div>
        <PlanTable overview={overview} />
      </Section>
      <Section title="What you concluded" margin={<Note>In your own words; it opens the report.</Note>}>
        <LongField
          label="Conclusions"
          value={typed.conclusions}
          onInput={(conclusions) => put({ conclusions })}
          problems={problemsOf(problems, "conclusions")}
        />
      </Section>
      <Problems heading="Not kept" problems={elsewhere} />
      {theirs !== undefined && (
        <ChangedMeanwhile
          specs={[...seriesSpecs, ...factorSpecs]}
          mine={{ ...typed, factors: JSON.stringify(fieldsOfSeries(typed).fields["factors"]) }}
          theirs={{ ...theirs, factors: JSON.stringify(theirs.factors) }}
          onMine={() => {
            setBase(theirs);
            setTheirs(undefined);
            void once(() => save(theirs));
          }}
          onTheirs={() => {
            setBase(theirs);
            setTyped(typedSeries(theirs));
            setTheirs(undefined);
          }}
        />
      )}
      <div class="save-bar">
        <button type="submit" class="main" disabled={!dirty || busy}>
          Keep it
        </button>
        {dirty && (
          <button type="button" onClick={() => setTyped(typedSeries(base))}>
            Put back what was there
          </button>
        )}
        <span class="state">{dirty ? "Typed and not yet kept." : state}</span>
        {!dirty && (
          <a class="button" href={`/series/${series.id}/splice`}>
            On to the specimens
          </a>
        )}
      </div>
    </form>
  );
}

function FactorFields(props: {
  readonly at: number;
  readonly factor: TypedFactor;
  readonly problems: readonly Problem[];
  readonly onChange: (factor: TypedFactor) => void;
  readonly onRemove: () => void;
}) {
  const { at, factor, onChange } = props;
  const wrong = (field: string): readonly Problem[] => problemsOf(props.problems, `factors[${at}].${field}`);
  return (
    <fieldset class="factor">
      <legend class="unseen">Factor {at + 1}</legend>
      <TextField
        label="Factor"
        value={factor.name}
        list={["bury", "diameter", "pin", "rate", "maker", "splice", "stitch"]}
        onInput={(name) => onChange({ ...factor, name })}
        problems={wrong("name")}
      />
      <TextField
        label="Unit"
        value={factor.unit}
        list={["d", "mm", "kN/s"]}
        onInput={(unit) => onChange({ ...factor, unit })}
        problems={wrong("unit")}
      />
      <TextField
        label="Levels"
        value={factor.levels}
        placeholder="20, 30, 45, 60"
        onInput={(levels) => onChange({ ...factor, levels })}
        problems={wrong("levels")}
      />
      <button type="button" class="plain" onClick={props.onRemove}>
        leave out<span class="unseen"> {factor.name || `factor ${at + 1}`}</span>
      </button>
    </fieldset>
  );
}
