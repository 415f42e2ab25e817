import { useState } from "preact/hooks";
import type { ImportedSeries, Verification } from "../../app/mod.ts";
import type { Problem, Warning } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Dialog } from "../parts/dialog.tsx";
import { Problems } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { ask } from "../server.ts";
import { count } from "../words.ts";

/** What somebody else's bundle can be used for: verified, taken into the book, put in the place of an earlier revision. */
export function BundleDialog(props: {
  readonly file: File;
  readonly onClose: () => void;
  readonly onOpen: (seriesId: string) => void;
}) {
  const { file, onClose, onOpen } = props;
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [verified, setVerified] = useState<Verification>();
  const [taken, setTaken] = useState<ImportedSeries>();
  const [doubts, setDoubts] = useState<readonly Warning[]>([]);
  const [busy, once] = useOneAtATime();
  const earlier = problems.some(({ code, wayOut }) => code === "BUNDLE_KNOWN" && wayOut?.includes("replace"));

  async function verify(): Promise<void> {
    setProblems([]);
    setVerified(undefined);
    const answer = await ask<Verification>("POST", "/api/bundles/verification", formOf(file), {
      quiet: true,
    });
    if (!answer.ok) return setProblems(answer.problems);
    setDoubts(answer.warnings);
    setVerified(answer.value);
    announce(answer.value.same ? "Same numbers." : "Some numbers differ.");
  }

  async function takeIn(replace: boolean): Promise<void> {
    setProblems([]);
    const answer = await ask<ImportedSeries>("POST", "/api/bundles", formOf(file, replace));
    if (!answer.ok) return setProblems(answer.problems);
    setDoubts(answer.warnings);
    setTaken(answer.value);
    announce(answer.value.known ? "It is in the book already." : "It is in the book now.");
  }

  return (
    <Dialog title={`Bundle ${file.name}`} onClose={onClose}>
      {taken === undefined ? (
        <p>
          A bundle holds a series with its recordings. Its recordings are read anew here; nothing in it is
          run, and figures that it states are not taken over.
        </p>
      ) : (
        <p>
          {taken.known ? "It was in the book before" : "It is in the book now"}: “{taken.series.title}”
          {taken.origin.tester === "" ? "" : `, by ${taken.origin.tester}`}.
        </p>
      )}
      {verified !== undefined && <Verified verified={verified} />}
      <Problems heading="A second look" problems={doubts} />
      <Problems heading="Nothing was stored" problems={problems} />
      <div class="buttons">
        {taken === undefined ? (
          <>
            <button type="button" class="main" disabled={busy} onClick={() => void once(() => takeIn(false))}>
              Take it into the book
            </button>
            {earlier && (
              <button type="button" disabled={busy} onClick={() => void once(() => takeIn(true))}>
                Put it in the place of the other
              </button>
            )}
            <button type="button" disabled={busy} onClick={() => void once(verify)}>
              Verify its numbers
            </button>
          </>
        ) : (
          <button type="button" class="main" onClick={() => onOpen(taken.series.id)}>
            Open the series
          </button>
        )}
        <button type="button" onClick={onClose}>
          Close
        </button>
      </div>
    </Dialog>
  );
}

function Verified({ verified }: { readonly verified: Verification }) {
  const { same, recordings, readings, figures, differences, differenceCount } = verified;
  const again = `${count(recordings, "recording")} read again, ${count(readings, "pull")}, ${count(figures, "figure")} calculated again, to nine digits.`;
  if (same)
    return (
      <p>
        <b>Same numbers.</b> {again}
      </p>
    );
  return (
    <div>
      <p>
        <b>{count(differenceCount, "difference")}.</b> {again}
      </p>
      <Scroll label="Differences">
        <table class="differences">
          <thead>
            <tr>
              <th scope="col">Where</th>
              <th scope="col">The bundle says</th>
              <th scope="col">Comes out as</th>
            </tr>
          </thead>
          <tbody>
            {differences.slice(0, 50).map((one, at) => (
              <tr key={at}>
                <th scope="row">{one.where}</th>
                <td>{one.stated ?? "nothing"}</td>
                <td>{one.recomputed ?? "nothing"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Scroll>
    </div>
  );
}

function formOf(file: File, replace = false): FormData {
  const form = new FormData();
  if (replace) form.append("replace", "yes");
  form.append("file", file, file.name);
  return form;
}
