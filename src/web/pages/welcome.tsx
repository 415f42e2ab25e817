import { useRef, useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { NewSeries } from "../book/new-series.tsx";
import { BundleDialog } from "../bundle/bundle-dialog.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Care, Note, Opening, Section, Waiting } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { DropZone } from "../recording/drop-zone.tsx";
import { FileSheet, type ReadFile } from "../recording/file-sheet.tsx";
import { keepRecording, RememberLayout, rememberedName } from "../recording/keep-recording.tsx";
import { useResource } from "../use-resource.ts";
import { count, whenText } from "../words.ts";

/** The first page: drop a file and see its peak, or open a series. */
export default function Welcome() {
  const [file, setFile] = useState<File>();
  const [bundle, setBundle] = useState<File>();
  const { route } = useLocation();
  const answer = useResource<readonly StoredRecord<"series">[]>("/api/records/series");
  const series =
    answer?.ok === true ? [...answer.value].sort((a, b) => b.changedAt.localeCompare(a.changedAt)) : [];
  return (
    <>
      <Opening title="The bench book">
        For those who splice rope, pull it to failure and tell others what they found.
      </Opening>
      <Section
        margin={
          <Note>
            The file is read here, in this browser. Nothing is kept until you say so, and nothing ever leaves
            this computer by itself.
          </Note>
        }
      >
        <DropZone
          words={file === undefined ? "Drop a logger’s file: see its peak in a second" : "Drop another"}
          low={file !== undefined}
          onFiles={([first]) => (isBundle(first) ? setBundle(first) : setFile(first))}
        >
          {file === undefined && (
            <p class="small">
              Text of any kind: commas, semicolons, tabs; newtons, kilograms, pounds. Or another tester’s
              bundle, a zip.
            </p>
          )}
        </DropZone>
        {file !== undefined && (
          <FileSheet
            key={`${file.name} ${file.lastModified} ${file.size}`}
            file={file}
            onClose={() => setFile(undefined)}
          >
            {(read) => <KeepIt read={read} series={series} />}
          </FileSheet>
        )}
      </Section>
      <Section
        title="Series"
        margin={
          <Care title="A bench is not a certificate" whence="Usual cautions of the trade">
            No result here certifies the next piece. For people, use certified gear and those licensed to
            judge it.
          </Care>
        }
      >
        {answer === undefined ? (
          <Waiting />
        ) : answer.ok ? (
          <SeriesList series={series} onBundle={setBundle} />
        ) : (
          <Problems heading="The book cannot be opened" problems={answer.problems} />
        )}
      </Section>
      {bundle !== undefined && (
        <BundleDialog
          key={`${bundle.name} ${bundle.lastModified}`}
          file={bundle}
          onClose={() => setBundle(undefined)}
          onOpen={(seriesId) => route(`/series/${seriesId}/ask`)}
        />
      )}
    </>
  );
}

function isBundle(file: File | undefined): boolean {
  return file?.name.toLowerCase().endsWith(".zip") === true;
}

function SeriesList(props: {
  readonly series: readonly StoredRecord<"series">[];
  readonly onBundle: (file: File) => void;
}) {
  const { series, onBundle } = props;
  const picker = useRef<HTMLInputElement>(null);
  const [making, setMaking] = useState(false);
  const { route } = useLocation();
  return (
    <>
      {series.length === 0 ? (
        <p class="empty">
          No series yet. Begin one with the question that you want to ask the bench; specimens and pulls
          follow from it.
        </p>
      ) : (
        <ul class="contents">
          {series.map((one) => (
            <li key={one.id}>
              <a class="entry" href={`/series/${one.id}/ask`}>
                {one.title}
              </a>
              <span class="aside">
                {one.simulated && <span class="stamp">simulated</span>} {whenText(one.changedAt)}
              </span>
              {one.question !== "" && <p class="aside">{one.question}</p>}
            </li>
          ))}
        </ul>
      )}
      <div class="buttons">
        <button type="button" class={series.length === 0 ? "main" : ""} onClick={() => setMaking(true)}>
          Begin a series
        </button>
        <button type="button" onClick={() => picker.current?.click()}>
          Take in a bundle
        </button>
        <input
          ref={picker}
          class="unseen"
          type="file"
          accept=".zip,application/zip"
          tabIndex={-1}
          aria-label="Another tester’s bundle"
          onChange={(event) => {
            const [first] = event.currentTarget.files ?? [];
            event.currentTarget.value = ""; // the same file may be chosen again
            if (first !== undefined) onBundle(first);
          }}
        />
      </div>
      {making && (
        <NewSeries onClose={() => setMaking(false)} onMade={(made) => route(`/series/${made.id}/ask`)} />
      )}
    </>
  );
}

/** Keeps the file that was just read: in a series that is there, or in one made for it. */
function KeepIt({
  read,
  series,
}: {
  readonly read: ReadFile;
  readonly series: readonly StoredRecord<"series">[];
}) {
  const { route } = useLocation();
  const real = series.filter((one) => !one.simulated);
  const [chosen, setChosen] = useState("");
  const [making, setMaking] = useState(false);
  const [name, setName] = useState(rememberedName(read));
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  const seriesId = chosen === "" ? real[0]?.id : chosen;

  const keep = (into: string): void => void once(() => keepNow(into));

  async function keepNow(into: string): Promise<void> {
    const answer = await keepRecording(into, read, name);
    if (answer.ok) route(`/series/${into}/pull`);
    else setProblems(answer.problems);
  }

  return (
    <div class="stack keep">
      <h3>Keep it in a series</h3>
      <RememberLayout read={read} name={name} onName={setName} />
      <div class="buttons">
        {seriesId !== undefined && (
          <>
            <label class="unseen" for="keep-in">
              Series
            </label>
            <select
              id="keep-in"
              class="button"
              value={seriesId}
              onChange={(event) => setChosen(event.currentTarget.value)}
            >
              {real.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.title}
                </option>
              ))}
            </select>
            <button type="button" class="main" disabled={busy} onClick={() => keep(seriesId)}>
              Keep {count(read.reading.pulls.length, "pull")} in it
            </button>
          </>
        )}
        <button type="button" disabled={busy} onClick={() => setMaking(true)}>
          Begin a series with it
        </button>
      </div>
      <Problems heading="Nothing was kept" problems={problems} />
      {making && (
        <NewSeries
          onClose={() => setMaking(false)}
          onMade={(made) => {
            setMaking(false);
            keep(made.id);
          }}
        />
      )}
    </div>
  );
}
