import { createHash } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Sqlite from "better-sqlite3";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type App, createApp, type Effects } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { ok } from "../../src/problem/mod.ts";
import { createRandom } from "../../src/stats/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { completeLayout, drawRecording, proposeLayout, readRecording } from "../../src/trace/mod.ts";
import { mutate } from "../traces/mutate.ts";

// Mutated recordings are taken into a real book, one in seven while its disk is full or its book refuses a pull. Whatever
// comes of each, the book holds all of it or nothing: what lies in the tables is counted by another connection, not by the
// program. BITTEREND_FUZZ sets how many.

const files = Math.min(2000, Number(process.env["BITTEREND_FUZZ"] ?? 60));
const folder = mkdtempSync(join(tmpdir(), "bitterend-mutated-"));
const path = join(folder, "book.sqlite");
let app: App;
let seriesId: string;
let close: () => Promise<void>;
let watcher: Sqlite.Database;

beforeAll(async () => {
  const opened = await openSqliteBook(path, { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const effects: Effects = {
    ...nodeEffects(opened.value),
    // In this thread: the thread of its own costs more than the reading of such small files.
    readRecording: async (bytes, layout, about) => {
      const read = readRecording(Buffer.concat(bytes), layout, about?.context);
      return read.ok ? ok(read.value.reading, read.warnings) : read;
    },
  };
  app = createApp(effects);
  const series = await app.create("series", { title: "Mutated" });
  if (!series.ok) throw new Error("no series");
  seriesId = series.value.id;
  close = () => opened.value.close();
  watcher = new Sqlite(path);
});

afterAll(async () => {
  watcher.close();
  await close();
  rmSync(folder, { recursive: true, force: true });
});

/** What the book's tables hold of recordings, by the tables' own account. */
function held() {
  const number = (sql: string, ...values: unknown[]): number =>
    (watcher.prepare(sql).get(...values) as { n: number }).n;
  return {
    recordings: number("select count(*) as n from recording"),
    bytes: number("select count(distinct recording_sha256) as n from recording_chunk"),
    pulls: number("select count(*) as n from pull"),
    layouts: number("select count(*) as n from layout"),
  };
}

test(`${files} mutated files are each stored whole or not at all`, {
  timeout: 60_000 + 200 * files,
}, async () => {
  const random = createRandom(99);
  let stored = 0;
  let refused = 0;
  let undone = 0;
  for (let seed = 1; seed <= Math.ceil(files / 10); seed++) {
    const drawn = drawRecording(seed + 880_000);
    for (let round = 0; round < 10; round++) {
      const bytes = mutate(drawn.bytes, random);
      const hints = { forceUnit: "kN", timeUnit: "s" } as const;
      const proposal = proposeLayout(bytes, { hints });
      const layout = proposal.ok ? completeLayout(proposal.value.layout, hints) : proposal;
      if (!layout.ok) continue;
      const spoilt = (seed * 10 + round) % 7 === 0;
      // The last thing that an import writes is refused by the database itself.
      if (spoilt)
        watcher.exec(
          "create trigger refuse before insert on layout begin select raise(abort, 'the disk is full'); end",
        );
      const before = held();
      const fileName = `mutated-${seed}-${round}.csv`;
      const imported = await app
        .importRecording({ seriesId, fileName, bytes: [bytes], layout: layout.value, saveLayoutAs: fileName })
        .catch(() => undefined);
      if (spoilt) watcher.exec("drop trigger refuse");
      const after = held();
      const where = [seed, round];
      if (imported?.ok !== true) {
        if (spoilt && readRecording(bytes, layout.value).ok) undone += 1;
        else refused += 1;
        expect([where, after]).toEqual([where, before]);
        continue;
      }
      const { recording, pulls, known } = imported.value;
      const kept = await app.recordingBytes(recording.sha256);
      const sha256 = createHash("sha256").update(kept.ok ? kept.value : "");
      expect([where, sha256.digest("hex")]).toEqual([where, recording.sha256]);
      if (known) {
        expect([where, after]).toEqual([where, before]);
        continue;
      }
      stored += 1;
      expect([where, pulls.length]).toEqual([where, recording.reading.pulls.length]);
      expect([where, after]).toEqual([
        where,
        {
          recordings: before.recordings + 1,
          bytes: before.bytes + 1,
          pulls: before.pulls + pulls.length,
          layouts: before.layouts + 1,
        },
      ]);
    }
  }
  // All three happened, or this would have shown nothing.
  expect([stored > 0, refused > 0, undone > 0]).toEqual([true, true, true]);
});
