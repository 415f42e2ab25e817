import { writeFileSync } from "node:fs";
import { parentPort, Worker, workerData } from "node:worker_threads";
import { growths } from "../../src/findings/mod.ts";
import { askedFor, runSeries, type SlipRecord, type SlipTask } from "./slip-or-break.ts";
import { rowsOf, writeSlipPage, writeSlipTable } from "./slip-or-break-write.ts";

const folder = "docs/methods";

/** True in a thread that was started for this part; it has then begun to answer. */
export function answersForSlipOrBreak(): boolean {
  if (workerData !== "slip-or-break") return false;
  parentPort?.on("message", (task: SlipTask) => parentPort?.postMessage(runSeries(task)));
  return true;
}

/** Draws the series in two threads and writes page and table; with `print` it only prints the page. */
export async function coverSlipOrBreak(about: {
  readonly seed: number;
  readonly draws?: number | undefined;
  readonly print: boolean;
}): Promise<void> {
  const { seed, draws = 2000, print } = about;
  const size = 50;
  const tasks = askedFor.flatMap((asked) =>
    growths.flatMap((law) =>
      Array.from(
        { length: Math.ceil(draws / size) },
        (_, i): SlipTask => ({
          law,
          asked,
          from: i * size,
          to: Math.min((i + 1) * size, draws),
          seed,
        }),
      ),
    ),
  );
  const records: SlipRecord[] = [];
  let done = 0;
  const all = tasks.length;
  const one = () =>
    new Promise<void>((resolve, reject) => {
      const worker = new Worker(new URL(import.meta.url), { workerData: "slip-or-break" });
      const next = () => {
        const task = tasks.shift();
        if (task !== undefined) worker.postMessage(task);
        else worker.terminate().then(() => resolve(), reject);
      };
      worker.on("message", (more: SlipRecord[]) => {
        records.push(...more);
        done += 1;
        if (done % 20 === 0) process.stderr.write(`slip-or-break: ${done} of ${all}\n`);
        next();
      });
      worker.on("error", reject);
      next();
    });
  await Promise.all([one(), one()]);
  const rows = rowsOf(records);
  const page = writeSlipPage(rows, seed);
  if (print) {
    console.log(page);
    return;
  }
  writeFileSync(`${folder}/coverage-slip-or-break.json`, writeSlipTable(rows));
  writeFileSync(`${folder}/coverage-slip-or-break.md`, page);
  console.log(`${records.length} series written to ${folder}/coverage-slip-or-break.md and .json`);
}
