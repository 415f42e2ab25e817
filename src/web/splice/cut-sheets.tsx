import { useState } from "preact/hooks";
import type { SeriesOverview, StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { CutSheet } from "../../splice/mod.ts";
import { lengthMeasures } from "../../splice/mod.ts";
import { announce } from "../announce.tsx";
import { measures, typedQuantity } from "../book/quantity.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { PickField, TextField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { useResource } from "../use-resource.ts";
import { count } from "../words.ts";
import { CutPlan } from "./cut-plan.tsx";
import { measureWords, readWanted, type Wanted } from "./wanted.ts";

/** What is to be cut: the wanted length, each batch with its marks, and the sheet to print. */
export function CutSheets({ overview }: { readonly overview: SeriesOverview }) {
  const home = `/series/${overview.series.id}`;
  const answer = useResource<CutSheet>(`/api${home}/cut-sheet`);
  const sheet = answer?.ok === true ? answer.value : undefined;
  return (
    <Section
      title="Cut and mark"
      margin={
        <Note>
          Type lengths as you say them: 600 mm at 5 kN, 2 ft 3 in. Print the sheet at 100 %; a bar of 100 mm
          on it shows whether the strips are true.
        </Note>
      }
    >
      <WantedForAll overview={overview} />
      {answer?.ok === false && <Problems heading="The cuts cannot be planned" problems={answer.problems} />}
      {sheet !== undefined && sheet.open.length > 0 && (
        <details class="cannot-cut">
          <summary>{count(sheet.open.length, "specimen")} cannot be cut yet</summary>
          <ul>
            {sheet.open.map(({ id, label, problems }) => (
              <li key={id}>
                {label}: {problems.map(({ message, wayOut = "" }) => `${message} ${wayOut}`).join(" ")}
              </li>
            ))}
          </ul>
        </details>
      )}
      {sheet?.batches.map((batch) => (
        <div key={batch.specimens[0]?.id} class="stack">
          <h3>
            {batch.specimens.length} × {batch.recipe.name}:{" "}
            {batch.specimens.map(({ label }) => label).join(", ")}
          </h3>
          <CutPlan batch={batch} />
        </div>
      ))}
      {sheet !== undefined && sheet.batches.length > 0 && (
        <div class="buttons">
          <a class="button main" href={`${home}/cut-sheet?paper=a4`} target="_blank" rel="noreferrer">
            Cut sheet for A4
          </a>
          <a class="button" href={`${home}/cut-sheet?paper=letter`} target="_blank" rel="noreferrer">
            Cut sheet for Letter
          </a>
        </div>
      )}
      {sheet !== undefined && sheet.batches.length === 0 && sheet.open.length === 0 && (
        <p class="empty">Nothing is left to cut: every specimen has its cut length.</p>
      )}
    </Section>
  );
}

/** Says of all specimens that were not cut yet what they are to come out as. */
function WantedForAll({ overview }: { readonly overview: SeriesOverview }) {
  const uncut = overview.specimens.filter(({ cutLengthMm }) => cutLengthMm === undefined);
  const before = uncut.find(({ wanted }) => wanted !== undefined)?.wanted;
  const [text, setText] = useState("");
  const [measure, setMeasure] = useState<Wanted["measure"]>(before?.measure ?? "inside");
  const [pins, setPins] = useState({ nearPinMm: "", farPinMm: "" });
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  if (uncut.length === 0) return null;

  async function give(): Promise<void> {
    const wanted = readWanted(text);
    const near = typedQuantity(pins.nearPinMm || "0", measures.mm, "nearPinMm");
    const far = typedQuantity(pins.farPinMm || "0", measures.mm, "farPinMm");
    const wrong = [wanted, near, far].flatMap((one) => (one.ok ? [] : one.problems));
    setProblems(wrong);
    if (!wanted.ok || !near.ok || !far.ok) return announce("Not kept. Look at the marked fields.");
    const how = { ...wanted.value, measure, nearPinMm: near.value, farPinMm: far.value };
    for (const [at, { id, wanted: shown, ...known }] of uncut.entries()) {
      // A row may just have been kept from the table: only another wanted length stands in the way.
      const fresh = await ask<StoredRecord<"specimen">>("GET", `/api/records/specimen/${id}`);
      const same = fresh.ok && JSON.stringify(fresh.value.wanted) === JSON.stringify(shown);
      const { revision } = same ? fresh.value : known;
      const answer = await ask<StoredRecord<"specimen">>(
        "PATCH",
        `/api/records/specimen/${id}`,
        { revision, patch: { wanted: how } },
        { quiet: at < uncut.length - 1 },
      );
      if (!answer.ok) return setProblems(answer.problems);
    }
    announce(`Wanted length kept for ${count(uncut.length, "specimen")}.`);
  }

  const named = ["wanted", "nearPinMm", "farPinMm"];
  return (
    <form
      class="fields"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void once(give);
      }}
    >
      <div class="pair">
        <TextField
          label="Length that they are to come out at"
          hint="Slack, or at a tension: 600 mm at 5 kN."
          value={text}
          onInput={setText}
          problems={problemsOf(problems, "wanted")}
        />
        <PickField
          label="Measured"
          value={measure}
          onInput={(picked) => setMeasure(lengthMeasures.find((one) => one === picked) ?? "inside")}
          options={lengthMeasures.map((one) => ({ value: one, label: measureWords[one] }))}
        />
        <TextField
          label="Near pin"
          hint="Its diameter; empty: laid flat."
          value={pins.nearPinMm}
          onInput={(nearPinMm) => setPins({ ...pins, nearPinMm })}
          problems={problemsOf(problems, "nearPinMm")}
        />
        <TextField
          label="Far pin"
          value={pins.farPinMm}
          onInput={(farPinMm) => setPins({ ...pins, farPinMm })}
          problems={problemsOf(problems, "farPinMm")}
        />
      </div>
      <Problems
        heading="Not kept for all"
        problems={problems.filter(({ where }) => !named.includes(where?.field ?? ""))}
      />
      <button type="submit" disabled={busy || text.trim() === ""}>
        Want this of the {count(uncut.length, "specimen")} not cut yet
      </button>
    </form>
  );
}
