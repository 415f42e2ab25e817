import type { Result } from "../../problem/mod.ts";
import { PickField, TextField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { problemsOf } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { forceUnit, percent } from "../shown-units.ts";
import type { PlanningProps } from "./planning-props.ts";

/** How many pulls a difference worth knowing takes, and what a lower bound at few pulls costs. */
export function HowManyPulls({ plan, typed, put, problems }: PlanningProps) {
  const inForce = typed.differenceIn === "force";
  return (
    <Section
      id="how-many-pulls"
      title="How many pulls it takes"
      margin={
        <>
          {plan !== undefined && (
            <Note>
              Scatter within a cell: <b>{percent(plan.scatter.cv)}</b>, {plan.scatter.says}.
            </Note>
          )}
          <Note>
            Pulls that count: add those that will be void. Two-sided t test at 5 %; scatter taken for normal.
          </Note>
        </>
      }
    >
      <div class="pair">
        <TextField
          label="Difference worth knowing"
          value={typed.difference}
          inputMode="decimal"
          onInput={(difference) => put({ difference })}
          problems={[...problemsOf(problems, "difference"), ...problemsOf(problems, "differenceN")]}
        />
        <PickField
          label="Told in"
          value={typed.differenceIn}
          options={[
            { value: "%", label: "% of the strength" },
            { value: "force", label: forceUnit.value },
          ]}
          onInput={(value) => put({ differenceIn: value === "force" ? "force" : "%" })}
        />
        {inForce && (
          <TextField
            label={`Strength expected, ${forceUnit.value}`}
            value={typed.strength}
            inputMode="decimal"
            onInput={(strength) => put({ strength })}
            problems={problemsOf(problems, "strengthN")}
          />
        )}
        <TextField
          label="Found how often, %"
          value={typed.power}
          inputMode="decimal"
          onInput={(power) => put({ power })}
          problems={problemsOf(problems, "power")}
        />
        <TextField
          label="Scatter within a cell, %"
          value={typed.cv}
          inputMode="decimal"
          placeholder={plan === undefined ? "" : percent(plan.scatter.cv).replace(" %", "")}
          onInput={(cv) => put({ cv })}
          problems={problemsOf(problems, "cv")}
        />
      </div>
      {plan !== undefined && (
        <>
          <HowManyAnswer plan={plan} />
          <Bounds plan={plan} />
        </>
      )}
    </Section>
  );
}

type Plan = NonNullable<PlanningProps["plan"]>;

function HowManyAnswer({ plan: { howMany, scatter, cells } }: { readonly plan: Plan }) {
  const { planned, pairs } = howMany;
  const [low, high] = howMany.range;
  return (
    <div class="stack" role="status">
      <p class="plan-answer">
        {said(howMany.pullsPerCell, (n) => (
          <>
            <b>{n} pulls in each of two cells</b> show a difference of {percent(howMany.difference)},{" "}
            {percent(howMany.power)} of the time
          </>
        ))}
        {scatter.range[0] < scatter.range[1] && low.ok && high.ok && (
          <>
            {" "}
            ({low.value} to {high.value} for a scatter of {percent(scatter.range[0])} to{" "}
            {percent(scatter.range[1])})
          </>
        )}
        .
        {pairs > 1 && (
          <>
            {" "}
            Where all {pairs} pairs of the {cells} cells are compared: {said(howMany.forAllPairs, String)}.
          </>
        )}
      </p>
      {planned !== undefined && (
        <p>
          The plan has {planned.pullsPerCell} in each cell: it would find that difference{" "}
          {said(planned.power, percent)} of the time. What it finds as often as asked is a difference of{" "}
          {percent(planned.difference)}.
        </p>
      )}
    </div>
  );
}

function Bounds({ plan: { bounds, pullsPerCell } }: { readonly plan: Plan }) {
  const name = `${percentWhole(bounds.content)}/${percentWhole(bounds.confidence)}`;
  return (
    <Scroll label="What a lower bound costs">
      <table class="plan-bounds">
        <caption>What a {name} lower bound costs: how far below the mean of n pulls it lies</caption>
        <thead>
          <tr>
            <th scope="col">Pulls</th>
            <th scope="col" class="number">
              Standard deviations
            </th>
            <th scope="col" class="number">
              Below the mean
            </th>
          </tr>
        </thead>
        <tbody>
          {bounds.rows.map(({ n, factor, below }) => (
            <tr key={n}>
              <th scope="row">
                {n}
                {n === pullsPerCell && <b> the plan</b>}
              </th>
              <td class="number">{factor.toFixed(2)}</td>
              <td class="number">{below < 1 ? percent(below) : "promises nothing"}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

function percentWhole(share: number): string {
  return String(Number((share * 100).toPrecision(4)));
}

/** A figure, or why there is none. */
export function said<T, W>(result: Result<T>, words: (value: T) => W): W | string {
  return result.ok ? words(result.value) : result.problems.map(({ message }) => message).join(" ");
}
