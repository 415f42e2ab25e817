import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { type JudgedRecording, judgeSeed } from "./judge-recording.ts";
import { printTally } from "./print.ts";
import { tally } from "./tally.ts";

// npm run accuracy: draws recordings, reads them, and prints how near the readings came to the truth.

const usage = `Usage: npm run accuracy -- [--seed N] [--count N] [--list] [--json]
  --seed N    any number; recording i has the seed N × 1,000,000 + i (default 1)
  --count N   how many recordings (default 2000)
  --list      the seeds of those that failed; bitterend simulate --seed SEED --out DIR writes one
  --json      figures and seeds as JSON`;

type Options = { seed: number; count: number; list: boolean; json: boolean };
type Task = { readonly seeds: readonly number[] };

const workers = 2;

if (isMainThread) await main();
else work(workerData as Task);

async function main(): Promise<void> {
  const options = readOptions(process.argv.slice(2));
  if (options === undefined) {
    console.error(usage);
    process.exitCode = 2;
    return;
  }
  const seeds = Array.from({ length: options.count }, (_, at) => options.seed * 1_000_000 + at);
  const started = performance.now();
  let done = 0;
  const tell = () => {
    done++;
    if (process.stderr.isTTY) process.stderr.write(`\r${done} of ${options.count} `);
  };
  const parts = await Promise.all(
    Array.from({ length: workers }, (_, at) =>
      inThread(
        seeds.filter((__, i) => i % workers === at),
        tell,
      ),
    ),
  );
  const judged = parts.flat().sort((a, b) => a.seed - b.seed);
  const sums = tally(judged);
  const seconds = (performance.now() - started) / 1000;
  if (process.stderr.isTTY) process.stderr.write("\r");
  if (options.json) console.log(JSON.stringify({ ...options, seconds, ...sums }, null, 2));
  else {
    const rows = judged.reduce((sum, one) => sum + one.rows, 0);
    const readS = judged.reduce((sum, one) => sum + one.readS, 0);
    console.log(
      `${judged.length} recordings from seed ${options.seed}, ${rows.toLocaleString("en")} rows; drawn, read and judged in ` +
        `${seconds.toFixed(0)} s (reading alone ${readS.toFixed(0)} s of ${workers} threads)\n`,
    );
    for (const line of printTally(sums, options)) console.log(line);
  }
  process.exitCode = sums.lines.some(({ met }) => met === false) ? 1 : 0;
}

function inThread(seeds: readonly number[], tell: () => void): Promise<JudgedRecording[]> {
  const judged: JudgedRecording[] = [];
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: { seeds } satisfies Task });
    worker.on("message", (one: JudgedRecording) => {
      judged.push(one);
      tell();
    });
    worker.on("error", reject);
    worker.on("exit", () => resolve(judged));
  });
}

function work({ seeds }: Task): void {
  for (const seed of seeds) {
    try {
      parentPort?.postMessage(judgeSeed(seed, () => performance.now() / 1000));
    } catch (error) {
      throw new Error(`recording ${seed}`, { cause: error });
    }
  }
}

function readOptions(words: readonly string[]): Options | undefined {
  const options: Options = { seed: 1, count: 2000, list: false, json: false };
  for (let at = 0; at < words.length; at++) {
    const word = words[at];
    if (word === "--list" || word === "--json") options[word === "--list" ? "list" : "json"] = true;
    else if (word === "--seed" || word === "--count") {
      const value = Number(words[++at]);
      if (!Number.isSafeInteger(value * 1_000_000) || (word === "--count" && value < 1)) return undefined;
      options[word === "--seed" ? "seed" : "count"] = value;
    } else return undefined;
  }
  return options;
}
