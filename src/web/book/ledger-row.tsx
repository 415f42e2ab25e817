import { Fragment } from "preact";
import type { SeriesOverview } from "../../app/mod.ts";
import { Choice, type Option } from "../parts/choice.tsx";
import { Problems } from "../parts/problems.tsx";
import { selectedOnArrival } from "../parts/selected-on-arrival.ts";
import { TakeOut } from "../parts/take-out.tsx";
import { type Wanted, wantedText } from "../splice/wanted.ts";
import type { Ledger, Row } from "./ledger-rows.ts";
import { SaveTrouble, SaveWord } from "./save-state.tsx";
import { type Column, levelText } from "./specimen-rows.ts";

/** One row of the ledger, with what stands in the way of keeping it beneath it. */
export function LedgerRow(props: {
  readonly row: Row;
  readonly ledger: Ledger;
  readonly sizes: ReadonlyMap<string, number>;
  readonly onMake: (row: Row, column: Column, name: string) => void;
}) {
  const { row, ledger } = props;
  const record = row.saver.record.value;
  const state = row.saver.state.value;
  const name = record?.label ?? row.typed["label"] ?? "new specimen";
  const problems = Object.values(row.wrong).flat();
  const troubled = problems.length > 0 || state.kind === "refused" || state.kind === "changed";
  return (
    <Fragment>
      <tr>
        {ledger.columns.map((column, at) => {
          const Frame = at === 0 ? "th" : "td";
          return (
            <Frame
              key={column.key}
              {...(at === 0 ? { scope: "row" as const } : {})}
              class={column.as === "length" ? "length" : undefined}
            >
              <Cell
                {...props}
                column={column}
                name={name}
                hint={ledger.hintOf(row, column)}
                invalid={
                  row.wrong[column.key] !== undefined ||
                  (state.kind === "refused" &&
                    state.problems.some(({ where }) => where?.field?.startsWith(column.key) === true))
                }
              />
            </Frame>
          );
        })}
        <td class="row-state">
          <SaveWord saver={row.saver} />{" "}
          {record !== undefined && <TakeOut name={name} tabIndex={-1} onTakeOut={() => ledger.remove(row)} />}
        </td>
      </tr>
      {troubled && (
        <tr class="row-problems">
          <td colSpan={ledger.columns.length + 1}>
            <div class="in-sight">
              <Problems heading={name} problems={problems} />
              <SaveTrouble
                saver={row.saver}
                nameOf={(field) => ledger.columns.find((column) => column.key === field)?.label ?? field}
                show={(value, field) =>
                  value === undefined
                    ? "(empty)"
                    : field === "wanted"
                      ? wantedText(value as Wanted)
                      : typeof value === "object"
                        ? JSON.stringify(value)
                        : String(value)
                }
                onTheirs={() => ledger.takeTheirs(row)}
              />
            </div>
          </td>
        </tr>
      )}
    </Fragment>
  );
}

function Cell(props: {
  readonly row: Row;
  readonly column: Column;
  readonly ledger: Ledger;
  readonly sizes: ReadonlyMap<string, number>;
  readonly name: string;
  readonly hint: string;
  readonly invalid: boolean;
  readonly onMake: (row: Row, column: Column, name: string) => void;
}) {
  const { row, column, ledger, name, hint, onMake } = props;
  const common = {
    "aria-label": `${column.label}, ${name}`,
    size: props.sizes.get(column.key) ?? 8,
    ...(props.invalid ? { "aria-invalid": "true" as const } : {}),
  };
  const data = { "data-row": row.key, "data-column": column.key } as const;
  const refers = column.as === "rope" || column.as === "spool" || column.as === "recipe";
  if (!refers && column.as !== "level")
    return (
      <input
        {...common}
        {...data}
        autoComplete="off"
        value={ledger.textOf(row, column)}
        placeholder={hint}
        {...(column.as === "length" ? { inputMode: "decimal" as const } : {})}
        {...selectedOnArrival()}
        onInput={(event) => ledger.change(row, column, event.currentTarget.value)}
        onBlur={() => ledger.commit(row, column)}
      />
    );
  return (
    <Choice
      {...common}
      data={data}
      text={ledger.textOf(row, column)}
      options={optionsOf(column, ledger.book)}
      onText={(text) => ledger.change(row, column, text)}
      onPick={(option) => {
        ledger.change(row, column, option.label);
        ledger.commit(row, column);
      }}
      onLeave={() => ledger.commit(row, column)}
      {...(refers
        ? { newLabel: `Make a new ${column.as}`, onNew: (text: string) => onMake(row, column, text) }
        : {})}
    />
  );
}

function optionsOf(column: Column, book: SeriesOverview): readonly Option[] {
  const named = (records: readonly { readonly id: string; readonly name: string }[]): readonly Option[] =>
    records.map(({ id, name }) => ({ key: id, label: name }));
  switch (column.as) {
    case "rope":
      return named(book.ropes);
    case "spool":
      return named(book.spools);
    case "recipe":
      return named(book.recipes);
    default:
      return (column.factor?.levels ?? []).map((level) => ({
        key: levelText(level),
        label: levelText(level),
      }));
  }
}
