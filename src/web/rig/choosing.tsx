import { useState } from "preact/hooks";
import type { ConnectorChoices } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { announce } from "../announce.tsx";
import { measures, typedQuantity } from "../book/quantity.ts";
import { useOneAtATime } from "../one-at-a-time.ts";
import { TextField } from "../parts/field.tsx";
import { Problems, problemsOf } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { useFirstWrong } from "../parts/use-first-wrong.ts";
import { ask } from "../server.ts";
import { force } from "../shown-units.ts";
import { count } from "../words.ts";

type Row = ConnectorChoices["choices"][number];

/** Which connectors of the book could carry a load with the factor wanted, and what each costs. */
export function Choosing() {
  const [load, setLoad] = useState("");
  const [factor, setFactor] = useState("5");
  const [pin, setPin] = useState("");
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [found, setFound] = useState<ConnectorChoices>();
  const [busy, once] = useOneAtATime();
  const form = useFirstWrong(problems);

  async function choose(): Promise<void> {
    const loadN = typedQuantity(load, measures.force, "loadN");
    const pinMm = pin.trim() === "" ? undefined : typedQuantity(pin, measures.mm, "pinDiameterMm");
    const wrong = [
      ...(loadN.ok ? [] : loadN.problems),
      ...(pinMm === undefined || pinMm.ok ? [] : pinMm.problems),
    ];
    if (wrong.length > 0 || !loadN.ok) return setProblems(wrong);
    const answer = await ask<ConnectorChoices>(
      "POST",
      "/api/connector-choices",
      {
        loadN: loadN.value,
        factor: Number(factor.replace(",", ".")),
        ...(pinMm?.ok === true ? { pinDiameterMm: pinMm.value } : {}),
      },
      { quiet: true },
    );
    setProblems(answer.ok ? [] : answer.problems);
    if (!answer.ok) return setFound(undefined);
    setFound(answer.value);
    announce(`${count(answer.value.choices.length, "connector")} found.`);
  }

  return (
    <>
      <form
        ref={form}
        class="fields"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void once(choose);
        }}
      >
        <div class="pair">
          <TextField
            label="Load on the connector"
            hint="In kN unless you say otherwise."
            value={load}
            required
            onInput={setLoad}
            problems={problemsOf(problems, "loadN")}
          />
          <TextField
            label="Factor wanted"
            hint="Of 1 or more."
            value={factor}
            inputMode="decimal"
            onInput={setFactor}
            problems={problemsOf(problems, "factor")}
          />
          <TextField
            label="Pin that it lies on"
            hint="In mm; may be empty."
            value={pin}
            onInput={setPin}
            problems={problemsOf(problems, "pinDiameterMm")}
          />
        </div>
        <div class="buttons">
          <button type="submit" disabled={busy}>
            Look through the book
          </button>
        </div>
        <Problems
          problems={problems.filter(
            ({ where }) => !["loadN", "factor", "pinDiameterMm"].includes(where?.field ?? ""),
          )}
        />
      </form>
      {found !== undefined && <Choices found={found} />}
    </>
  );
}

type Column = {
  readonly name: string;
  readonly value: (row: Row) => number | string | undefined;
  readonly shown: (row: Row) => string;
};

const figure = (value: number | undefined, unit = ""): string =>
  value === undefined ? "–" : `${formatNumber(value, { significant: 3 })}${unit}`;

const columns: readonly Column[] = [
  { name: "Connector", value: ({ name }) => name, shown: ({ name }) => name },
  { name: "Turns", value: ({ wraps }) => wraps, shown: ({ wraps }) => String(wraps) },
  { name: "Stated strength", value: ({ statedN }) => statedN, shown: ({ statedN }) => force(statedN) },
  { name: "Factor", value: ({ factor }) => factor, shown: ({ factor }) => figure(factor) },
  { name: "n", value: ({ n }) => n, shown: ({ n }) => String(n) },
  { name: "Mass", value: ({ massG }) => massG, shown: ({ massG }) => figure(massG, " g") },
  { name: "Rope", value: ({ ropeM }) => ropeM, shown: ({ ropeM }) => figure(ropeM, " m") },
  {
    name: "Bury",
    value: ({ buryDiameters }) => buryDiameters,
    shown: ({ buryDiameters }) => figure(buryDiameters, " d"),
  },
  { name: "D/d", value: ({ pinRatio }) => pinRatio, shown: ({ pinRatio }) => figure(pinRatio) },
];

function Choices({ found }: { readonly found: ConnectorChoices }) {
  const [by, setBy] = useState<{ readonly column: number; readonly down: boolean }>();
  const rows = sorted(found.choices, by);
  return (
    <div class="stack">
      {rows.length === 0 ? (
        <p class="empty">No cell of the book reaches that factor under this load.</p>
      ) : (
        <Scroll label="Connectors of the book for this load">
          <table class="choices">
            <caption>Lightest first, unless sorted otherwise. None of them is called safe.</caption>
            <thead>
              <tr>
                {columns.map(({ name }, index) => (
                  <th
                    key={name}
                    scope="col"
                    class={index === 0 ? undefined : "number"}
                    aria-sort={by?.column !== index ? undefined : by.down ? "descending" : "ascending"}
                  >
                    <button
                      type="button"
                      class="plain"
                      onClick={() => setBy({ column: index, down: by?.column === index && !by.down })}
                    >
                      {name}
                      <span aria-hidden="true">{by?.column !== index ? "" : by.down ? " ↓" : " ↑"}</span>
                    </button>
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map((row) => (
                <tr key={`${row.seriesId} ${row.cell}`}>
                  {columns.map(({ name, shown }, index) =>
                    index === 0 ? (
                      <th key={name} scope="row">
                        {shown(row)}
                        {row.simulated && <span class="stamp">simulated</span>}
                        {row.fewPulls && (
                          <small class="care-text">few pulls: one more may change it much</small>
                        )}
                      </th>
                    ) : (
                      <td key={name} class="number">
                        {shown(row)}
                      </td>
                    ),
                  )}
                </tr>
              ))}
            </tbody>
          </table>
        </Scroll>
      )}
      {found.leftOut.length > 0 && (
        <details>
          <summary>{count(found.leftOut.length, "cell")} left out</summary>
          <p class="aside">
            Their pulls are too few or too scattered to state a strength, or never reach the factor.
          </p>
          <ul class="plain-list">
            {found.leftOut.map(({ seriesId, cell, name, n }) => (
              <li key={`${seriesId} ${cell}`}>
                {name} ({count(n, "pull")})
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

/** Sorted by a column; what has no figure there comes last either way. */
function sorted(
  rows: readonly Row[],
  by?: { readonly column: number; readonly down: boolean },
): readonly Row[] {
  const value = columns[by?.column ?? -1]?.value;
  if (value === undefined || by === undefined) return rows;
  return [...rows].sort((one, other) => {
    const [a, b] = [value(one), value(other)];
    if (a === undefined || b === undefined) return Number(a === undefined) - Number(b === undefined);
    const order = typeof a === "string" ? a.localeCompare(String(b)) : a - Number(b);
    return by.down ? -order : order;
  });
}
