import { useSignal } from "@preact/signals";
import { Fragment } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { Choice, type Option } from "../parts/choice.tsx";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import type { BookKind } from "./kinds.ts";
import { RecordDialog } from "./record-form.tsx";
import { SaveTrouble, SaveWord } from "./save-state.tsx";
import { makeSaver, type Saver } from "./saver.ts";
import {
  type Column,
  cellPatch,
  cellText,
  columnsOf,
  levelText,
  nextLabel,
  type Specimen,
} from "./specimen-rows.ts";

type Row = {
  readonly key: string;
  readonly saver: Saver<"specimen">;
  /** What is typed into a cell and not yet heard back from the book. */
  readonly typed: Record<string, string>;
  readonly wrong: Record<string, readonly Problem[]>;
};

let rowsMade = 0;

/**
 * The specimen table, filled like a good ledger: arrows and Enter move, typing replaces, Escape puts back what was
 * there, Ctrl+D copies from above, and an empty row waits at the end. Every row keeps itself.
 */
export function SpecimenLedger({ overview }: { readonly overview: SeriesOverview }) {
  const columns = columnsOf(overview.series);
  const rows = useSignal<readonly Row[]>([]);
  const table = useRef<HTMLTableElement>(null);
  const [making, setMaking] = useState<{ kind: BookKind; name: string; row: Row; column: Column }>();
  const [, setTick] = useState(0);
  const redraw = (): void => setTick((tick) => tick + 1);
  const seriesId = overview.series.id;

  function makeRow(specimen?: Specimen): Row {
    rowsMade += 1;
    const row: Row = {
      key: `row-${rowsMade}`,
      typed: {},
      wrong: {},
      saver: makeSaver("specimen", specimen, {
        begin: { seriesId },
        ready: (fields) => typeof fields.label === "string" && fields.label !== "",
        onKept: (record) => {
          if (Object.keys(row.wrong).length === 0) for (const key of Object.keys(row.typed)) settle(row, key);
          announce(`${record.label} kept.`);
        },
        onRefused: () => announce("A row was not kept. Look at the marked cells."),
      }),
    };
    return row;
  }

  /** A cell's own text gives way to the book's, except where the typing goes on. */
  function settle(row: Row, key: string): void {
    const active = document.activeElement;
    const here =
      active instanceof HTMLElement && active.dataset["row"] === row.key && active.dataset["column"] === key;
    if (!here) delete row.typed[key];
  }

  // Rows follow the book: what others added appears, what was removed goes; the empty row stays last.
  const known = new Map(
    rows.value.flatMap((row) =>
      row.saver.record.value === undefined ? [] : [[row.saver.record.value.id, row] as const],
    ),
  );
  const fresh = overview.specimens.filter((one) => !known.has(one.id));
  const gone = rows.value.some((row) => {
    const record = row.saver.record.value;
    return record !== undefined && record.revision > 0 && removed.has(record.id);
  });
  useEffect(() => {
    for (const specimen of overview.specimens) known.get(specimen.id)?.saver.heard(specimen);
    const unsaved = rows.value.filter((row) => row.saver.record.value === undefined);
    const kept = rows.value.filter((row) => {
      const record = row.saver.record.value;
      return record !== undefined && !removed.has(record.id);
    });
    // A row that was just kept may reach the page twice: once by its own answer, once by the overview.
    const added = fresh.filter((one) => !removed.has(one.id)).map((one) => makeRow(one));
    const busy = unsaved.filter((row) => Object.keys(row.typed).length > 0);
    const empty = unsaved.find((row) => Object.keys(row.typed).length === 0) ?? makeRow();
    const next = [...kept, ...added, ...busy, empty];
    if (added.length > 0 || gone || next.length !== rows.value.length) rows.value = next;
  });

  function change(row: Row, column: Column, text: string): void {
    row.typed[column.key] = text;
    delete row.wrong[column.key];
    redraw();
  }

  /** A cell is judged and kept when it is left: half a date or half a name is no mistake while it is typed. */
  function commit(row: Row, column: Column): void {
    const text = row.typed[column.key];
    if (text === undefined) return;
    const record = row.saver.record.value;
    const answer = cellPatch(column, text, { levels: levelsOf(row) }, overview);
    if (text === cellText(column, record, overview) && row.saver.state.value.kind === "kept") {
      delete row.typed[column.key];
    } else if (answer.ok) {
      if (record === undefined) beginAsAbove(row);
      row.saver.put(answer.value);
      row.saver.flush();
    } else {
      row.wrong[column.key] = answer.problems;
    }
    redraw();
  }

  /** Levels as kept and as typed, since several of them travel as one field. */
  function levelsOf(row: Row): Specimen["levels"] {
    const levels: Specimen["levels"] = { ...row.saver.record.value?.levels };
    for (const column of columns) {
      const text = row.typed[column.key];
      if (column.as !== "level" || text === undefined) continue;
      const answer = cellPatch(column, text, { levels }, overview);
      if (answer.ok && answer.value.levels !== undefined && answer.value.levels !== null) {
        const name = column.factor?.name ?? "";
        const level = answer.value.levels[name];
        if (level === undefined) delete levels[name];
        else levels[name] = level;
      }
    }
    return levels;
  }

  /** A new row begins with the rope, spool, recipe and maker of the row above it. */
  function beginAsAbove(row: Row): void {
    const above = rows.value[rows.value.indexOf(row) - 1]?.saver.record.value;
    if (row.typed["label"] === undefined) {
      row.typed["label"] = nextLabel(above?.label ?? "");
      row.saver.put({ label: row.typed["label"] });
    }
    if (above === undefined) return;
    for (const column of columns) {
      if (!carried.has(column.key) || row.typed[column.key] !== undefined) continue;
      const text = cellText(column, above, overview);
      const answer = cellPatch(column, text, {}, overview);
      if (text === "" || !answer.ok) continue;
      row.typed[column.key] = text;
      row.saver.put(answer.value);
    }
  }

  function textOf(row: Row, column: Column): string {
    return row.typed[column.key] ?? cellText(column, row.saver.record.value, overview);
  }

  function focusCell(rowAt: number, columnAt: number): void {
    const row = rows.value[rowAt];
    const column = columns[columnAt];
    if (row === undefined || column === undefined) return;
    const cell = table.current?.querySelector<HTMLInputElement>(
      `input[data-row="${row.key}"][data-column="${CSS.escape(column.key)}"]`,
    );
    cell?.focus();
    cell?.select();
  }

  function onKeyDown(event: KeyboardEvent): void {
    const cell = event.target;
    if (!(cell instanceof HTMLInputElement) || cell.dataset["row"] === undefined) return;
    const rowAt = rows.value.findIndex((row) => row.key === cell.dataset["row"]);
    const columnAt = columns.findIndex((column) => column.key === cell.dataset["column"]);
    const row = rows.value[rowAt];
    const column = columns[columnAt];
    if (row === undefined || column === undefined) return;
    const whole = cell.selectionStart === 0 && cell.selectionEnd === cell.value.length;
    const atStart = whole || (cell.selectionEnd === 0 && cell.selectionStart === 0);
    const atEnd =
      whole || (cell.selectionStart === cell.value.length && cell.selectionEnd === cell.value.length);
    const move = (down: number, right: number): void => {
      event.preventDefault();
      focusCell(rowAt + down, columnAt + right);
    };
    if (event.key === "ArrowDown" && !event.altKey) move(1, 0);
    else if (event.key === "ArrowUp" && !event.altKey) move(-1, 0);
    else if (event.key === "Enter") move(event.shiftKey ? -1 : 1, 0);
    else if (event.key === "ArrowLeft" && atStart) move(0, -1);
    else if (event.key === "ArrowRight" && atEnd) move(0, 1);
    else if (event.key === "Escape") {
      event.preventDefault();
      putBack(row, column);
      cell.value = textOf(row, column);
      cell.select();
    } else if (event.key.toLowerCase() === "d" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      const above = rows.value[rowAt - 1];
      if (above === undefined || column.key === "label") return;
      change(row, column, textOf(above, column));
      commit(row, column);
    }
  }

  function putBack(row: Row, column: Column): void {
    delete row.wrong[column.key];
    delete row.typed[column.key];
    redraw();
  }

  async function remove(row: Row): Promise<void> {
    const record = row.saver.record.value;
    if (record === undefined) return;
    const answer = await ask<null>("DELETE", `/api/records/specimen/${record.id}`);
    if (answer.ok) {
      removed.add(record.id);
      rows.value = rows.value.filter((one) => one !== row);
      announce(`${record.label} taken out.`);
    } else {
      row.wrong["label"] = answer.problems;
      redraw();
    }
  }

  /** Columns are as wide as their longest entry, within reason. */
  const sizes = new Map(
    columns.map((column) => {
      const longest = Math.max(
        ...rows.value.map((row) => textOf(row, column).length),
        column.label.length * 0.8,
      );
      return [column.key, Math.round(Math.min(Math.max(longest, 5), 26))] as const;
    }),
  );

  const options = (column: Column): readonly Option[] => {
    if (column.as === "rope") return overview.ropes.map(optionOf);
    if (column.as === "spool") return overview.spools.map(optionOf);
    if (column.as === "recipe") return overview.recipes.map(optionOf);
    return (column.factor?.levels ?? []).map((level) => ({ key: levelText(level), label: levelText(level) }));
  };

  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="Specimens, a table to fill" tabIndex={0}>
        <table class="ledger" ref={table} onKeyDown={onKeyDown}>
          <thead>
            <tr>
              {columns.map((column) => (
                <th key={column.key} scope="col">
                  {column.label}
                </th>
              ))}
              <th scope="col">
                <span class="unseen">State of the row</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.value.map((row, rowAt) => {
              const record = row.saver.record.value;
              const name = record?.label ?? row.typed["label"] ?? "new specimen";
              const above = rows.value[rowAt - 1];
              const problems = Object.values(row.wrong).flat();
              const state = row.saver.state.value;
              return (
                <Fragment key={row.key}>
                  <tr>
                    {columns.map((column, at) => {
                      const Cell = at === 0 ? "th" : "td";
                      const data = { "data-row": row.key, "data-column": column.key } as const;
                      const invalid =
                        row.wrong[column.key] !== undefined ||
                        (state.kind === "refused" &&
                          state.problems.some(({ where }) => where?.field?.startsWith(column.key) === true));
                      const common = {
                        "aria-label": `${column.label}, ${name}`,
                        size: sizes.get(column.key) ?? 8,
                        ...(invalid ? { "aria-invalid": "true" as const } : {}),
                      };
                      const hint =
                        record === undefined && at === 0
                          ? nextLabel(above?.saver.record.value?.label ?? "")
                          : "";
                      return (
                        <Cell
                          key={column.key}
                          {...(at === 0 ? { scope: "row" as const } : {})}
                          class={column.as === "length" ? "length" : undefined}
                        >
                          {["rope", "spool", "recipe", "level"].includes(column.as) ? (
                            <Choice
                              {...common}
                              data={data}
                              text={textOf(row, column)}
                              options={options(column)}
                              onText={(text) => change(row, column, text)}
                              onPick={(option) => {
                                change(row, column, option.label);
                                commit(row, column);
                              }}
                              onLeave={() => commit(row, column)}
                              {...(column.as === "level"
                                ? {}
                                : {
                                    newLabel: `Make a new ${column.as}`,
                                    onNew: (text: string) =>
                                      setMaking({ kind: column.as as BookKind, name: text, row, column }),
                                  })}
                            />
                          ) : (
                            <input
                              {...common}
                              {...data}
                              autoComplete="off"
                              value={textOf(row, column)}
                              placeholder={hint}
                              {...(column.as === "length" ? { inputMode: "decimal" as const } : {})}
                              onFocus={(event) => event.currentTarget.select()}
                              onInput={(event) => change(row, column, event.currentTarget.value)}
                              onBlur={() => commit(row, column)}
                            />
                          )}
                        </Cell>
                      );
                    })}
                    <td class="row-state">
                      <SaveWord saver={row.saver} />{" "}
                      {record !== undefined && (
                        <button type="button" class="plain" tabIndex={-1} onClick={() => remove(row)}>
                          take out<span class="unseen"> {name}</span>
                        </button>
                      )}
                    </td>
                  </tr>
                  {(problems.length > 0 || state.kind === "refused" || state.kind === "changed") && (
                    <tr class="row-problems">
                      <td colSpan={columns.length + 1}>
                        <Problems heading={name} problems={problems} />
                        <SaveTrouble
                          saver={row.saver}
                          nameOf={(field) => columns.find((column) => column.key === field)?.label ?? field}
                          show={(value) =>
                            value === undefined
                              ? "(empty)"
                              : typeof value === "object"
                                ? JSON.stringify(value)
                                : String(value)
                          }
                          onTheirs={() => {
                            for (const key of Object.keys(row.typed)) delete row.typed[key];
                            redraw();
                          }}
                        />
                      </td>
                    </tr>
                  )}
                </Fragment>
              );
            })}
          </tbody>
        </table>
      </section>
      {making !== undefined && (
        <RecordDialog
          kind={making.kind}
          begin={{
            ...(making.name === "" ? {} : { name: making.name }),
            ...(making.kind === "spool" ? { ropeId: making.row.saver.record.value?.ropeId ?? "" } : {}),
          }}
          onClose={() => setMaking(undefined)}
          onSaved={(record) => {
            const { row, column } = making;
            row.typed[column.key] = record.name;
            delete row.wrong[column.key];
            if (row.saver.record.value === undefined) beginAsAbove(row);
            row.saver.put({ [column.key]: record.id });
            row.saver.flush();
            setMaking(undefined);
          }}
        />
      )}
    </>
  );
}

const carried = new Set(["ropeId", "spoolId", "recipeId", "maker", "madeOn"]);
/** Specimens taken out on this page: an overview asked for before that may still name them. */
const removed = new Set<string>();

function optionOf(record: { readonly id: string; readonly name: string }): Option {
  return { key: record.id, label: record.name };
}
