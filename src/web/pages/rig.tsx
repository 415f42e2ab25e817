import { useRoute } from "preact-iso/router";
import type { StoredRecord } from "../../app/mod.ts";
import { Note, Opening, Section, Waiting } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { NeverForPeople, OverTime } from "../rig/cautions.tsx";
import { CustomaryFactors } from "../rig/customary-factors.tsx";
import { RigForm } from "../rig/rig-form.tsx";
import { RigShown } from "../rig/rig-shown.tsx";
import { useResource } from "../use-resource.ts";

/** One rig: drawn, assessed, changed, printed. */
export default function RigPage() {
  const { params } = useRoute();
  const rigId = params["rigId"] ?? "";
  const answer = useResource<StoredRecord<"rig">>(`/api/records/rig/${encodeURIComponent(rigId)}`);
  const home = `/series/${encodeURIComponent(params["id"] ?? "")}/use`;
  return (
    <>
      <Opening
        title={answer?.ok === true ? answer.value.name : "Rig"}
        chapter={
          <>
            6 of 6, <a href={home}>Use</a>
          </>
        }
      >
        In this rig, which part is the weakest, and with what margin? Nothing here is called safe.
      </Opening>
      {answer === undefined ? (
        <Waiting text="Opening the rig" />
      ) : answer.ok ? (
        <Rig key={answer.value.id} rig={answer.value} />
      ) : (
        <Problems heading="This rig cannot be opened" problems={answer.problems} />
      )}
    </>
  );
}

function Rig({ rig }: { readonly rig: StoredRecord<"rig"> }) {
  return (
    <>
      <RigShown rig={rig} />
      <Section
        title="Over time"
        margin={<Note>Long-held load, sun and heat, as far as they are known.</Note>}
      >
        <OverTime ownWords={rig.overTime} />
      </Section>
      <Section
        title="The factor asked for"
        margin={
          <Note>
            A factor means nothing without what it divides. Never compare working loads across fields without
            factor and basis.
          </Note>
        }
      >
        <p>
          {rig.wantedFactor === undefined
            ? "No factor was asked for. Ask the authority that governs your work."
            : `Asked for: ${rig.wantedFactor}${rig.wantedFactorSource === "" ? ", without a source" : `, by ${rig.wantedFactorSource}`}.`}
        </p>
        <CustomaryFactors />
      </Section>
      {rig.notes.trim() !== "" && (
        <Section title="Notes">
          <p class="own-words">{rig.notes}</p>
        </Section>
      )}
      <div class="on-screen">
        <Section title="Change this rig" margin={<NeverForPeople />}>
          <div class="buttons">
            <button type="button" onClick={() => print()}>
              Print this rig
            </button>
          </div>
          <RigForm rig={rig} />
        </Section>
      </div>
    </>
  );
}
