import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import { OutcomeFields } from "../book/outcome-fields.tsx";
import { Photographs } from "../book/photographs.tsx";
import { peakOf } from "../book/pull-row.tsx";
import {
  type Pull,
  pullFieldName,
  pullFieldText,
  SpecimenChoice,
  usePullSaver,
} from "../book/pull-saver.tsx";
import { SaveTrouble, SaveWord } from "../book/save-state.tsx";
import { TakeOutPull } from "../book/series-album.tsx";
import { levelText } from "../book/specimen-rows.ts";
import { LongField, PickField, TextField } from "../parts/field.tsx";
import { Note, Opening, Section, Waiting } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { force } from "../shown-units.ts";
import { Evidence } from "../trace/outcome-evidence.tsx";
import { RecordedTrace } from "../trace/recorded-trace.tsx";
import { useResource } from "../use-resource.ts";
import { pullName } from "../words.ts";

/** One pull: its trace with the reading drawn over it, and what a person says of it. */
export default function PullPage() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  const answer = useResource<SeriesOverview>(`/api/series/${encodeURIComponent(id)}/overview`);
  if (answer === undefined)
    return (
      <>
        <Opening title="A pull" />
        <Waiting text="Opening the pull" />
      </>
    );
  const pull = answer.ok ? answer.value.pulls.find((one) => one.id === params["pullId"]) : undefined;
  if (!answer.ok || pull === undefined)
    return (
      <>
        <Opening title="No such pull">
          This series has no such pull. <a href={`/series/${id}/pull`}>To the pulls of the series.</a>
        </Opening>
        {!answer.ok && <Problems problems={answer.problems} />}
      </>
    );
  return <OnePull key={pull.id} pull={pull} overview={answer.value} />;
}

function OnePull({ pull, overview }: { readonly pull: Pull; readonly overview: SeriesOverview }) {
  const saver = usePullSaver(pull, overview);
  const [notes, setNotes] = useState(pull.notes);
  const [operator, setOperator] = useState(pull.operator);
  const { series } = overview;
  const ordered = [...overview.pulls].sort((a, b) => (a.order ?? 1e9) - (b.order ?? 1e9));
  const at = ordered.findIndex((one) => one.id === pull.id);
  const name = pullName(pull, overview);
  const specimen = overview.specimens.find((one) => one.id === pull.specimenId);
  const rope = overview.ropes.find((one) => one.id === specimen?.ropeId);
  const recipe = overview.recipes.find((one) => one.id === specimen?.recipeId);
  return (
    <>
      <Opening
        title={`${name}: ${peakOf(pull)}`}
        chapter={
          <>
            3 of 6, <a href={`/series/${series.id}/pull`}>Pull</a>
          </>
        }
      >
        {specimen === undefined
          ? "Nobody has said yet which specimen this was."
          : [
              ...Object.entries(specimen.levels).map(([factor, level]) =>
                `${factor} ${levelText(level)} ${series.factors.find((one) => one.name === factor)?.unit ?? ""}`.trim(),
              ),
              rope?.name,
              recipe?.name,
            ]
              .filter((part) => part !== undefined)
              .join(", ")}
      </Opening>
      <PullTurns ordered={ordered} at={at} overview={overview} />
      <p class="buttons">
        <a href={`/pulls/${pull.id}/record`} target="_blank" rel="noreferrer">
          A record of this pull to print
        </a>
        {pull.reading !== undefined && (
          <a href={`/series/${series.id}/pull/${pull.id}/film`}>The film of this pull</a>
        )}
      </p>
      <Section wide>
        {pull.recordingSha256 !== undefined && pull.reading !== undefined ? (
          <RecordedTrace
            pull={pull}
            name={name}
            sha256={pull.recordingSha256}
            series={series.id}
            {...(rope?.ratedStrengthN === undefined ? {} : { ratedStrengthN: rope.ratedStrengthN })}
          />
        ) : (
          <p class="empty">
            No recording: the peak of {pull.typedPeakN === undefined ? "this pull" : force(pull.typedPeakN)}{" "}
            was typed.
          </p>
        )}
      </Section>
      <Section
        title="What happened"
        margin={
          <Note>
            The machine says what it read; you say what happened. Where the two differ, look at the rope:
            glazed streaks on a whole tail mean that it slipped.
          </Note>
        }
      >
        <div class="stack">
          <SpecimenChoice pull={pull} overview={overview} saver={saver} />
          <OutcomeFields
            name={name}
            outcome={saver.record.value?.outcome ?? pull.outcome}
            settled={saver.state.value.kind === "kept"}
            onOutcome={(outcome) => saver.put({ outcome })}
            onLeave={() => saver.flush()}
          />
          {pull.reading?.deep?.outcome !== undefined && (
            <Evidence
              evidence={pull.reading.deep.outcome}
              said={(saver.record.value?.outcome ?? pull.outcome)?.kind}
            />
          )}
          <div class="pair">
            <PickField
              label="Pulled on"
              value={saver.record.value?.benchId ?? ""}
              none="not said"
              options={overview.benches.map((bench) => ({ value: bench.id, label: bench.name }))}
              onInput={(benchId) => saver.put({ benchId: benchId === "" ? null : benchId })}
            />
            <TextField
              label="Operator"
              value={operator}
              onInput={(text) => {
                setOperator(text);
                saver.put({ operator: text });
              }}
            />
          </div>
          <LongField
            label="Notes"
            value={notes}
            onInput={(text) => {
              setNotes(text);
              saver.put({ notes: text });
            }}
            onLeave={() => saver.flush()}
          />
          <SaveWord saver={saver} />
          <SaveTrouble
            saver={saver}
            nameOf={pullFieldName}
            show={(value, field) => pullFieldText(value, field, overview)}
            onTheirs={() => {
              setNotes(saver.record.value?.notes ?? "");
              setOperator(saver.record.value?.operator ?? "");
            }}
          />
        </div>
      </Section>
      <Section title="Photographs">
        <Photographs
          subject={{ kind: "pull", id: pull.id }}
          about={name}
          pictures={overview.pictures.filter(
            ({ subject }) =>
              (subject.kind === "pull" && subject.id === pull.id) ||
              (subject.kind === "specimen" && subject.id === pull.specimenId),
          )}
        />
      </Section>
      <TakeOutPull id={pull.id} name={name} series={series.id} />
      <PullTurns ordered={ordered} at={at} overview={overview} foot />
    </>
  );
}

function PullTurns(props: {
  readonly ordered: readonly Pull[];
  readonly at: number;
  readonly overview: SeriesOverview;
  readonly foot?: boolean;
}) {
  const { ordered, at, overview } = props;
  const before = ordered[at - 1];
  const after = ordered[at + 1];
  const address = (pull: Pull): string => `/series/${overview.series.id}/pull/${pull.id}`;
  return (
    <nav class="buttons turns" aria-label={props.foot === true ? "Other pulls, at the foot" : "Other pulls"}>
      {before !== undefined && (
        <a class="button" href={address(before)}>
          ← {pullName(before, overview)}
        </a>
      )}
      <span class="aside">
        {at + 1} of {ordered.length}
      </span>
      {after !== undefined && (
        <a class="button" href={address(after)}>
          {pullName(after, overview)} →
        </a>
      )}
    </nav>
  );
}
