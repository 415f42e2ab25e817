import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { loadKinds } from "../../rig/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { Dialog } from "../parts/dialog.tsx";
import { PickField, TextField } from "../parts/field.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";
import { useResource } from "../use-resource.ts";
import { count } from "../words.ts";
import { NumberFields } from "./number-fields.tsx";
import { begun, fieldsOfRig, loadSpecs, type TypedRig } from "./rig-values.ts";

/** The rigs of the book: opened, begun, taken out. */
export function RigList({ seriesId }: { readonly seriesId: string }) {
  const answer = useResource<readonly StoredRecord<"rig">[]>("/api/records/rig");
  const [making, setMaking] = useState(false);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const { route } = useLocation();
  const rigs = answer?.ok === true ? answer.value : [];
  const pathOf = (id: string) => `/series/${encodeURIComponent(seriesId)}/use/${encodeURIComponent(id)}`;

  async function remove(rig: StoredRecord<"rig">): Promise<void> {
    const said = await ask("DELETE", `/api/records/rig/${rig.id}`);
    setProblems(said.ok ? [] : said.problems);
    announce(said.ok ? `${rig.name} taken out.` : `${rig.name} was not taken out.`);
  }

  return (
    <>
      {answer?.ok === true && rigs.length === 0 && (
        <p class="empty">No rig yet. Begin one with what pulls on it; its parts follow.</p>
      )}
      {answer?.ok === false && <Problems heading="The rigs cannot be listed" problems={answer.problems} />}
      {rigs.length > 0 && (
        <ul class="contents rigs">
          {rigs.map((rig) => (
            <li key={rig.id}>
              <span>
                <a class="entry" href={pathOf(rig.id)}>
                  {rig.name}
                </a>{" "}
                <span class="aside">
                  {rig.load.kind}, {count(rig.parts.length, "part")}
                </span>
              </span>
              <TakeOut name={rig.name} onTakeOut={() => remove(rig)} />
            </li>
          ))}
        </ul>
      )}
      <Problems heading="It stays in the book" problems={problems} />
      <button type="button" onClick={() => setMaking(true)}>
        New rig
      </button>
      {making && <NewRig onClose={() => setMaking(false)} onMade={({ id }) => route(pathOf(id))} />}
    </>
  );
}

/** Begins a rig with its name and what pulls on it. */
function NewRig(props: {
  readonly onClose: () => void;
  readonly onMade: (rig: StoredRecord<"rig">) => void;
}) {
  const [name, setName] = useState("");
  const [kind, setKind] = useState<TypedRig["kind"]>("straight pull");
  const [load, setLoad] = useState(begun(loadSpecs[kind]));
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  const form = useFirstWrong(problems);

  async function make(): Promise<void> {
    const { fields, problems: wrong } = fieldsOfRig({
      name,
      kind,
      load,
      parts: [],
      wantedFactor: "",
      wantedFactorSource: "",
      overTime: "",
      notes: "",
    });
    if (wrong.length > 0) return setProblems(wrong);
    const { wantedFactor: _, ...begin } = fields;
    const answer = await ask<StoredRecord<"rig">>("POST", "/api/records/rig", begin);
    if (answer.ok) props.onMade(answer.value);
    else setProblems(answer.problems);
  }

  const shown = /^(name$|load\.)/;
  return (
    <Dialog title="New rig" onClose={props.onClose}>
      <form
        ref={form}
        class="fields"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void once(make);
        }}
      >
        <div class="pair">
          <TextField
            label="Name of the rig"
            value={name}
            required
            onInput={setName}
            problems={problemsOf(problems, "name")}
          />
          <PickField
            label="How it is loaded"
            value={kind}
            options={loadKinds.map((value) => ({ value, label: value }))}
            onInput={(text) => {
              const next = text as TypedRig["kind"];
              setKind(next);
              setLoad(begun(loadSpecs[next]));
              setProblems([]);
            }}
          />
          <NumberFields
            specs={loadSpecs[kind]}
            texts={load}
            at="load."
            problems={problems}
            onText={(field, text) => setLoad((before) => ({ ...before, [field]: text }))}
          />
        </div>
        <Problems
          heading="The rig was not made"
          problems={problems.filter(({ where }) => !shown.test(where?.field ?? ""))}
        />
        <div class="buttons">
          <button type="submit" class="main" disabled={busy}>
            Begin this rig
          </button>
          <button type="button" onClick={props.onClose}>
            Leave it
          </button>
        </div>
      </form>
    </Dialog>
  );
}
