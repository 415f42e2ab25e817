// A soak: recordings imported into one book in one go. Prints what memory the process holds after each tenth of them.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createApp } from "../src/app/mod.ts";
import { nodeEffects } from "../src/app/node/mod.ts";
import { openSqliteBook } from "../src/store/mod.ts";
import { layout, recordingOf } from "../test/app/open-app.ts";

const count = Number(process.argv[2] ?? 2000);
const folder = mkdtempSync(join(tmpdir(), "bitterend-soak-"));
const opened = await openSqliteBook(join(folder, "book.sqlite"), { create: true });
if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
const app = createApp(nodeEffects(opened.value));
const series = await app.create("series", { title: "soak" });
if (!series.ok) throw new Error(JSON.stringify(series.problems));
const from = performance.now();
process.stdout.write("| recordings | resident MiB | JavaScript heap MiB | seconds |\n|--:|--:|--:|--:|\n");
for (let at = 1; at <= count; at++) {
  // Each of some 3,400 rows, with a peak of its own.
  const bytes = recordingOf([30 + at / 1000]);
  const imported = await app.importRecording({
    seriesId: series.value.id,
    fileName: `${at}.csv`,
    bytes: [bytes],
    layout,
  });
  if (!imported.ok) throw new Error(JSON.stringify(imported.problems));
  if (at % Math.ceil(count / 10) > 0) continue;
  const { rss, heapUsed } = process.memoryUsage();
  const mib = (held: number) => (held / 2 ** 20).toFixed(0);
  process.stdout.write(
    `| ${at} | ${mib(rss)} | ${mib(heapUsed)} | ${((performance.now() - from) / 1000).toFixed(1)} |\n`,
  );
}
await opened.value.close();
rmSync(folder, { recursive: true });
