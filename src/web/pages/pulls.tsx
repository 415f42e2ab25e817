import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { PullRow } from "../book/pull-row.tsx";
import { measures, typedQuantity } from "../book/quantity.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { BeforeAPull, WeakHardware } from "../parts/cautions.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { PickField, TextField } from "../parts/field.tsx";
import { Note, Section, SeriesPage } from "../parts/page.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { DropZone } from "../recording/drop-zone.tsx";
import { FileQueue } from "../recording/file-queue.tsx";
import { Recordings } from "../recording/recordings.tsx";
import { ask } from "../server.ts";
import { count } from "../words.ts";

/** Pull: recordings in, and of each pull which specimen it was and what happened to it. */
export default function Pulls() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  return (
    <SeriesPage
      key={id}
      id={id}
      title="Pull"
      chapter="3 of 6"
      intro="Drop what the logger wrote; say which specimen each pull was, and what happened to it."
    >
      {(overview) => <PullsOf overview={overview} />}
    </SeriesPage>
  );
}

function PullsOf({ overview }: { readonly overview: SeriesOverview }) {
  const [files, setFiles] = useState<readonly File[]>([]);
  const [typing, setTyping] = useState(false);
  // Those that were still to say when they were asked for: they stay while they are being said.
  const [toSay, setToSay] = useState<ReadonlySet<string>>();
  const pulls = [...overview.pulls].sort((a, b) => (a.order ?? 1e9) - (b.order ?? 1e9));
  const open = pulls.filter((pull) => pull.specimenId === undefined || pull.outcome === undefined);
  const shown =
    toSay === undefined ? pulls : pulls.filter((pull) => toSay.has(pull.id) || open.includes(pull));
  return (
    <>
      <Section
        margin={
          <>
            <WeakHardware overview={overview} />
            <BeforeAPull />
          </>
        }
      >
        <DropZone
          many
          low={files.length > 0}
          words="Drop the logger’s files here, one or many"
          onFiles={(more) => setFiles((before) => [...before, ...more])}
        >
          {files.length === 0 && (
            <p class="small">One file may hold many pulls. The bytes are kept as they came.</p>
          )}
        </DropZone>
        <FileQueue
          seriesId={overview.series.id}
          files={files}
          benches={overview.benches}
          onClose={(gone) => setFiles((before) => before.filter((file) => !gone.includes(file)))}
        />
        <button type="button" onClick={() => setTyping(true)}>
          A pull without a recording
        </button>
        {typing && <TypedPull overview={overview} onClose={() => setTyping(false)} />}
      </Section>
      <Section
        wide
        title={
          open.length > 0
            ? `${count(pulls.length, "pull")}, ${open.length} still to say`
            : count(pulls.length, "pull")
        }
        margin={
          <>
            <Note>
              <b>Broke</b> and <b>slipped</b> give a strength. <b>Stopped</b> gives a lower bound: it would
              have held more. <b>Void</b> gives nothing and says why.
            </Note>
            <Note>
              Slipped means that slipping was its end, not that it slipped once on the way and held again. In
              a set of outcome buttons the letters B, S, T and V choose.
            </Note>
          </>
        }
      >
        {pulls.length === 0 ? (
          <p class="empty">
            No pulls yet. Drop the logger’s files above; every pull that is found in them appears here.
          </p>
        ) : (
          <>
            {(open.length > 0 || toSay !== undefined) && (
              <label class="check">
                <input
                  type="checkbox"
                  checked={toSay !== undefined}
                  onChange={(event) =>
                    setToSay(event.currentTarget.checked ? new Set(open.map((pull) => pull.id)) : undefined)
                  }
                />
                Only those still to say
              </label>
            )}
            <ol class="pulls">
              {shown.map((pull) => (
                <PullRow key={pull.id} pull={pull} overview={overview} />
              ))}
            </ol>
            <a class="button" href={`/series/${overview.series.id}/judge`}>
              On to what they show
            </a>
          </>
        )}
      </Section>
      <Recordings overview={overview} />
    </>
  );
}

/** A peak that was read off a display. */
function TypedPull({
  overview,
  onClose,
}: {
  readonly overview: SeriesOverview;
  readonly onClose: () => void;
}) {
  const pulled = new Set(overview.pulls.map((pull) => pull.specimenId));
  const [specimenId, setSpecimenId] = useState(
    overview.specimens.find((one) => !pulled.has(one.id))?.id ?? "",
  );
  const [peak, setPeak] = useState("");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();

  async function save(): Promise<void> {
    const typed = typedQuantity(peak, measures.force, "typedPeakN");
    if (!typed.ok) return setProblems(typed.problems);
    const order = Math.max(0, ...overview.pulls.map((pull) => pull.order ?? 0)) + 1;
    const answer = await ask("POST", "/api/records/pull", {
      seriesId: overview.series.id,
      ...(specimenId === "" ? {} : { specimenId }),
      typedPeakN: typed.value,
      order,
    });
    if (!answer.ok) return setProblems(answer.problems);
    announce("Pull kept.");
    onClose();
  }

  return (
    <Dialog title="A pull without a recording" onClose={onClose}>
      <form
        class="fields"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void once(save);
        }}
      >
        <p>
          Only where a display was read and nothing was logged. It counts, and the report says that it was
          typed.
        </p>
        <PickField
          label="Specimen"
          value={specimenId}
          none="say it later"
          options={overview.specimens.map((one) => ({ value: one.id, label: one.label }))}
          onInput={setSpecimenId}
          problems={problemsOf(problems, "specimenId")}
        />
        <TextField
          label="Peak"
          hint="In kN unless you say otherwise: 34.2, 7600 lbf, 3500 kgf."
          value={peak}
          onInput={setPeak}
          problems={problemsOf(problems, "typedPeakN")}
        />
        <Problems
          heading="Not kept"
          problems={problems.filter(
            ({ where }) => !["specimenId", "typedPeakN"].includes(where?.field ?? ""),
          )}
        />
        <div class="buttons">
          <button type="submit" class="main" disabled={busy}>
            Keep this pull
          </button>
          <button type="button" onClick={onClose}>
            Leave it
          </button>
        </div>
      </form>
    </Dialog>
  );
}
