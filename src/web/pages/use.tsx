import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import type { CellFindings, SeriesFindings, StatedBy } from "../../findings/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { TextField } from "../parts/field.tsx";
import { Given } from "../parts/given.tsx";
import { Care, Note, Section, SeriesPage, Waiting } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { NeverForPeople } from "../rig/cautions.tsx";
import { Choosing } from "../rig/choosing.tsx";
import { CustomaryFactors } from "../rig/customary-factors.tsx";
import { RigList } from "../rig/rig-list.tsx";
import { force } from "../shown-units.ts";
import { useResource } from "../use-resource.ts";

/** Use: what the numbers of a series permit in a rig, and what they do not. */
export default function Use() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  return (
    <SeriesPage
      key={id}
      id={id}
      title="Use"
      chapter="6 of 6"
      intro="What these pulls permit in a rig, and what they do not. Nothing here is called safe."
    >
      {(overview) => (
        <>
          <RigsAndChoice seriesId={overview.series.id} />
          <UseOf overview={overview} />
        </>
      )}
    </SeriesPage>
  );
}

/** What needs no judgement of this series: rigs and connectors are the whole book's. */
function RigsAndChoice({ seriesId }: { readonly seriesId: string }) {
  return (
    <>
      <Section
        title="Rigs of the book"
        margin={
          <>
            <NeverForPeople />
            <Note>
              A rig is the parts in a chain between two ends under a load: connectors from the book, bought
              parts, rope, anchors. Each part counts; the weakest says what the whole holds.
            </Note>
          </>
        }
      >
        <RigList seriesId={seriesId} />
      </Section>
      <Section
        wide
        title="Choosing a connector"
        margin={
          <Note>
            Every cell of every series in the book, with the fewest turns that reach the factor. Mass, rope
            and bury are means of what was made. Two pulls that happen to lie close together state a strength
            as well: look at n.
          </Note>
        }
      >
        <Choosing />
      </Section>
    </>
  );
}

function UseOf({ overview }: { readonly overview: SeriesOverview }) {
  const answer = useResource<SeriesFindings>(`/api/series/${overview.series.id}/findings`);
  const [typed, setTyped] = useState("5");
  if (answer === undefined) return <Waiting text="Judging the pulls" />;
  if (!answer.ok) return <Problems heading="The series cannot be judged" problems={answer.problems} />;
  const cells = answer.value.cells.filter((cell) => cell.n + cell.stopped > 0);
  const factor = Number(typed.replace(",", "."));
  const usable = Number.isFinite(factor) && factor >= 1;
  return (
    <>
      <Section
        title="Divided by a design factor"
        margin={
          <>
            <NeverForPeople />
            <Care title="The weakest part counts" whence="Usual cautions of the trade">
              A chain of parts is weaker than its weakest part alone: each of ten links has its own chance to
              be the bad one. Pins, edges and what the connector is made fast to count as parts.
            </Care>
          </>
        }
      >
        {overview.series.simulated && (
          <p>
            <span class="stamp">simulated</span> These pulls were made by a program. They permit nothing at
            all.
          </p>
        )}
        {cells.length === 0 ? (
          <p class="empty">
            No cell has a pull that counts yet, so nothing can be said.{" "}
            <a href={`/series/${overview.series.id}/pull`}>Say at Pull</a> what happened to the specimens.
          </p>
        ) : (
          <>
            <div class="short">
              <TextField
                label="Design factor"
                inputMode="decimal"
                value={typed}
                onInput={setTyped}
                problems={
                  usable
                    ? []
                    : [
                        {
                          code: "INPUT_FIELD",
                          message: "This is no design factor.",
                          found: typed,
                          expected: "a number of 1 or more, such as 5",
                        },
                      ]
                }
              />
            </div>
            <p class="aside">
              By what the stated strength is divided. The table below says what fields customarily use; which
              one governs is for the authority over your work.
            </p>
            {usable && <Loads cells={cells} statedBy={answer.value.statedBy} factor={factor} />}
          </>
        )}
      </Section>
      <Section
        title="What is customary"
        margin={
          <Note>
            A factor means nothing without what it divides. Some fields divide a minimum, some a mean, some a
            published figure: never compare working loads across fields without factor and basis.
          </Note>
        }
      >
        <CustomaryFactors />
      </Section>
      <Section title="What the numbers do not permit">
        <ul class="plain-list">
          <li>To speak of another rope, size, coating, recipe or maker than those that were pulled.</li>
          <li>To speak of a rope that is used, wet, warm, dirty, bent over an edge or long under load.</li>
          <li>
            To speak of shock: HMPE hardly stretches, so a fall or a jerk loads it far above the weight.
          </li>
          <li>To add up parallel parts: wraps and legs share only as well as lengths and friction allow.</li>
          <li>To call anything safe.</li>
        </ul>
      </Section>
    </>
  );
}

function Loads({
  cells,
  statedBy,
  factor,
}: {
  readonly cells: readonly CellFindings[];
  readonly statedBy: StatedBy;
  readonly factor: number;
}) {
  return (
    <Scroll label="Stated strengths and working loads">
      <table>
        <caption>Stated strength, and the same divided by {factor}</caption>
        <thead>
          <tr>
            <th scope="col">Cell</th>
            <th scope="col">By</th>
            <th scope="col" class="number">
              n
            </th>
            <th scope="col" class="number">
              Stated strength
            </th>
            <th scope="col" class="number">
              Working load
            </th>
          </tr>
        </thead>
        {cells.map((cell) => (
          <tbody key={cell.label}>
            {methodsOf(cell, statedBy).map(({ name, bound }, at) => (
              <tr key={name}>
                {at === 0 && (
                  <th scope="rowgroup" rowSpan={methodsOf(cell, statedBy).length}>
                    {cell.label}
                  </th>
                )}
                <td>{name}</td>
                <td class="number">{cell.n}</td>
                <td class="number">
                  <Given of={bound}>{force}</Given>
                </td>
                <td class="number strong">
                  {bound.ok && bound.value > 0 ? (
                    force(bound.value / factor)
                  ) : (
                    <span class="refused">not stated</span>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        ))}
      </table>
    </Scroll>
  );
}

function forceOf(bound: CellFindings["bound"]): Result<number> {
  return bound.ok ? { ...bound, value: bound.value.boundN } : bound;
}

function methodsOf(
  cell: CellFindings,
  statedBy: StatedBy,
): readonly { readonly name: string; readonly bound: Result<number> }[] {
  return [
    { name: statedBy.name, bound: forceOf(cell.bound) },
    { name: "mean − 3 SD", bound: cell.meanMinus3SdN },
    { name: "lowest pulled", bound: cell.lowestN },
  ];
}
