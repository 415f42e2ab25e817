import { useState } from "preact/hooks";
import type { StoredRecord } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { levelText } from "../book/specimen-rows.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { TextField } from "../parts/field.tsx";
import { Note, Section } from "../parts/page.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { ask } from "../server.ts";
import { count } from "../words.ts";
import { specimensAsked } from "./asked.ts";
import type { PlanningProps } from "./planning-props.ts";

/** The drawn order of making and pulling, as a table that prints, and the specimens of it made in one go. */
export function InWhichOrder({ overview, plan, typed, put, problems }: PlanningProps) {
  const { series, spools, ropes } = overview;
  const [refused, setRefused] = useState<readonly Problem[]>([]);
  const [busy, once] = useOneAtATime();
  const order = plan?.order;

  async function make(): Promise<void> {
    setRefused([]);
    const answer = await ask<readonly StoredRecord<"specimen">[]>(
      "POST",
      `/api/series/${encodeURIComponent(series.id)}/planned-specimens`,
      specimensAsked(typed),
    );
    if (!answer.ok) return setRefused(answer.problems);
    announce(`${count(answer.value.length, "specimen")} made, in the drawn order.`);
  }

  return (
    <Section
      wide
      id="plan-order"
      title="In which order"
      margin={
        <>
          <Note>
            Each round pulls every cell once, in a drawn order: what drifts over the day (oil, cell, hands)
            then touches all cells alike. Spools and makers are used evenly in each cell.
          </Note>
          <Note>The seed draws the order: the same seed draws the same one.</Note>
        </>
      }
    >
      {spools.length > 0 && (
        <fieldset class="plan-spools">
          <legend class="label">Spools to take from</legend>
          {spools.map(({ id, name, ropeId }) => (
            <label key={id} class="check">
              <input
                type="checkbox"
                checked={typed.spoolIds.includes(id)}
                onChange={(event) =>
                  put({
                    spoolIds: event.currentTarget.checked
                      ? [...typed.spoolIds, id]
                      : typed.spoolIds.filter((one) => one !== id),
                  })
                }
              />
              {name}, {ropes.find((rope) => rope.id === ropeId)?.name}
            </label>
          ))}
          <Problems problems={problemsOf(problems, "spoolIds")} />
        </fieldset>
      )}
      <div class="pair">
        <TextField
          label="Makers"
          hint="One after another: Kim, Ola"
          value={typed.makers}
          onInput={(makers) => put({ makers })}
          problems={problemsOf(problems, "makers")}
        />
        <TextField
          label="Seed"
          value={typed.seed}
          inputMode="numeric"
          onInput={(seed) => put({ seed })}
          problems={problemsOf(problems, "seed")}
        />
      </div>
      {order !== undefined && !order.ok && (
        <p class="empty">{order.problems.map(({ message }) => message).join(" ")}</p>
      )}
      {order?.ok === true && order.value.length === 0 && (
        <p class="empty">Every cell has the specimens that the plan asks for.</p>
      )}
      {order?.ok === true && order.value.length > 0 && (
        <>
          <Scroll label="The order of pulling">
            <table class="order-table">
              <caption>
                {count(order.value.length, "specimen")} still wanted, in the order of pulling (seed{" "}
                {typed.seed || 1})
              </caption>
              <thead>
                <tr>
                  <th scope="col">Pull</th>
                  <th scope="col">Round</th>
                  {series.factors.map(({ name, unit }) => (
                    <th key={name} scope="col">
                      {unit === "" ? name : `${name}, ${unit}`}
                    </th>
                  ))}
                  <th scope="col">Spool</th>
                  <th scope="col">Maker</th>
                </tr>
              </thead>
              <tbody>
                {order.value.map((one) => (
                  <tr key={one.order}>
                    <th scope="row">{one.order}</th>
                    <td>{one.block}</td>
                    {series.factors.map(({ name }) => (
                      <td key={name}>{levelText(one.levels[name] ?? "")}</td>
                    ))}
                    <td>{spools.find(({ id }) => id === one.spool)?.name ?? "not said"}</td>
                    <td>{one.maker ?? "not said"}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </Scroll>
          <div class="buttons">
            <button type="button" class="main" disabled={busy} onClick={() => void once(make)}>
              Make these {count(order.value.length, "specimen")}
            </button>
            <button type="button" onClick={printOrder}>
              Print the order
            </button>
          </div>
          <p class="aside">All of them or none. Recipe and length are taken from “What it takes” below.</p>
        </>
      )}
      <Problems heading="No specimen was made" problems={refused} />
    </Section>
  );
}

/** Prints the order alone; the style sheet leaves out the rest of the page. */
function printOrder(): void {
  document.documentElement.dataset["print"] = "order";
  addEventListener(
    "afterprint",
    () => {
      delete document.documentElement.dataset["print"];
    },
    { once: true },
  );
  print();
}
