import type { Layout } from "../../src/trace/mod.ts";

/** How the plainest of files is read: a heading, then seconds and newtons. A test says what it has otherwise. */
export const plainLayout: Layout = {
  encoding: "utf-8",
  separator: ",",
  decimal: ".",
  preambleLines: 0,
  headerRow: true,
  unitRow: false,
  columnNames: ["time_s", "force_N"],
  time: { kind: "column", column: 1, format: "elapsed-s" },
  force: { column: 2, unit: "N", inverted: false },
};
