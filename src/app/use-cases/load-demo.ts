import { ok, type Result } from "../../problem/mod.ts";
import type { Effects } from "../contract.ts";
import type { DemoRecording, DemoScenario } from "../demo/demo-scenario.ts";
import { type RecordKind, recordKindNames, recordKinds, references } from "../records.ts";
import type { ReadingOfRecording, StoreWork } from "../store.ts";
import { type Cells, calibrationOf } from "./cells.ts";
import { contextOf, groupByCalibration } from "./read-anew.ts";
import { createIn } from "./records.ts";
import { orTrouble, transact } from "./transact.ts";

type RaftScenario = ReturnType<typeof import("../demo/raft.ts").raftScenario>;

/** The fact that keeps the demo from coming back after somebody removed it. */
const demoFact = "demo";

/** Loads the demo series into a book that holds nothing yet and never held it; true where it did. */
export async function loadDemo(effects: Effects): Promise<Result<boolean>> {
  return orTrouble(async () => {
    if (!(await isNew(effects.store.read))) return ok(false);
    // Loaded by need: only the first start of a new book makes the demo.
    const { demoScenario, demoSeed } = await import("../demo/demo-scenario.ts");
    const { raftScenario } = await import("../demo/raft.ts");
    const scenario = demoScenario();
    const raft = raftScenario(demoSeed + 2);
    const importedAt = effects.now();
    const cells = cellsIn(scenario);
    const readings: ReadingOfRecording[] = [];
    for (const recording of scenario.recordings)
      readings.push(await readingOf(effects, recording, cells, importedAt));
    return transact(effects.store, async (book) => {
      if (!(await isNew(book))) return ok(false);
      const ids = await storeRecords(effects, book, scenario, raft);
      for (const [place, recording] of scenario.recordings.entries())
        await storeRecording(effects, book, recording, {
          read: readings[place] as ReadingOfRecording,
          importedAt,
          ids,
          demoSeriesId: scenario.series.id,
        });
      await storeRaft(effects, book, raft, ids);
      await book.setFact(demoFact, "loaded");
      return ok(true);
    });
  });
}

async function isNew(book: Pick<StoreWork, "list" | "getFact">): Promise<boolean> {
  if ((await book.getFact(demoFact)) !== undefined) return false;
  for (const kind of recordKindNames) if ((await book.list(kind)).length > 0) return false;
  return true;
}

/** The demo's benches and cells under the demo's own ids. */
function cellsIn({ benches, loadCells }: DemoScenario): Cells {
  return {
    benches: benches.map(({ id, fields }) => ({ ...recordKinds.bench.parse(fields), id })),
    loadCells: loadCells.map(({ id, fields }) => ({ ...recordKinds["load-cell"].parse(fields), id })),
  };
}

/** Read with the cell of its first pull's bench: a log of the demo comes from one bench. */
async function readingOf(
  effects: Effects,
  { bytes, layout, fileName, pulls }: DemoRecording,
  cells: Cells,
  importedAt: string,
): Promise<ReadingOfRecording> {
  const calibration = calibrationOf(pulls[0]?.benchId, cells);
  const context = contextOf(calibration, importedAt);
  const reading = must(await effects.readRecording([bytes], layout, { context }), fileName);
  const readWith = groupByCalibration(new Map(reading.pulls.map(({ index }) => [index, calibration])));
  return { layout, reading, readWith, stretches: [] };
}

/** Stores the demo's records and returns the book's id for each of the demo's own. */
async function storeRecords(
  effects: Effects,
  book: StoreWork,
  scenario: DemoScenario,
  raft: RaftScenario,
): Promise<ReadonlyMap<string, string>> {
  const ids = new Map<string, string>();
  // In this order a record comes after those it speaks of.
  const all: readonly [RecordKind, readonly { readonly id: string; readonly fields: object }[]][] = [
    ["rope", scenario.ropes],
    ["spool", scenario.spools],
    ["recipe", scenario.recipes],
    ["hardware", scenario.hardware],
    ["load-cell", scenario.loadCells],
    ["bench", scenario.benches],
    ["layout", scenario.layouts],
    ["series", [scenario.series, raft.series]],
    ["specimen", [...scenario.specimens, ...raft.specimens]],
  ];
  for (const [kind, records] of all)
    for (const { id, fields } of records) {
      const input: Record<string, unknown> = { ...fields };
      for (const field of Object.keys(references[kind] ?? {}))
        if (input[field] !== undefined) input[field] = ids.get(String(input[field]));
      ids.set(id, must(await createIn(effects, book, kind, input), id).id);
    }
  return ids;
}

/** The raft's pulls, and its rig with the book's id for the series that its parts name. */
async function storeRaft(
  effects: Effects,
  book: StoreWork,
  { series, pulls, rig }: RaftScenario,
  ids: ReadonlyMap<string, string>,
): Promise<void> {
  const seriesId = ids.get(series.id) ?? "";
  for (const pull of pulls)
    must(
      await createIn(effects, book, "pull", { ...pull, seriesId, specimenId: ids.get(pull.specimenId) }),
      `pull ${pull.order} of the raft’s loops`,
    );
  const parts = rig.parts.map((part) =>
    part.strength.from === "pulls" ? { ...part, strength: { ...part.strength, seriesId } } : part,
  );
  must(await createIn(effects, book, "rig", { ...rig, parts }), rig.name);
}

async function storeRecording(
  effects: Effects,
  book: StoreWork,
  { bytes, fileName, pulls }: DemoRecording,
  {
    read,
    importedAt,
    ids,
    demoSeriesId,
  }: {
    readonly read: ReadingOfRecording;
    readonly importedAt: string;
    readonly ids: ReadonlyMap<string, string>;
    readonly demoSeriesId: string;
  },
): Promise<void> {
  const sha256 = effects.sha256([bytes]);
  const seriesId = ids.get(demoSeriesId) ?? "";
  await book.insertRecording({ sha256, fileName, sizeBytes: bytes.length, importedAt, seriesId, ...read }, [
    bytes,
  ]);
  for (const pull of pulls) {
    const { recordingPull, order, pulledAt, operator, outcome, notes } = pull;
    must(
      await createIn(effects, book, "pull", {
        seriesId,
        specimenId: ids.get(pull.specimenId),
        benchId: ids.get(pull.benchId),
        recordingSha256: sha256,
        recordingPull,
        order,
        pulledAt,
        operator,
        outcome,
        notes,
      }),
      `${fileName}, pull ${recordingPull}`,
    );
  }
}

/** The demo is the program's own: what cannot be stored of it is a fault of the program. */
function must<T>(result: Result<T>, what: string): T {
  if (result.ok) return result.value;
  throw new Error(
    `The demo cannot be loaded: ${what}: ${result.problems.map(({ message }) => message).join(" ")}`,
  );
}
