import { useEffect, useRef, useState } from "preact/hooks";
import type { CellForUse, StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { loadKinds, type PartPlace } from "../../rig/mod.ts";
import { announce } from "../announce.tsx";
import { useOneAtATime } from "../one-at-a-time.ts";
import { LongField, PickField, TextField } from "../parts/field.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";
import { useResource } from "../use-resource.ts";
import { NumberFields } from "./number-fields.tsx";
import { PartFields } from "./part-fields.tsx";
import { begun, fieldsOfRig, loadSpecs, newPart, type TypedRig, typedOfRig } from "./rig-values.ts";

/** A rig's load, its parts in order, the factor asked for, and what else weighs on it: all in one form. */
export function RigForm({ rig }: { readonly rig: StoredRecord<"rig"> }) {
  const [base, setBase] = useState(rig);
  const [typed, setTyped] = useState<TypedRig>(() => typedOfRig(rig));
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [changedMeanwhile, setChangedMeanwhile] = useState(false);
  const [busy, once] = useOneAtATime();
  const form = useFirstWrong(problems);
  const cells = useResource<readonly CellForUse[]>("/api/cells-for-use");
  // The part that was moved or added keeps the focus.
  const moved = useRef<number | undefined>(undefined);
  useEffect(() => {
    if (moved.current === undefined) return;
    const part = form.current?.querySelector(`[data-part="${moved.current}"]`);
    // An effect of a drawing before the part was added may come first: the part is not there yet.
    if (part === null || part === undefined) return;
    moved.current = undefined;
    if (!part.contains(document.activeElement)) part.querySelector<HTMLElement>("input")?.focus();
  });
  const set = (change: Partial<TypedRig>) => setTyped((before) => ({ ...before, ...change }));
  type Parts = TypedRig["parts"];
  const setParts = (change: (before: Parts) => Parts) =>
    setTyped((before) => ({ ...before, parts: change(before.parts) }));

  async function save(): Promise<void> {
    const { fields, problems: wrong } = fieldsOfRig(typed);
    if (wrong.length > 0) return refuseWith(wrong);
    const answer = await ask<StoredRecord<"rig">>("PATCH", `/api/records/rig/${base.id}`, {
      revision: base.revision,
      patch: fields,
    });
    if (!answer.ok) {
      setChangedMeanwhile(answer.status === 409);
      return refuseWith(answer.problems);
    }
    setBase(answer.value);
    setTyped(typedOfRig(answer.value));
    setProblems([]);
    announce("Rig kept.");
  }

  function refuseWith(wrong: readonly Problem[]): void {
    setProblems(wrong);
    announce("Not kept. Look at the marked fields.");
  }

  async function takeTheirs(): Promise<void> {
    const fresh = await ask<StoredRecord<"rig">>("GET", `/api/records/rig/${base.id}`);
    if (!fresh.ok) return setProblems(fresh.problems);
    setBase(fresh.value);
    setTyped(typedOfRig(fresh.value));
    setProblems([]);
    setChangedMeanwhile(false);
  }

  function move(index: number, by: -1 | 1): void {
    const to = index + by;
    const parts = [...typed.parts];
    const [part] = parts.splice(index, 1);
    if (part === undefined || to < 0 || to > parts.length) return;
    parts.splice(to, 0, part);
    moved.current = part.key;
    set({ parts });
    announce(`${part.name === "" ? "The part" : part.name} is now part ${to + 1} of ${parts.length}.`);
  }

  const shown = (field: string): boolean => /^(name|load\.|parts\[|wantedFactor)/.test(field);
  return (
    <form
      ref={form}
      class="fields rig-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void once(save);
      }}
    >
      <div class="pair">
        <TextField
          label="Name of the rig"
          value={typed.name}
          required
          onInput={(name) => set({ name })}
          problems={problemsOf(problems, "name")}
        />
        <PickField
          label="How it is loaded"
          value={typed.kind}
          options={loadKinds.map((value) => ({ value, label: value }))}
          onInput={(text) => {
            const kind = text as TypedRig["kind"];
            const kept = Object.fromEntries(
              Object.entries(typed.load).filter(([name]) => name === "loadN" || name === "weightN"),
            );
            set({ kind, load: { ...begun(loadSpecs[kind]), ...kept } });
          }}
        />
      </div>
      <div class="pair">
        <NumberFields
          specs={loadSpecs[typed.kind]}
          texts={typed.load}
          at="load."
          problems={problems}
          onText={(name, text) => set({ load: { ...typed.load, [name]: text } })}
        />
      </div>
      <h3>Parts, in order from the one end to the other</h3>
      {typed.parts.map((part, index) => (
        <PartFields
          key={part.key}
          part={part}
          index={index}
          last={index === typed.parts.length - 1}
          cells={cells?.ok === true ? cells.value : []}
          problems={problems}
          onChange={(changed) =>
            setParts((parts) => parts.map((one) => (one.key === part.key ? changed : one)))
          }
          onMove={(by) => move(index, by)}
          onTakeOut={() => setParts((parts) => parts.filter(({ key }) => key !== part.key))}
        />
      ))}
      <button
        type="button"
        onClick={() => {
          const part = newPart(placeUnder(typed.kind));
          moved.current = part.key;
          setParts((parts) => [...parts, part]);
        }}
      >
        Add a part
      </button>
      <h3>What your field asks for</h3>
      <div class="pair">
        <TextField
          label="Factor asked for"
          hint="Of 1 or more. What governs you is for your field’s authority to say."
          value={typed.wantedFactor}
          inputMode="decimal"
          onInput={(wantedFactor) => set({ wantedFactor })}
          problems={problems.filter(({ where }) => where?.field === "wantedFactor")}
        />
        <TextField
          label="Where that is written"
          value={typed.wantedFactorSource}
          onInput={(wantedFactorSource) => set({ wantedFactorSource })}
          problems={problemsOf(problems, "wantedFactorSource")}
        />
        <LongField
          label="What weighs on it over time"
          hint="In your own words: how long it stays loaded, sun, heat, wear, who looks at it and when."
          value={typed.overTime}
          onInput={(overTime) => set({ overTime })}
        />
        <LongField label="Notes" value={typed.notes} onInput={(notes) => set({ notes })} />
      </div>
      <Problems
        heading="Not kept"
        problems={problems.filter(({ where }) => !shown(where?.field ?? "") || where?.field === "load.kind")}
      />
      <div class="save-bar">
        <button type="submit" class="main" disabled={busy}>
          Keep the rig
        </button>
        {changedMeanwhile && (
          <button type="button" onClick={() => void once(takeTheirs)}>
            Take what the book has now
          </button>
        )}
      </div>
    </form>
  );
}

/** Where a part sits that nobody placed yet. */
function placeUnder(kind: TypedRig["kind"]): PartPlace {
  return kind === "lift" || kind === "basket" || kind === "choke" ? "in each leg" : "in the line";
}
