import { useRef, useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import { Scroll } from "../parts/scroll.tsx";
import type { BookKind } from "./kinds.ts";
import { LedgerRow } from "./ledger-row.tsx";
import { type Row, useLedger } from "./ledger-rows.ts";
import { RecordDialog } from "./record-form.tsx";
import type { Column } from "./specimen-rows.ts";

/**
 * The specimen table, filled like a good ledger: arrows and Enter move, typing replaces, Escape puts back what was
 * there, Ctrl+D copies from above, and an empty row waits at the end. Every row keeps itself.
 */
export function SpecimenLedger({ overview }: { readonly overview: SeriesOverview }) {
  const ledger = useLedger(overview);
  const { rows, columns } = ledger;
  const table = useRef<HTMLTableElement>(null);
  const [making, setMaking] = useState<{ row: Row; column: Column; name: string }>();

  // Columns are as wide as their longest entry, within reason.
  const sizes = new Map(
    columns.map((column) => {
      const longest = Math.max(
        ...rows.map((row) => (ledger.textOf(row, column) || ledger.hintOf(row, column)).length),
        column.label.length * 0.8,
      );
      return [column.key, Math.round(Math.min(Math.max(longest, 5), 26))] as const;
    }),
  );

  function focusCell(rowAt: number, columnAt: number): void {
    const row = rows[rowAt];
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
    const rowAt = rows.findIndex((row) => row.key === cell.dataset["row"]);
    const columnAt = columns.findIndex((column) => column.key === cell.dataset["column"]);
    const row = rows[rowAt];
    const column = columns[columnAt];
    if (row === undefined || column === undefined) return;
    const { selectionStart, selectionEnd, value } = cell;
    const whole = selectionStart === 0 && selectionEnd === value.length;
    const atStart = whole || (selectionStart === 0 && selectionEnd === 0);
    const atEnd = whole || (selectionStart === value.length && selectionEnd === value.length);
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
      ledger.putBack(row, column);
      cell.value = ledger.textOf(row, column);
      cell.select();
    } else if (event.key.toLowerCase() === "d" && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      const above = rows[rowAt - 1];
      if (above === undefined || column.key === "label") return;
      ledger.change(row, column, ledger.textOf(above, column));
      ledger.commit(row, column);
    }
  }

  return (
    <>
      <Scroll label="Specimens, a table to fill">
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
            {rows.map((row) => (
              <LedgerRow
                key={row.key}
                row={row}
                ledger={ledger}
                sizes={sizes}
                onMake={(inRow, column, name) => setMaking({ row: inRow, column, name })}
              />
            ))}
          </tbody>
        </table>
      </Scroll>
      {making !== undefined && (
        <RecordDialog
          kind={making.column.as as BookKind}
          begin={{
            ...(making.name === "" ? {} : { name: making.name }),
            ...(making.column.as === "spool" ? { ropeId: making.row.saver.record.value?.ropeId ?? "" } : {}),
          }}
          onClose={() => setMaking(undefined)}
          onSaved={(record) => {
            ledger.takeMade(making.row, making.column, record);
            setMaking(undefined);
          }}
        />
      )}
    </>
  );
}
