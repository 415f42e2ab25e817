import { formatNumber } from "../../units/mod.ts";
import { PickField, TextField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems, problemsOf, Warnings } from "../parts/problems.tsx";
import { count } from "../words.ts";
import type { PlanningProps } from "./planning-props.ts";

/** Rope, mass, money and time of the specimens still wanted. */
export function WhatItTakes({ overview, plan, typed, put, problems }: PlanningProps) {
  const { ropes, recipes } = overview;
  const named = (records: readonly { readonly id: string; readonly name: string }[]) =>
    records.map(({ id, name }) => ({ value: id, label: name }));
  return (
    <Section
      id="what-it-takes"
      title="What it takes"
      margin={
        <Note>
          Cut lengths by the recipe, with the bury of each level. Trials, tails and mistakes come on top. Cost
          where every spool chosen above has its price.
        </Note>
      }
    >
      <div class="pair">
        {typed.spoolIds.length === 0 && (
          <PickField
            label="Rope"
            value={typed.ropeId}
            none="not said"
            options={named(ropes)}
            onInput={(ropeId) => put({ ropeId })}
            problems={problemsOf(problems, "ropeId")}
          />
        )}
        <PickField
          label="Recipe"
          value={typed.recipeId}
          none="not said"
          options={named(recipes)}
          onInput={(recipeId) => put({ recipeId })}
          problems={problemsOf(problems, "recipeId")}
        />
        <TextField
          label="Finished length, mm"
          hint="Inside, slack"
          value={typed.length}
          inputMode="decimal"
          onInput={(length) => put({ length })}
          problems={problemsOf(problems, "lengthMm")}
        />
        <TextField
          label="Minutes for each specimen"
          hint="Making, pulling, judging"
          value={typed.minutes}
          inputMode="decimal"
          onInput={(minutes) => put({ minutes })}
          problems={problemsOf(problems, "minutes")}
        />
      </div>
      {plan !== undefined && <Taken plan={plan} />}
    </Section>
  );
}

function Taken({ plan: { budget, time, order } }: { readonly plan: NonNullable<PlanningProps["plan"]> }) {
  const specimens = order.ok ? order.value.length : 0;
  return (
    <div role="status">
      {budget === undefined && specimens > 0 && (
        <p class="empty">Rope (or a spool above), recipe and length say how much rope it is.</p>
      )}
      {budget?.ok === false && <Problems heading="Cannot be cut so" problems={budget.problems} />}
      <dl class="facts">
        {budget?.ok === true && (
          <>
            {budget.value.cuts.map(({ buryDiameters, specimens: some, cutLengthMm }) => (
              <div key={buryDiameters ?? "all"}>
                <dt>
                  {count(some, "specimen")}
                  {buryDiameters === undefined ? "" : ` at ${Number(buryDiameters.toPrecision(4))} d`}
                </dt>
                <dd>{formatNumber(cutLengthMm, { decimals: 0 })} mm each</dd>
              </div>
            ))}
            <div>
              <dt>Rope</dt>
              <dd>
                <b>{formatNumber(budget.value.ropeM, { decimals: 2 })} m</b>
              </dd>
            </div>
            {budget.value.massG !== undefined && (
              <div>
                <dt>Mass</dt>
                <dd>{formatNumber(budget.value.massG, { decimals: 0 })} g</dd>
              </div>
            )}
            {budget.value.cost !== undefined && (
              <div>
                <dt>Cost</dt>
                <dd>
                  {formatNumber(budget.value.cost.value, { decimals: 2 })} {budget.value.cost.currency}
                </dd>
              </div>
            )}
          </>
        )}
        {time !== undefined && (
          <div>
            <dt>
              Time, {formatNumber(time.minutesEach, { decimals: 0 })} min each ({time.says})
            </dt>
            <dd>{formatNumber(time.totalMinutes / 60, { decimals: 1 })} h</dd>
          </div>
        )}
      </dl>
      {budget?.ok === true && <Warnings warnings={budget.warnings} />}
    </div>
  );
}
