// The server under measurement, in a thread of its own: ours with a book that holds one long recording, or a bare one.
import { join } from "node:path";
import { parentPort, workerData } from "node:worker_threads";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { startServer } from "../../src/server/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { layout } from "../../test/app/open-app.ts";
import { plainServer } from "./book-works.ts";

const { what, folder } = workerData as { what: "ours" | "plain"; folder: string };
/** As many bytes as our answer has: a header, and three numbers for each of 1,500 columns. */
const answerBytes = 24 + 1500 * 24;

if (what === "plain") parentPort?.postMessage({ port: await plainServer(answerBytes), path: "/?" });
else {
  const opened = await openSqliteBook(join(folder, "book.sqlite"), { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));
  const series = await app.create("series", { title: "bench" });
  if (!series.ok) throw new Error(JSON.stringify(series.problems));
  const lines = ["time_s,force_kN"];
  for (let row = 0; row < 1_000_000; row++) {
    const phase = (row / 1000) % 100;
    const load = phase >= 20 && phase < 80 ? (phase - 20) * 0.6 : 0;
    lines.push(`${(row / 1000).toFixed(3)},${(load + ((row * 7919) % 4001) / 200_000).toFixed(4)}`);
  }
  const bytes = new TextEncoder().encode(`${lines.join("\n")}\n`);
  const imported = await app.importRecording({
    seriesId: series.value.id,
    fileName: "long.csv",
    bytes: [bytes],
    layout,
  });
  if (!imported.ok) throw new Error(JSON.stringify(imported.problems));
  const started = await startServer({ app, webRoot: folder, version: "bench" }, { port: 0 });
  if (!started.ok) throw new Error(JSON.stringify(started.problems));
  const path = `/api/recordings/${imported.value.recording.sha256}/trace?columns=1500`;
  parentPort?.postMessage({ port: started.value.port, path });
}
