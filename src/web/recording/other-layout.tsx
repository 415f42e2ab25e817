import { useEffect, useState } from "preact/hooks";
import type { ReadOtherwise, SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { count } from "../words.ts";
import { FileSheet, type ReadFile } from "./file-sheet.tsx";
import { hintsOfLayout, sameLayout } from "./hints-of-layout.ts";
import { namesOf, ReadingChanges } from "./reading-changes.tsx";

type Recording = SeriesOverview["recordings"][number];

/**
 * A recording of the book laid open as a dropped file is: how it is read now, what can be said otherwise, and what it
 * then shows. It is kept so at a press; corrections by hand and what was said of its pulls stay.
 */
export function OtherLayout(props: {
  readonly recording: Recording;
  readonly overview: SeriesOverview;
  readonly onClose: () => void;
}) {
  const { recording } = props;
  const file = useBytes(recording);
  const [kept, setKept] = useState<ReadOtherwise>();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();

  async function keep({ layout }: ReadFile): Promise<void> {
    const answer = await ask<ReadOtherwise>("PUT", `/api/recordings/${recording.sha256}/layout`, { layout });
    setProblems(answer.ok ? [] : answer.problems);
    if (!answer.ok) return announce("It was not read otherwise.");
    setKept(answer.value);
    announce(keptWords(answer.value));
  }

  if (file === undefined) return <p class="aside">Fetching the bytes …</p>;
  if (!file.ok) return <Problems heading="The bytes cannot be fetched" problems={file.problems} />;
  return (
    <div class="stack other-layout">
      <FileSheet file={file.value} begin={hintsOfLayout(recording.layout)} open onClose={props.onClose}>
        {(read) => (
          <div class="keep stack">
            <div class="buttons">
              <button
                type="button"
                class="main"
                disabled={busy || sameLayout(read.layout, recording.layout)}
                onClick={() => void once(() => keep(read))}
              >
                Read it so from now on
              </button>
              <span class="aside">
                {sameLayout(read.layout, recording.layout)
                  ? "This is how it is read now. Say below what is read wrongly."
                  : `As shown here: ${count(read.reading.pulls.length, "pull")}. In the book now: ${pullsOf(props.overview, recording)}.`}
              </span>
            </div>
          </div>
        )}
      </FileSheet>
      <Problems heading="It is read as before" problems={problems} />
      {kept !== undefined && (
        <section class="stack" aria-label="What came out otherwise">
          <p class="sentence">{keptWords(kept)}</p>
          <ReadingChanges changes={kept.changes} nameOf={namesOf([props.overview])} />
        </section>
      )}
    </div>
  );
}

function keptWords({ changes, pulls }: ReadOtherwise): string {
  const changed = new Set(changes.map(({ pullId, to }) => pullId ?? to)).size;
  return changed === 0
    ? `Kept. ${count(pulls.length, "pull")} read by the other layout: nothing came out otherwise.`
    : `Kept. ${count(pulls.length, "pull")} read by the other layout: ${changed} came out otherwise.`;
}

/** The pulls of a recording that the series shows. */
export function pullsOf({ pulls }: SeriesOverview, { sha256 }: Pick<Recording, "sha256">): string {
  return count(pulls.filter((pull) => pull.recordingSha256 === sha256).length, "pull");
}

/** The recording's bytes as a file, fetched once for as long as it is laid open. */
function useBytes({ sha256, fileName }: Recording) {
  type Fetched =
    | { readonly ok: true; readonly value: File }
    | { readonly ok: false; readonly problems: readonly Problem[] };
  const [file, setFile] = useState<Fetched>();
  useEffect(() => {
    const leaving = new AbortController();
    fetchFile(sha256, fileName, leaving.signal).then(
      (fetched) => setFile(fetched),
      (error: unknown) => {
        if (leaving.signal.aborted) return;
        const found = error instanceof Error ? error.message : String(error);
        setFile({ ok: false, problems: [{ ...notFetched, found }] });
      },
    );
    return () => leaving.abort();
  }, [sha256, fileName]);
  return file;

  async function fetchFile(of: string, name: string, signal: AbortSignal): Promise<Fetched> {
    const response = await fetch(`/api/recordings/${of}/bytes`, { signal });
    if (!response.ok) return { ok: false, problems: [{ ...notFetched, found: `HTTP ${response.status}` }] };
    return { ok: true, value: new File([await response.blob()], name) };
  }
}

const notFetched: Problem = {
  code: "SERVER_NO_ANSWER",
  message: "The recording's bytes did not come.",
  wayOut: "See that the program is still running, and try again.",
};
