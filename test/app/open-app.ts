import {
  type App,
  createApp,
  type Effects,
  type RecordKind,
  type Store,
  type StoredRecord,
} from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import type { Result } from "../../src/problem/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import type { Layout } from "../../src/trace/mod.ts";
import { plainLayout } from "../setup/plain-layout.ts";

export type TestApp = { readonly app: App; readonly store: Store; readonly effects: Effects };

/** The use cases over a real book in memory, with a still clock and counted ids. */
export async function openApp(overrides: Partial<Effects> = {}): Promise<TestApp> {
  const opened = await openSqliteBook(":memory:", { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  let count = 0;
  const effects: Effects = {
    ...nodeEffects(opened.value),
    now: () => "2024-05-01T08:00:00.000Z",
    newId: (prefix) => {
      count += 1;
      return `${prefix}-${count}`;
    },
    ...overrides,
  };
  return { app: createApp(effects), store: opened.value, effects };
}

/** The value of a result; a refusal fails the test with its words. */
export function valueIn<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.problems, null, 1));
  return result.value;
}

/** The first problem of a refusal; a success fails the test. */
export function problemOf(result: Result<unknown>) {
  if (result.ok) throw new Error(`was not refused: ${JSON.stringify(result.value)}`);
  return result.problems[0];
}

export async function add<K extends RecordKind>(app: App, kind: K, input: object): Promise<StoredRecord<K>> {
  return valueIn(await app.create(kind, input));
}

/** How the recordings of these tests are read: "time_s,force_kN" with a point. */
export const layout: Layout = {
  ...plainLayout,
  columnNames: ["time_s", "force_kN"],
  force: { column: 2, unit: "kN", inverted: false },
};

/**
 * A recording of pulls with known peaks in kN: each 2 s of rest at `restKn`, a straight ramp of 1 kN/s to the peak, then
 * slack again. Sampled at 100 Hz, with noise of up to 2 N to either side; the peak's own sample carries none.
 */
export function recordingOf(peaksKn: readonly number[], restKn = 0.02): Uint8Array {
  const lines = ["time_s,force_kN"];
  let row = 0;
  let state = 1;
  const write = (force: number) => {
    // The "minimal standard" generator of Park and Miller (1988): any fixed sequence of chance would do.
    state = (state * 48_271) % 2_147_483_647;
    const noise = 0.004 * (state / 2_147_483_647 - 0.5);
    lines.push(`${(row / 100).toFixed(2)},${(force + noise).toFixed(5)}`);
    row += 1;
  };
  for (const peak of peaksKn) {
    for (let at = 0; at < 200; at += 1) write(restKn);
    for (let at = 0; at < peak * 100; at += 1) write(restKn + at / 100);
    lines.push(`${(row / 100).toFixed(2)},${(peak + restKn).toFixed(5)}`);
    row += 1;
    for (let at = 0; at < 200; at += 1) write(restKn);
  }
  return new TextEncoder().encode(`${lines.join("\n")}\n`);
}
