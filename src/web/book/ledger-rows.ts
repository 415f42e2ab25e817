import { useSignal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { CutSheet } from "../../splice/mod.ts";
import { announce } from "../announce.tsx";
import { ask } from "../server.ts";
import { type ByRecipe, byRecipe } from "../splice/by-recipe.ts";
import { useResource } from "../use-resource.ts";
import type { BookRecord } from "./record-form.tsx";
import { makeSaver, type Saver } from "./saver.ts";
import { type Column, cellPatch, cellText, columnsOf, nextLabel, type Specimen } from "./specimen-rows.ts";

/** One row of the specimen ledger: the record that it keeps, and what is typed into it. */
export type Row = {
  readonly key: string;
  readonly saver: Saver<"specimen">;
  /** What is typed into a cell and not yet heard back from the book. */
  readonly typed: Record<string, string>;
  readonly wrong: Record<string, readonly Problem[]>;
};

/** What a new row takes over from the row above it. */
const carried = new Set(["ropeId", "spoolId", "recipeId", "wanted", "maker", "madeOn"]);
/** Specimens taken out on this page: an overview that was asked for before may still name them. */
const removed = new Set<string>();
let rowsMade = 0;

export type Ledger = ReturnType<typeof useLedger>;

/** The rows of a series' specimen table and all that can be done with them; the empty row stands last. */
export function useLedger(overview: SeriesOverview) {
  const rows = useSignal<readonly Row[]>([]);
  const [, setTick] = useState(0);
  const redraw = (): void => setTick((tick) => tick + 1);
  // Ropes, spools and recipes made from the table are known at once, before the book is read again.
  const [made, setMade] = useState<readonly { readonly as: Column["as"]; readonly record: BookRecord }[]>([]);
  const book = withMade(overview, made);
  const columns = columnsOf(overview.series);
  const sheet = useResource<CutSheet>(`/api/series/${overview.series.id}/cut-sheet`);

  function makeRow(specimen?: Specimen): Row {
    rowsMade += 1;
    const row: Row = {
      key: `row-${rowsMade}`,
      typed: {},
      wrong: {},
      saver: makeSaver("specimen", specimen, {
        begin: { seriesId: overview.series.id },
        ready: (fields) => typeof fields.label === "string" && fields.label !== "",
        onKept: (record, waiting) => {
          for (const key of Object.keys(row.typed)) {
            // A cell's key is its field's, or "levels.NAME".
            const waits = waiting.includes(key.replace(/\..*/, ""));
            if (row.wrong[key] === undefined && !waits && !hasFocus(row, key)) delete row.typed[key];
          }
          announce(`${record.label} kept.`);
        },
        onRefused: () => announce("A row was not kept. Look at the marked cells."),
      }),
    };
    return row;
  }

  // Rows follow the book: what others added appears, and what was taken out goes.
  useEffect(() => {
    const kept = rows.value.filter((row) => {
      const record = row.saver.record.value;
      return record !== undefined && !removed.has(record.id);
    });
    const known = new Map(kept.map((row) => [row.saver.record.value?.id, row]));
    for (const specimen of overview.specimens) known.get(specimen.id)?.saver.heard(specimen);
    const added = overview.specimens
      .filter((one) => !known.has(one.id) && !removed.has(one.id))
      .map((one) => makeRow(one));
    const unsaved = rows.value.filter((row) => row.saver.record.value === undefined);
    const busy = unsaved.filter((row) => Object.keys(row.typed).length > 0);
    const empty = unsaved.find((row) => Object.keys(row.typed).length === 0) ?? makeRow();
    const next = [...kept, ...added, ...busy, empty];
    if (next.length !== rows.value.length || next.some((row, at) => row !== rows.value[at]))
      rows.value = next;
  });

  const textOf = (row: Row, column: Column): string =>
    row.typed[column.key] ?? cellText(column, row.saver.record.value, book);

  /** What an empty cell is to be: the next label, or what recipe and wanted length ask for. */
  function hintOf(row: Row, column: Column): string {
    const record = row.saver.record.value;
    if (record === undefined)
      return column.key === "label"
        ? nextLabel(rows.value[rows.value.indexOf(row) - 1]?.saver.record.value?.label ?? "")
        : "";
    if (column.as !== "length") return "";
    const asked = byRecipe(record, book, sheet?.ok === true ? sheet.value : undefined);
    return asked[column.key as keyof ByRecipe]?.toFixed(0) ?? "";
  }

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
    const answer = cellPatch(column, text, { levels: levelsOf(row), wanted: record?.wanted }, book);
    if (text === cellText(column, record, book) && row.saver.state.value.kind === "kept") {
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

  function putBack(row: Row, column: Column): void {
    delete row.wrong[column.key];
    delete row.typed[column.key];
    redraw();
  }

  /** Puts a record that was just made into the cell from which it was made. */
  function takeMade(row: Row, column: Column, record: BookRecord): void {
    setMade((before) => [...before, { as: column.as, record }]);
    row.typed[column.key] = record.name;
    delete row.wrong[column.key];
    if (row.saver.record.value === undefined) beginAsAbove(row);
    row.saver.put({ [column.key]: record.id });
    row.saver.flush();
    redraw();
  }

  /** Levels as kept and as typed: several cells travel as one field. */
  function levelsOf(row: Row): Specimen["levels"] {
    let levels: Specimen["levels"] = { ...row.saver.record.value?.levels };
    for (const column of columns) {
      const text = row.typed[column.key];
      if (column.as !== "level" || text === undefined) continue;
      const answer = cellPatch(column, text, { levels }, book);
      if (answer.ok) levels = answer.value.levels ?? levels;
    }
    return levels;
  }

  /** A new row begins with the next label, and with what it shares with the row above. */
  function beginAsAbove(row: Row): void {
    const above = rows.value[rows.value.indexOf(row) - 1]?.saver.record.value;
    if (row.typed["label"] === undefined) {
      row.typed["label"] = nextLabel(above?.label ?? "");
      row.saver.put({ label: row.typed["label"] });
    }
    for (const column of columns) {
      if (above === undefined || !carried.has(column.key) || row.typed[column.key] !== undefined) continue;
      const text = cellText(column, above, book);
      const answer = cellPatch(column, text, { wanted: above.wanted }, book);
      if (text === "" || !answer.ok) continue;
      row.typed[column.key] = text;
      row.saver.put(answer.value);
    }
  }

  async function remove(row: Row): Promise<void> {
    const record = row.saver.record.value;
    if (record === undefined) return;
    const answer = await ask<null>("DELETE", `/api/records/specimen/${record.id}`);
    if (answer.ok) {
      removed.add(record.id);
      announce(`${record.label} taken out.`);
    } else {
      row.wrong["label"] = answer.problems;
    }
    redraw();
  }

  function takeTheirs(row: Row): void {
    for (const key of Object.keys(row.typed)) delete row.typed[key];
    redraw();
  }

  return {
    rows: rows.value,
    columns,
    book,
    textOf,
    hintOf,
    change,
    commit,
    putBack,
    takeMade,
    takeTheirs,
    remove,
  };
}

function hasFocus(row: Row, column: string): boolean {
  const active = document.activeElement;
  return (
    active instanceof HTMLElement && active.dataset["row"] === row.key && active.dataset["column"] === column
  );
}

function withMade(
  overview: SeriesOverview,
  made: readonly { readonly as: Column["as"]; readonly record: BookRecord }[],
): SeriesOverview {
  const more = <T extends { readonly id: string }>(known: readonly T[], as: Column["as"]): readonly T[] => {
    const ids = new Set(known.map((one) => one.id));
    const fresh = made.filter((one) => one.as === as && !ids.has(one.record.id));
    return [...known, ...fresh.map((one) => one.record as unknown as T)];
  };
  return {
    ...overview,
    ropes: more(overview.ropes, "rope"),
    spools: more(overview.spools, "spool"),
    recipes: more(overview.recipes, "recipe"),
  };
}
