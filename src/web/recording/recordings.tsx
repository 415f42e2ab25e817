import { useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { changePulls } from "../book/change-pulls.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { PickField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import { ask } from "../server.ts";
import { fileSize } from "../shown-units.ts";
import { count, whenText } from "../words.ts";
import { layoutSentence } from "./layout-sentence.ts";
import { OtherLayout } from "./other-layout.tsx";
import { ReadAgain } from "./read-again.tsx";

type Recording = SeriesOverview["recordings"][number];

/** The recordings of a series: by which layout each is read, on which bench it was pulled, and reading all of them again. */
export function Recordings({ overview }: { readonly overview: SeriesOverview }) {
  const { recordings, series } = overview;
  if (recordings.length === 0) return null;
  return (
    <Section
      wide
      title={count(recordings.length, "recording")}
      margin={
        <Note>
          The bytes stay as they came; what is read out of them can be made anew. Corrections by hand, what
          was said of the pulls, and published reports stay as they are.
        </Note>
      }
    >
      <ReadAgain series={[series]} what="this series" />
      <details>
        <summary>Recording by recording</summary>
        <div class="stack">
          {recordings.length > 1 && overview.benches.length > 0 && (
            <div class="short">
              <BenchOf overview={overview} recordings={recordings} label="All of them pulled on" />
            </div>
          )}
          <ul class="contents recordings">
            {recordings.map((recording) => (
              <OneRecording key={recording.sha256} recording={recording} overview={overview} />
            ))}
          </ul>
        </div>
      </details>
    </Section>
  );
}

function OneRecording(props: { readonly recording: Recording; readonly overview: SeriesOverview }) {
  const { recording, overview } = props;
  const [open, setOpen] = useState(false);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const pulls = overview.pulls.filter((pull) => pull.recordingSha256 === recording.sha256);

  async function remove(): Promise<void> {
    const answer = await ask("DELETE", `/api/recordings/${recording.sha256}`);
    setProblems(answer.ok ? [] : answer.problems);
    announce(answer.ok ? `${recording.fileName} taken out.` : `${recording.fileName} was not taken out.`);
  }

  return (
    <li>
      <div class="recording">
        <div>
          <b>{recording.fileName}</b>{" "}
          <span class="aside">
            {count(pulls.length, "pull")}, {fileSize(recording.sizeBytes)}, {whenText(recording.importedAt)}
          </span>
          <p class="aside">{layoutSentence(recording.layout)}</p>
        </div>
        {overview.benches.length > 0 && pulls.length > 0 && (
          <BenchOf overview={overview} recordings={[recording]} label="Pulled on" />
        )}
        <div class="buttons">
          <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>
            Read by another layout<span class="unseen"> {recording.fileName}</span>
          </button>
          {pulls.length === 0 && <TakeOut name={recording.fileName} onTakeOut={remove} />}
        </div>
      </div>
      <Problems heading="It stays in the book" problems={problems} />
      {open && <OtherLayout recording={recording} overview={overview} onClose={() => setOpen(false)} />}
    </li>
  );
}

/** On which bench all pulls of these recordings were pulled; said for all of them in one go. */
function BenchOf(props: {
  readonly overview: SeriesOverview;
  readonly recordings: readonly Recording[];
  readonly label: string;
}) {
  const { overview, recordings } = props;
  const [busy, once] = useOneAtATime();
  const [chosen, setChosen] = useState<string>();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const shas = new Set(recordings.map(({ sha256 }) => sha256));
  const pulls = overview.pulls.filter(({ recordingSha256 }) => shas.has(recordingSha256 ?? ""));
  const benches = new Set(pulls.map(({ benchId }) => benchId ?? ""));
  const kept = benches.size === 1 ? ([...benches][0] ?? "") : "";

  async function put(benchId: string): Promise<void> {
    setChosen(benchId);
    const answer = await changePulls(
      overview.series.id,
      pulls.map(({ id }) => id),
      { benchId: benchId === "" ? null : benchId },
    );
    setProblems(answer.ok ? [] : answer.problems);
    setChosen(undefined);
    announce(answer.ok ? `${count(pulls.length, "pull")} kept with this bench.` : "The bench was not kept.");
  }

  return (
    <>
      <PickField
        label={
          <>
            {props.label}
            {recordings.length === 1 && <span class="unseen">, {recordings[0]?.fileName}</span>}
            {busy && <span class="save-state"> keeping …</span>}
          </>
        }
        value={chosen ?? kept}
        none={benches.size > 1 ? "several benches" : "not said"}
        options={overview.benches.map((bench) => ({ value: bench.id, label: bench.name }))}
        onInput={(benchId) => void once(() => put(benchId))}
      />
      <Problems heading="Not kept" problems={problems} />
    </>
  );
}
