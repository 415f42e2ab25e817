import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { isMainThread, parentPort, Worker } from "node:worker_threads";
import { type Cell, cellsOf, type Row, runCell } from "./cells.ts";
import { answersForSlipOrBreak, coverSlipOrBreak } from "./slip-or-break-run.ts";
import { subjects } from "./subjects.ts";
import { coverWhatMattered } from "./what-mattered-write.ts";
import { readTable, writePage, writeTable } from "./write.ts";
import { drawPlaces } from "./write-methods.ts";

// npm run coverage: how often each statement holds that claims a confidence, where the truth is known.

const usage = `Usage: npm run coverage -- [slip-or-break | what-mattered] [--seed N] [--only NAME] [--draws N] [--print | --page]
  slip-or-break  only the bury to state, in simulated series; its page is coverage-slip-or-break.md
  what-mattered  only effects, parts of the scatter and pools, in simulated series; its page is coverage-what-mattered.md
  --seed N     any whole number (default 1)
  --only NAME  one statement: ${subjects.map(({ name }) => `"${name}"`).join(", ")}
  --draws N    that many draws in every cell, whatever they cost
  --print      print the page and write nothing
  --page       draw nothing: write the page again from the table
Without --print the page docs/methods/coverage.md, the table beside it and the figures on the methods' pages are written;
with --only the other rows of the table stay as they are.`;

type Options = {
  seed: number;
  only?: string;
  draws?: number;
  print: boolean;
  page: boolean;
};

const folder = "docs/methods";
const threads = 2;

if (isMainThread) await main();
else if (!answersForSlipOrBreak()) parentPort?.on("message", work);

type Done = { readonly rows: readonly Row[]; readonly faults: readonly string[] };

function work(cell: Cell): void {
  const faults: string[] = [];
  const rows = runCell(cell, (fault) => faults.push(fault));
  parentPort?.postMessage({ rows, faults } satisfies Done);
}

async function main(): Promise<void> {
  const parts: Readonly<Record<string, (about: Options) => Promise<void> | void>> = {
    "slip-or-break": coverSlipOrBreak,
    "what-mattered": coverWhatMattered,
  };
  const alone = parts[process.argv[2] ?? ""];
  const options = readOptions(process.argv.slice(alone === undefined ? 2 : 3));
  if (options === undefined) {
    console.error(usage);
    process.exitCode = 2;
    return;
  }
  if (alone !== undefined) return alone(options);
  if (options.only === undefined && !options.page)
    for (const cover of Object.values(parts)) await cover(options);
  const cells = options.page ? [] : cellsOf(options);
  const { rows: found, faults } = await inThreads(cells);
  for (const fault of faults.slice(0, 10)) console.error(`Fault: ${fault}`);
  if (faults.length > 0) {
    console.error(`${faults.length} draws met a fault of the program.`);
    process.exitCode = 1;
  }
  const table = `${folder}/coverage.json`;
  const isNew = ({ subject }: Row) => found.some((row) => row.subject === subject);
  const kept = existsSync(table) ? readTable(readFileSync(table, "utf8")).filter((row) => !isNew(row)) : [];
  const rows = [...kept, ...found];
  if (options.print) {
    console.log(writePage(found, options.seed));
    return;
  }
  writeFileSync(table, writeTable(rows));
  writeFileSync(`${folder}/coverage.md`, writePage(rows, options.seed));
  drawOnPages(rows);
  console.log(`${found.length} rows written to ${folder}/coverage.md and coverage.json`);
}

/** The pages of the methods hold a part of the table beside what they say of it. */
function drawOnPages(rows: readonly Row[]): void {
  for (const name of readdirSync(folder).filter((file) => file.endsWith(".md"))) {
    const page = readFileSync(`${folder}/${name}`, "utf8");
    const drawn = drawPlaces(page, rows);
    if (drawn !== page) writeFileSync(`${folder}/${name}`, drawn);
  }
}

async function inThreads(cells: readonly Cell[]): Promise<Done> {
  const rows: Row[] = [];
  const faults: string[] = [];
  const waiting = [...cells];
  let done = 0;
  const started = performance.now();
  const one = () =>
    new Promise<void>((resolve, reject) => {
      const worker = new Worker(new URL(import.meta.url));
      const next = () => {
        const cell = waiting.shift();
        if (cell !== undefined) worker.postMessage(cell);
        else worker.terminate().then(() => resolve(), reject);
      };
      worker.on("message", (more: Done) => {
        rows.push(...more.rows);
        faults.push(...more.faults);
        done += 1;
        const seconds = ((performance.now() - started) / 1000).toFixed(0);
        if (process.stderr.isTTY) process.stderr.write(`\r${done} of ${cells.length} cells, ${seconds} s `);
        else if (done % 20 === 0) process.stderr.write(`${done} of ${cells.length} cells, ${seconds} s\n`);
        next();
      });
      worker.on("error", reject);
      next();
    });
  await Promise.all(Array.from({ length: Math.min(threads, cells.length) }, one));
  if (process.stderr.isTTY) process.stderr.write("\n");
  return { rows, faults };
}

function readOptions(words: readonly string[]): Options | undefined {
  const options: Options = { seed: 1, print: false, page: false };
  for (let at = 0; at < words.length; at++) {
    const word = words[at];
    if (word === "--print") options.print = true;
    else if (word === "--page") options.page = true;
    else if (word === "--only") {
      const name = words[++at];
      if (!subjects.some((subject) => subject.name === name)) return undefined;
      options.only = name as string;
    } else if (word === "--seed" || word === "--draws") {
      const value = Number(words[++at]);
      if (!Number.isSafeInteger(value) || value < (word === "--draws" ? 1 : 0)) return undefined;
      options[word === "--seed" ? "seed" : "draws"] = value;
    } else return undefined;
  }
  return options;
}
