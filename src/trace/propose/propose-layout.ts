import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { DraftLayout, LayoutHints, LayoutProposal, LayoutReason } from "../layout.ts";
import { splitCells } from "../text/cells.ts";
import { columnNames } from "./column-names.ts";
import { type Dialect, findDialect } from "./dialect.ts";
import { draftForce } from "./draft-force.ts";
import { draftTime } from "./draft-time.ts";
import { extraColumns } from "./layout-extras.ts";
import { dialectReasons, questionsAbout, reason } from "./layout-words.ts";
import { ambiguousCommas, mixedMarks, whyNoDialect } from "./no-dialect.ts";
import { readHead } from "./read-head.ts";
import { sketchColumn } from "./sketch.ts";

/** Rows of the head that are looked at. */
const mostRows = 2000;
const previewLines = 12;
const previewRows = 8;

export type ProposeOptions = {
  readonly hints?: LayoutHints;
  /** The file's size, where `head` is only its beginning. */
  readonly totalBytes?: number;
  readonly fileName?: string;
};

/**
 * Proposes how a logger's file is to be read: encoding, separator, decimal mark, header, columns of time and force and
 * their units, each with a reason. What the file does not say is asked and never guessed: the unit of force, the unit of
 * a time column whose steps do not tell, and time itself where there is none.
 *
 * @param head the file's first bytes, up to `layoutHeadBytes`; it may end in the middle of a row or a character.
 * @returns the draft with its open questions, or why the file is no recording, or which hint does not fit it.
 *
 * @example
 * const proposal = proposeLayout(new TextEncoder().encode("time_s,force_kN\n0,0\n0.1,1.5\n0.2,3.1\n"));
 * proposal.ok && proposal.value.layout.force // { column: 2, unit: "kN", inverted: false }
 */
export function proposeLayout(head: Uint8Array, options: ProposeOptions = {}): Result<LayoutProposal> {
  const hints = options.hints ?? {};
  const read = readHead(head, {
    ...(hints.encoding === undefined ? {} : { encoding: hints.encoding }),
    ...(options.totalBytes === undefined ? {} : { totalBytes: options.totalBytes }),
    ...(options.fileName === undefined ? {} : { fileName: options.fileName }),
  });
  if (!read.ok) return read;
  const { lines, encoding, encodingReason } = read.value;
  const dialect = findDialect(read.value, hints);
  if (dialect === undefined) return refuse(whyNoDialect(read.value, hints));
  const ambiguity = ambiguousCommas(dialect, lines);
  if (ambiguity !== undefined) return refuse(ambiguity);

  const rows = dataRows(lines, dialect);
  const mixed = mixedMarks(dialect, rows, hints);
  if (mixed !== undefined) return refuse(mixed);
  const names = columnNames(lines, dialect);
  const unitCells =
    dialect.unitRow === undefined ? [] : splitCells(lines[dialect.unitRow] as string, dialect.separator);
  const columns = names.map((name, at) =>
    sketchColumn(
      at + 1,
      name,
      unitCells[at],
      rows.map((row) => row[at] ?? ""),
      dialect.decimal,
    ),
  );
  const reasons: LayoutReason[] = [
    { about: "encoding", text: encodingReason },
    ...dialectReasons(dialect, lines, hints),
  ];
  const preamble = lines.slice(0, dialect.header ?? dialect.firstRow);
  const time = draftTime(columns, preamble, hints);
  if (!time.ok) return time;
  reasons.push(...time.value.reasons.map((text) => reason("time", text)));
  const timeColumn = time.value.source.kind === "column" ? time.value.source.column : undefined;
  const isWhole =
    (options.totalBytes === undefined || options.totalBytes <= head.length) && rows.length < mostRows;
  const force = draftForce(columns, timeColumn, preamble, { hints, isWhole });
  if (!force.ok) return force;
  reasons.push(...force.value.reasons);
  const { column, unit, rivals, inverted } = force.value;
  const extras = extraColumns(columns, [timeColumn, column?.sketch.column], reasons);
  const unsure = [
    ...(rivals.length > 0 ? (["force"] as const) : []),
    ...(time.value.unitUnsure ? (["time"] as const) : []),
  ];
  const layout: DraftLayout = {
    encoding,
    separator: dialect.separator,
    decimal: dialect.decimal,
    preambleLines: dialect.header ?? dialect.firstRow,
    headerRow: dialect.header !== undefined,
    unitRow: dialect.unitRow !== undefined,
    columnNames: names,
    time: time.value.source,
    ...(column === undefined
      ? {}
      : {
          force: {
            column: column.sketch.column,
            ...(unit === undefined ? {} : { unit }),
            ...(inverted === undefined ? {} : { inverted }),
          },
        }),
    ...extras,
    ...(unsure.length === 0 ? {} : { unsure }),
  };
  return ok({
    layout,
    reasons,
    questions: questionsAbout(
      layout,
      rivals.map(({ sketch }) => sketch.name),
      hints,
    ),
    columns: columns.map(({ sketch }) => sketch),
    preview: { lines: lines.slice(0, previewLines), rows: rows.slice(0, previewRows) },
  });
}

function dataRows(lines: readonly string[], { firstRow, separator }: Dialect): string[][] {
  const rows: string[][] = [];
  for (let index = firstRow; index < lines.length && rows.length < mostRows; index++) {
    const cells = splitCells(lines[index] as string, separator);
    if (cells.some((cell) => cell !== "")) rows.push(cells);
  }
  return rows;
}
