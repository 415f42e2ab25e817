import { createHash } from "node:crypto";
import {
  type Kept,
  type RecordFields,
  type RecordKind,
  recordKinds,
  type Store,
  type StoredRecord,
  type StoredRecording,
} from "../../src/app/mod.ts";

let count = 0;

/** A new id and still times: what the use cases would hand to the store. */
export function keptNew(prefix: string): Kept {
  count += 1;
  const id = `${prefix}-${String(count).padStart(10, "0")}`;
  return { id, revision: 1, createdAt: "2024-05-01T08:00:00.000Z", changedAt: "2024-05-01T08:00:00.000Z" };
}

/** Fields of a kind as the schema completes them. */
export function fieldsOf<K extends RecordKind>(kind: K, input: object): RecordFields<K> {
  return recordKinds[kind].parse(input) as RecordFields<K>;
}

/** Stores a record in a transaction of its own; a refusal fails the test. */
export async function add<K extends RecordKind>(
  store: Store,
  kind: K,
  input: object,
): Promise<StoredRecord<K>> {
  const answer = await store.transaction((work) => work.insert(kind, keptNew(kind), fieldsOf(kind, input)));
  if (!answer.ok) throw new Error(`refused: ${JSON.stringify(answer.refusal)}`);
  return answer.value;
}

export const rope = { name: "Loft line", nominalDiameterMm: 6, ratedStrengthN: 36_000 };
export const recipe = { name: "30 d loop", kind: "crossed-tail loop", buryFullDiameters: 30, legs: 2 };

export function sha256Of(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

export const layout = fieldsOf("layout", {
  name: "shed logger",
  layout: {
    encoding: "utf-8",
    separator: ";",
    decimal: ",",
    preambleLines: 2,
    headerRow: true,
    unitRow: false,
    columnNames: ["Zeit", 'Kraft "kN"'],
    time: { kind: "column", column: 1, format: "elapsed-s" },
    force: { column: 2, unit: "kN", inverted: false },
  },
}).layout;

/** A recording of these bytes, with a reading that only the store's tests look at. */
export function recordingOf(seriesId: string, bytes: Uint8Array, fileName = "pull-1.csv"): StoredRecording {
  return {
    sha256: sha256Of(bytes),
    fileName,
    sizeBytes: bytes.length,
    importedAt: "2024-05-01T09:00:00.000Z",
    seriesId,
    layout,
    reading: {
      method: { name: "reading", version: "1" },
      layout,
      rows: 3,
      missing: 0,
      durationS: 0.2,
      pulls: [
        {
          index: 1,
          startRow: 1,
          endRow: 3,
          peakN: 40_560.123456789,
          peakRow: 2,
          drops: [],
          end: "collapse",
          noiseN: 0.1,
          warnings: [],
        },
      ],
      otherLoads: [],
      warnings: [],
    },
    readWith: [{ calibration: { points: [{ appliedN: 1000, indicatedN: 1002.5 }] }, pulls: [1] }],
    stretches: [],
  };
}

/** Text of a recording with this many samples, different for each seed. */
export function recordingText(samples: number, seed = 1): Uint8Array {
  const lines = ["time,force"];
  let state = seed;
  for (let row = 0; row < samples; row += 1) {
    // The "minimal standard" generator of Park and Miller (1988): any fixed sequence would do.
    state = (state * 48_271) % 2_147_483_647;
    lines.push(`${(row / 1000).toFixed(3)},${(state / 2_147_483_647).toFixed(9)}`);
  }
  return new TextEncoder().encode(`${lines.join("\n")}\n`);
}
