import { strToU8, unzipSync, zipSync } from "fflate";
import type { ReportTable } from "../../report/mod.ts";

/** Wide enough for a heading, narrow enough to see several; in characters. */
const widest = 42;

/**
 * Tables as one XLSX file, a sheet each. A text is typed as text, so that none becomes a formula, whatever it begins with.
 * The same tables give the same bytes: the file's own clock is taken out.
 *
 * @example
 * const bytes = await writeSpreadsheet([{ name: "Pulls", rows: [["pull"], ["=1+1"]] }]); // the cell shows =1+1
 */
export async function writeSpreadsheet(tables: readonly ReportTable[]): Promise<Uint8Array> {
  // Only who asks for a spreadsheet loads what writes one.
  const { default: writeXlsxFile } = await import("write-excel-file/node");
  const bytes = await writeXlsxFile(
    tables.map(({ name, rows }) => ({
      sheet: name,
      data: rows.map((row, at) =>
        row.map((value) =>
          value === undefined
            ? null
            : typeof value === "number"
              ? { value, type: Number }
              : { value, type: String, ...(at === 0 ? { fontWeight: "bold" as const } : {}) },
        ),
      ),
      columns: (rows[0] ?? []).map((_, at) => ({ width: widthOf(rows.map((row) => row[at])) })),
      stickyRowsCount: 1,
    })),
  ).toBuffer();
  return still(new Uint8Array(bytes));
}

function widthOf(values: readonly (string | number | undefined)[]): number {
  const longest = values.reduce<number>((most, value) => Math.max(most, String(value ?? "").length), 6);
  return Math.min(longest + 2, widest);
}

/** The same archive without the hour at which it was made. */
function still(archive: Uint8Array): Uint8Array {
  const files = unzipSync(archive);
  const entries = Object.entries(files).map(([name, bytes]) => {
    if (name !== "docProps/core.xml") return [name, bytes] as const;
    const text = new TextDecoder().decode(bytes).replace(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, "2000-01-01T00:00:00Z");
    return [name, strToU8(text)] as const;
  });
  return zipSync(Object.fromEntries(entries), { mtime: "2000-01-01T00:00:00" });
}
