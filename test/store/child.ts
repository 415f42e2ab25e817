/**
 * A process of its own for test/store/durability.test.ts, called as `child.mjs WHAT BOOK`. Each line that it prints is an
 * acknowledgement: what stands in it must be in the book from then on.
 */
import { writeSync } from "node:fs";
import { openSqliteBook } from "../../src/store/mod.ts";
import { fieldsOf, keptNew, recordingOf, recordingText } from "./examples.ts";

const [what, path = ""] = process.argv.slice(2);
const opened = await openSqliteBook(path, { create: true });
if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
const book = opened.value;
// Written at once: a line in a buffer of this process would not survive it.
const acknowledge = (line: string) => writeSync(1, `${line}\n`);

if (what === "write-until-killed") {
  const series = { ...keptNew("ser"), id: "ser-1" };
  await book.transaction((work) => work.insert("series", series, fieldsOf("series", { title: "t" })));
  for (let seed = 1; ; seed += 1) {
    // Every fourth is larger than a chunk, so that the kill also falls between the rows of one recording.
    const bytes = recordingText(seed % 4 === 0 ? 400_000 : 2000, seed);
    const recording = recordingOf("ser-1", bytes, `pull-${seed}.csv`);
    await book.transaction(async (work) => {
      await work.insertRecording(recording, [bytes]);
      const pull = { seriesId: "ser-1", recordingSha256: recording.sha256, recordingPull: 1 };
      await work.insert("pull", { ...keptNew("pul"), id: `pul-${seed}` }, fieldsOf("pull", pull));
    });
    acknowledge(recording.sha256);
  }
}

if (what === "count-to-50") {
  for (let turn = 0; turn < 50; turn += 1)
    await book.transaction(async (work) =>
      work.setFact("count", String(Number((await work.getFact("count")) ?? "0") + 1)),
    );
  await book.close();
  acknowledge("done");
}
