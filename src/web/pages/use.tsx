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
      {(overview) => <UseOf overview={overview} />}
    </SeriesPage>
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
            <Care
              title="Never for people"
              whence="Life-safety use defers to certified gear, local codes and licensed practice"
            >
              These are results of a bench, not certificates. Where a person hangs from it, whatever the
              numbers say, use certified gear, the code that holds where you are, and somebody licensed to
              judge it.
            </Care>
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
              By what the stated strength is divided. The table below says what fields customarily use;
              choosing it is your judgement.
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

/** Design factors as fields customarily use them, each with where it stands. */
const customaryFactors: readonly {
  readonly field: string;
  readonly factor: string;
  readonly source: string;
}[] = [
  {
    field: "Fibre rope in general",
    factor: "5 to 12",
    source: "Cordage Institute CI 1401 (seen as a summary)",
  },
  {
    field: "Mooring lines, synthetic",
    factor: "2 (working load limit 50 % of the ship’s design breaking load)",
    source: "OCIMF Mooring Equipment Guidelines, 4th edition (seen as a summary)",
  },
  {
    field: "Marine fibre slings",
    factor: "at least 2.3 overall; material factor 2.0 for HMPE",
    source: "Marine lifting guideline 0027/ND, revision 11, 2016",
  },
  {
    field: "Permanent mooring, for creep",
    factor: "3 mobile, 5 to 8 long-term",
    source: "DNV-OS-E303",
  },
  { field: "Lifting slings", factor: "5 (US), 7 (European textile)", source: "from memory, not looked up" },
  {
    field: "Carrying people",
    factor: "10 or more, with certified gear only",
    source: "from memory, not looked up",
  },
  {
    field: "Highlines for recreation",
    factor: "2 to 3 on the peak load, stated against unrated parts",
    source: "common practice, no published source",
  },
];

function CustomaryFactors() {
  return (
    <Scroll label="Customary design factors">
      <table>
        <caption>Customary design factors</caption>
        <thead>
          <tr>
            <th scope="col">Field</th>
            <th scope="col">Factor</th>
            <th scope="col">Where it stands</th>
          </tr>
        </thead>
        <tbody>
          {customaryFactors.map((row) => (
            <tr key={row.field}>
              <th scope="row">{row.field}</th>
              <td>{row.factor}</td>
              <td class="aside">{row.source}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}
