import { useEffect, useMemo, useState } from "preact/hooks";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { AssessedPart, AssessedRig } from "../../rig/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { Note, Section, Waiting } from "../parts/page.tsx";
import { ProblemText, Warnings } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { useWidth } from "../parts/use-width.ts";
import { force, percent } from "../shown-units.ts";
import { useResource } from "../use-resource.ts";
import { NeverForPeople } from "./cautions.tsx";
import { SaveRig } from "./save-rig.tsx";

/** What comes of a rig: the drawing, the sentences, the parts in figures, and what is not in them. */
export function RigShown({ rig }: { readonly rig: StoredRecord<"rig"> }) {
  const answer = useResource<AssessedRig>(`/api/rigs/${encodeURIComponent(rig.id)}/assessment`);
  if (answer === undefined) return <Waiting text="Working out the rig" />;
  if (!answer.ok) return <Unassessed problems={answer.problems} />;
  const { value: assessed, warnings } = answer;
  const simulated = warnings.some(({ code }) => code === "RIG_SIMULATED");
  return (
    <>
      <Section wide title="As it hangs" margin={<NeverForPeople />}>
        {simulated && (
          <p>
            <span class="stamp">simulated</span> Pulls in this rig were made by a program. They permit nothing
            at all.
          </p>
        )}
        <Drawing rig={rig} assessed={assessed} simulated={simulated} />
        <div class="on-screen">
          <SaveRig rig={rig} assessed={assessed} warnings={warnings} />
        </div>
      </Section>
      <Section title="What it comes to">
        <ol class="findings">
          {assessed.sentences.map((sentence) => (
            <li key={sentence}>
              <p class="sentence">{sentence}</p>
            </li>
          ))}
        </ol>
        <Warnings heading="Doubts" warnings={warnings.filter(({ code }) => code !== "RIG_SIMULATED")} />
      </Section>
      <Section
        wide
        title="Part by part"
        margin={
          <>
            <Note>
              <b>Margin</b>: the stated strength over the highest force. Pulls state their 95/95 lower
              tolerance bound, a rating what it is said to be.
            </Note>
            <Note>
              <b>First to fail</b>: of 100 such rigs loaded until something gives way, in how many it is this
              part. <b>Gives way</b>: the chance of it at this load. Few pulls make both wide, which is in
              them.
            </Note>
            <Note>
              <b>A tenth stronger</b>: by how much the load that brings a chance of 1 in 1000 would rise.
            </Note>
          </>
        }
      >
        <Parts parts={assessed.parts} wantedFactor={rig.wantedFactor} />
      </Section>
      <Section title="Not considered">
        <ul class="plain-list">
          {assessed.notConsidered.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      </Section>
    </>
  );
}

/** Why nothing can be said of the rig; its form below is the way out. */
function Unassessed({ problems }: { readonly problems: readonly Problem[] }) {
  return (
    <Section title="Nothing can be said yet" margin={<NeverForPeople />}>
      <div class="problems" role="status">
        <b>This rig cannot be assessed</b>
        <ul>
          {problems.map((problem) => (
            <li key={`${problem.where?.field} ${problem.message}`}>
              <ProblemText problem={problem} />
            </li>
          ))}
        </ul>
      </div>
    </Section>
  );
}

function Drawing(props: {
  readonly rig: StoredRecord<"rig">;
  readonly assessed: AssessedRig;
  readonly simulated: boolean;
}) {
  const { rig, assessed, simulated } = props;
  const { place, width } = useWidth<HTMLDivElement>();
  const [draw, setDraw] = useState<typeof import("../figures.ts").drawRig>();
  useEffect(() => {
    import("../figures.ts").then(({ drawRig }) => setDraw(() => drawRig));
  }, []);
  const drawing = useMemo(
    () =>
      width === 0 || draw === undefined || rig.parts.length !== assessed.parts.length
        ? undefined
        : draw(rig, assessed, { id: "rig", width: Math.max(300, Math.min(width, 900)), simulated }),
    [rig, assessed, simulated, width, draw],
  );
  return (
    <div
      ref={place}
      class="figure-from-report rig-drawing"
      // The drawing is our own: src/report escapes every text that goes into it.
      dangerouslySetInnerHTML={{ __html: drawing ?? "" }}
    />
  );
}

function Parts(props: {
  readonly parts: readonly AssessedPart[];
  readonly wantedFactor: number | undefined;
}) {
  const most = Math.max(...props.parts.map(({ chanceFirst }) => chanceFirst ?? 0));
  const gains = Math.max(...props.parts.map(({ gain }) => gain ?? 0));
  return (
    <Scroll label="The rig part by part">
      <table class="rig-parts">
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col" class="number">
              Force
            </th>
            <th scope="col" class="number">
              Stated strength
            </th>
            <th scope="col">By</th>
            <th scope="col" class="number">
              n
            </th>
            <th scope="col" class="number">
              Margin
            </th>
            <th scope="col" class="number">
              Gives way
            </th>
            <th scope="col" class="number">
              First to fail
            </th>
            <th scope="col" class="number">
              A tenth stronger
            </th>
          </tr>
        </thead>
        <tbody>
          {props.parts.map((part, index) => {
            const first = (part.chanceFirst ?? 0) > most - 1e-6;
            return (
              // Two parts may bear the same name.
              <tr key={index} class={first ? "first-to-fail" : undefined}>
                <th scope="row">
                  {index + 1}. {part.name}
                  {first && <small>likeliest to give way first</small>}
                </th>
                <td class="number">{rangeText(part.force.lowN, part.force.highN)}</td>
                <td class="number">
                  {part.statedN === undefined ? <span class="refused">not stated</span> : force(part.statedN)}
                </td>
                <td>{part.statedBy}</td>
                <td class="number">{part.n ?? "–"}</td>
                <td class="number strong">
                  {part.margin === undefined ? (
                    <span class="refused">none</span>
                  ) : (
                    formatNumber(part.margin, { significant: 2 })
                  )}
                  {part.margin !== undefined &&
                    props.wantedFactor !== undefined &&
                    part.margin < props.wantedFactor && <small class="care-text">below the factor</small>}
                </td>
                <td class="number">{chanceText(part.chanceFails)}</td>
                <td class="number">{part.chanceFirst === undefined ? "–" : percent(part.chanceFirst)}</td>
                <td class="number">
                  {part.gain === undefined ? "–" : `+${percent(part.gain)}`}
                  {part.gain !== undefined && part.gain > gains - 1e-9 && props.parts.length > 1 && (
                    <small>helps most</small>
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Scroll>
  );
}

function rangeText(lowN: number, highN: number): string {
  const [low, high] = [force(lowN), force(highN)];
  return low === high ? high : `${low} to ${high}`;
}

function chanceText(chance: number | undefined): string {
  if (chance === undefined) return "–";
  if (chance < 1e-6) return "under 1 in a million";
  return chance < 0.01 ? `1 in ${Number((1 / chance).toPrecision(2))}` : percent(chance);
}
