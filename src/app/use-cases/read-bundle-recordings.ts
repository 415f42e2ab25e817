import { type Bundle, type RowOf, recordingPath } from "../../bundle/mod.ts";
import { ok, type Problem, type Result, type Warning } from "../../problem/mod.ts";
import type { Layout, PullReading } from "../../trace/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects } from "../contract.ts";
import { layoutFields } from "../layout-fields.ts";
import { sharedRows } from "../read-stretch.ts";
import type { StoredRecord } from "../records.ts";
import type { StoredRecording } from "../store.ts";
import { pullFieldsOf } from "./bundle-tables.ts";
import { calibrationOf } from "./cells.ts";
import { contextOf, firstOf, readAnew } from "./read-anew.ts";

type Reader = Pick<Effects, "readRecording" | "readStretch">;

/** The recordings of a bundle as this program reads them from their bytes, and its pulls as they are found in them. */
export type BundleRead = {
  readonly recordings: ReadonlyMap<string, StoredRecording>;
  readonly pulls: readonly RowOf<"pulls">[];
  readonly warnings: readonly Warning[];
};

/**
 * Reads the recordings of a bundle anew, each pull with the calibration of its own bench's cell. Nothing that the bundle
 * says was read is taken over.
 *
 * With `match`, a pull that this version of the program finds under another number gets that number, by the rows that the
 * bundle says it has; where it is not found at all, those rows are named as a pull, and a warning says so. Without it pulls
 * keep their numbers, and what differs shows.
 */
export async function readBundleRecordings(
  effects: Reader,
  { content, files }: Bundle,
  { match }: { readonly match: boolean },
): Promise<Result<BundleRead>> {
  const { tables } = content;
  const recordings = new Map<string, StoredRecording>();
  const pulls = new Map(tables.pulls.map((pull) => [pull.id, pull]));
  const warnings: Warning[] = [];
  const problems: Problem[] = [];
  const cells = { benches: tables.benches, loadCells: tables["load-cells"] };
  for (const row of tables.recordings) {
    const bytes = files.get(recordingPath(row));
    const layout = checkInput(layoutFields, row.layout);
    if (bytes === undefined) continue;
    if (!layout.ok) {
      problems.push(...layout.problems);
      continue;
    }
    const own = () => [...pulls.values()].filter(({ recordingSha256 }) => recordingSha256 === row.sha256);
    const calibration = calibrationOf(firstOf(own().map(stored))?.benchId, cells);
    const context = contextOf(calibration, row.importedAt);
    const base = await effects.readRecording([bytes], layout.value, { context });
    if (!base.ok) {
      problems.push(...base.problems.map((problem) => inFile(problem, row.fileName)));
      continue;
    }
    if (match)
      for (const pull of own()) {
        const reading = tables.readings.find(({ pullId }) => pullId === pull.id);
        const found = matched(pull, reading, base.value.pulls, row.importedAt);
        pulls.set(pull.id, found);
        if (found.recordingPull !== pull.recordingPull) warnings.push(readOtherwise(row.fileName, pull));
      }
    const recording: StoredRecording = {
      sha256: row.sha256,
      fileName: row.fileName,
      sizeBytes: bytes.length,
      importedAt: row.importedAt,
      seriesId: tables.series[0]?.id ?? "",
      // The schema's type lets a field be undefined that the layout's own lets be absent.
      layout: layout.value as Layout,
      reading: base.value,
      readWith: [],
      stretches: [],
    };
    const known = { recording, pulls: own().map(stored), cells };
    const anew = await readAnew(effects, bytes, layout.value as Layout, known);
    if (anew.ok) recordings.set(row.sha256, { ...recording, ...anew.value.read });
    else problems.push(...anew.problems.map((problem) => inFile(problem, row.fileName)));
  }
  if (problems.length > 0) return { ok: false, problems };
  return ok({ recordings, pulls: [...pulls.values()], warnings });
}

function matched(
  pull: RowOf<"pulls">,
  reading: RowOf<"readings"> | undefined,
  now: readonly PullReading[],
  at: string,
): RowOf<"pulls"> {
  const { recordingPull, ...unnumbered } = pull;
  if (recordingPull === undefined || reading === undefined) return pull;
  const rows = { fromRow: reading.startRow, toRow: reading.endRow };
  const [best] = now
    .map((one) => ({ one, shared: sharedRows(one, rows) }))
    .filter(({ shared }) => shared > 0)
    .sort((a, b) => b.shared - a.shared);
  if (best !== undefined) return { ...pull, recordingPull: best.one.index };
  const named = {
    what: "pull",
    ...rows,
    by: "",
    at,
    why: "Read as a pull where it came from.",
  } as const;
  return { ...unnumbered, overrides: [...pull.overrides, named] };
}

function stored(row: RowOf<"pulls">): StoredRecord<"pull"> {
  return { ...pullFieldsOf(row), revision: 1, createdAt: "", changedAt: "" };
}

function readOtherwise(file: string, { order, id, recordingPull }: RowOf<"pulls">): Warning {
  return {
    code: "BUNDLE_READ_OTHERWISE",
    message: `This version of the program finds pull ${order ?? id} elsewhere in its recording than the bundle says; it was matched by its rows.`,
    where: { file },
    found: `pull ${recordingPull ?? "?"} of the recording`,
    wayOut: "Look at the trace of this pull before resting on it.",
  };
}

function inFile(problem: Problem, file: string): Problem {
  return { ...problem, where: { file, ...problem.where } };
}
