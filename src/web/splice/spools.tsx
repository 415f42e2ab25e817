import { useState } from "preact/hooks";
import type { NestedRope, SeriesOverview, SpoolAndRest } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { measures, typedQuantity } from "../book/quantity.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { TextField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems, problemsOf, Warnings } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { ask } from "../server.ts";
import { useResource } from "../use-resource.ts";
import { count } from "../words.ts";

type Plan = { readonly ropes: readonly NestedRope[]; readonly warnings: readonly Problem[] };

/** What is left of each spool, and the open cuts laid on them with least waste. */
export function Spools({ overview }: { readonly overview: SeriesOverview }) {
  const answer = useResource<readonly SpoolAndRest[]>("/api/spools");
  const spools = answer?.ok === true ? answer.value : [];
  return (
    <Section
      title="Spools"
      margin={
        <Note>
          Length bought, less every cut length in the book and what you took for other things. A specimen
          without a cut length is not taken off.
        </Note>
      }
    >
      {answer?.ok === true && spools.length === 0 && (
        <p class="empty">
          No spool yet. Make one in the <a href="/bench-book">bench book</a>; then the cuts can be laid on it.
        </p>
      )}
      {spools.length > 0 && (
        <>
          <Rests spools={spools} overview={overview} />
          <LayOut overview={overview} />
        </>
      )}
    </Section>
  );
}

function Rests(props: { readonly spools: readonly SpoolAndRest[]; readonly overview: SeriesOverview }) {
  return (
    <Scroll label="What is left of each spool">
      <table>
        <thead>
          <tr>
            <th scope="col">Spool</th>
            <th scope="col">Rope</th>
            <th scope="col" class="number">
              Left, m
            </th>
            <th scope="col" class="number">
              Left, kg
            </th>
            <th scope="col" class="number">
              Worth
            </th>
            <th scope="col">Cuts</th>
          </tr>
        </thead>
        <tbody>
          {props.spools.map(({ spool, rest }) => (
            <tr key={spool.id}>
              <th scope="row" class="several-words">
                {spool.name}
              </th>
              <td>{props.overview.ropes.find(({ id }) => id === spool.ropeId)?.name ?? ""}</td>
              <td class="number strong">
                {rest.leftM === undefined ? (
                  <span class="refused">length not given</span>
                ) : (
                  rest.leftM.toFixed(2)
                )}
              </td>
              <td class="number">{rest.leftKg?.toFixed(2) ?? "–"}</td>
              <td class="number">
                {rest.leftCost === undefined ? "–" : `${rest.leftCost.toFixed(2)} ${spool.currency}`}
              </td>
              <td>
                {rest.cuts}
                {rest.unmeasured > 0 ? `, ${rest.unmeasured} not measured` : ""}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

function LayOut({ overview }: { readonly overview: SeriesOverview }) {
  const [usable, setUsable] = useState("1 m");
  const [loss, setLoss] = useState("5 mm");
  const [balanced, setBalanced] = useState(false);
  const [plan, setPlan] = useState<Plan>();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();

  async function lay(): Promise<void> {
    setPlan(undefined);
    const usableMm = typedQuantity(usable, measures.mm, "usableMm");
    const lossMm = typedQuantity(loss, measures.mm, "lossMm");
    setProblems([usableMm, lossMm].flatMap((one) => (one.ok ? [] : one.problems)));
    if (!usableMm.ok || !lossMm.ok) return;
    const answer = await ask<readonly NestedRope[]>(
      "POST",
      `/api/series/${overview.series.id}/nesting`,
      { usableMm: usableMm.value, lossMm: lossMm.value, balanced },
      { quiet: true },
    );
    if (answer.ok) setPlan({ ropes: answer.value, warnings: answer.warnings });
    else setProblems(answer.problems);
  }

  const named = ["usableMm", "lossMm"];
  return (
    <form
      class="fields"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void once(lay);
      }}
    >
      <h3>The open cuts on the spools at hand</h3>
      <div class="pair">
        <TextField
          label="A remnant can be used from"
          value={usable}
          onInput={setUsable}
          problems={problemsOf(problems, "usableMm")}
        />
        <TextField
          label="Lost at each cut"
          value={loss}
          onInput={setLoss}
          problems={problemsOf(problems, "lossMm")}
        />
      </div>
      <label class="tick">
        <input
          type="checkbox"
          checked={balanced}
          onChange={(event) => setBalanced(event.currentTarget.checked)}
        />
        Share each level of the plan out evenly over the spools
      </label>
      <button type="submit" disabled={busy}>
        Lay the cuts out
      </button>
      <Problems
        heading="The cuts cannot be laid out"
        problems={problems.filter(({ where }) => !named.includes(where?.field ?? ""))}
      />
      <div role="status">
        {plan !== undefined && plan.ropes.length === 0 && <p>There is no open cut to lay out.</p>}
        {plan?.ropes.map(({ ropeId, ropeName, nesting }) => (
          <div key={ropeId} class="stack">
            <p>
              {ropeName}: {Math.round(nesting.wasteMm)} mm of waste on {count(nesting.opened, "opened spool")}
              {nesting.proven ? "; no plan wastes less." : `; at least ${Math.round(nesting.boundMm)} mm.`}
            </p>
            <ul>
              {nesting.spools
                .filter(({ cuts }) => cuts.length > 0)
                .map(({ spoolId, cuts, remnantMm }) => (
                  <li key={spoolId}>
                    {overview.spools.find(({ id }) => id === spoolId)?.name ?? spoolId}:{" "}
                    {cuts
                      .map(({ id, lengthMm }) => `${labelOf(overview, id)} ${Math.round(lengthMm)} mm`)
                      .join(", ")}
                    ; {(remnantMm / 1000).toFixed(2)} m left
                  </li>
                ))}
            </ul>
          </div>
        ))}
      </div>
      <Warnings warnings={plan?.warnings ?? []} />
    </form>
  );
}

function labelOf(overview: SeriesOverview, specimenId: string): string {
  return overview.specimens.find(({ id }) => id === specimenId)?.label ?? specimenId;
}
