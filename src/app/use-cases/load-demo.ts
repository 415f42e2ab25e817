import { ok, type Result } from "../../problem/mod.ts";
import type { Reading } from "../../trace/mod.ts";
import type { Effects } from "../contract.ts";
import type { DemoRecording, DemoScenario } from "../demo/demo-scenario.ts";
import { type RecordKind, recordKindNames, references } from "../records.ts";
import type { StoreWork } from "../store.ts";
import { createIn } from "./records.ts";
import { orTrouble, transact } from "./transact.ts";

/** The fact that keeps the demo from coming back after somebody removed it. */
const demoFact = "demo";

/** Loads the demo series into a book that holds nothing yet and never held it; true where it did. */
export async function loadDemo(effects: Effects): Promise<Result<boolean>> {
  return orTrouble(async () => {
    if (!(await isNew(effects.store.read))) return ok(false);
    // Loaded by need: only the first start of a new book makes the demo.
    const { demoScenario } = await import("../demo/demo-scenario.ts");
    const scenario = demoScenario();
    const readings: Reading[] = [];
    for (const recording of scenario.recordings) readings.push(await readingOf(effects, recording));
    return transact(effects.store, async (book) => {
      if (!(await isNew(book))) return ok(false);
      const ids = await storeRecords(effects, book, scenario);
      for (const [place, recording] of scenario.recordings.entries())
        await storeRecording(effects, book, recording, readings[place] as Reading, ids, scenario.series.id);
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

async function readingOf(effects: Effects, { bytes, layout, fileName }: DemoRecording): Promise<Reading> {
  return must(await effects.readRecording([bytes], layout), fileName);
}

/** Stores the demo's records and returns the book's id for each of the demo's own. */
async function storeRecords(
  effects: Effects,
  book: StoreWork,
  scenario: DemoScenario,
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
    ["series", [scenario.series]],
    ["specimen", scenario.specimens],
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

async function storeRecording(
  effects: Effects,
  book: StoreWork,
  recording: DemoRecording,
  reading: Reading,
  ids: ReadonlyMap<string, string>,
  demoSeriesId: string,
): Promise<void> {
  const { bytes, fileName, layout, pulls } = recording;
  const sha256 = effects.sha256([bytes]);
  const seriesId = ids.get(demoSeriesId) ?? "";
  await book.insertRecording(
    { sha256, fileName, sizeBytes: bytes.length, importedAt: effects.now(), seriesId, layout, reading },
    [bytes],
  );
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
