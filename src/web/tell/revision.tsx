import { useRef, useState } from "preact/hooks";
import type { StoredReport } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Dialog } from "../parts/dialog.tsx";
import { LongField } from "../parts/field.tsx";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { count, whenText } from "../words.ts";

/** One revision in the list: its page, its bundle, why it was published, what it changed, and whether it was withdrawn. */
export function Revision({ report }: { readonly report: StoredReport }) {
  const { id, number, publishedAt, note, changes, contentSha256, withdrawn } = report;
  const [asking, setAsking] = useState(false);
  return (
    <li>
      <a class="entry" href={`/reports/${id}`} target="_blank" rel="noreferrer">
        Revision {number}
      </a>
      <span class="aside">
        {withdrawn !== undefined && <span class="stamp">withdrawn</span>} {whenText(publishedAt)},{" "}
        <a href={`/reports/${id}?download=1`} target="_self" download>
          save the page
          <span class="unseen"> of revision {number}</span>
        </a>
        {contentSha256 !== undefined && (
          <>
            ,{" "}
            <a href={`/api/reports/${id}/bundle`} target="_self" download>
              the bundle
              <span class="unseen"> of revision {number}</span>
            </a>
          </>
        )}
      </span>
      {withdrawn !== undefined && (
        <p class="aside">
          Withdrawn on {whenText(withdrawn.at)}: {withdrawn.reason}
        </p>
      )}
      {note !== "" && <p class="own-words">{note}</p>}
      {changes.length > 0 && (
        <details>
          <summary>
            {count(changes.length, "change")} since the revision before
            <span class="unseen"> revision {number}</span>
          </summary>
          <ul>
            {changes.map((change) => (
              <li key={change}>{change}</li>
            ))}
          </ul>
        </details>
      )}
      <p class="aside">
        {contentSha256 === undefined ? (
          "Published before contents were frozen."
        ) : (
          <>
            Fingerprint <code>{contentSha256.slice(0, 16)}…</code>
          </>
        )}{" "}
        {withdrawn === undefined && (
          <button type="button" class="plain" onClick={() => setAsking(true)}>
            withdraw<span class="unseen"> revision {number}</span>
          </button>
        )}
      </p>
      {asking && <Withdraw report={report} onClose={() => setAsking(false)} />}
    </li>
  );
}

function Withdraw({ report, onClose }: { readonly report: StoredReport; readonly onClose: () => void }) {
  const [reason, setReason] = useState("");
  const typed = useRef("");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();

  async function withdraw(): Promise<void> {
    setProblems([]);
    const path = `/api/reports/${report.id}/withdrawal`;
    const answer = await ask<StoredReport>("POST", path, { reason: typed.current });
    if (!answer.ok) return setProblems(answer.problems);
    announce(`Revision ${report.number} is withdrawn.`);
    onClose();
  }

  return (
    <Dialog title={`Withdraw revision ${report.number}`} onClose={onClose}>
      <p>
        Its page stays readable and says that it was withdrawn, when, and why. This cannot be taken back;
        publish a new revision instead. Pages that were saved elsewhere know nothing of it.
      </p>
      <LongField
        label="Why"
        hint="It stands on the page."
        value={reason}
        required
        onInput={(text) => {
          typed.current = text;
          setReason(text);
        }}
      />
      <Problems heading="Nothing was withdrawn" problems={problems} />
      <div class="buttons">
        <button type="button" class="main" disabled={busy} onClick={() => void once(withdraw)}>
          Withdraw it
        </button>
        <button type="button" onClick={onClose}>
          Leave it
        </button>
      </div>
    </Dialog>
  );
}
