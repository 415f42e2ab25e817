// npm run bench: our time at each piece of the work beside what an able person would otherwise use and beside C, in one
// run, turn by turn. What is asked of it, and what came out last, is in docs/performance.md.
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { makeData } from "./data.ts";
import { drawGrowth, measureGrowth } from "./growth.ts";
import { type Done, type Server, startServer, wholeProcess } from "./server.ts";
import { type Peer, type Side, type Work, works } from "./works.ts";

/** What one side needed, of all its turns. */
export type Times = {
  readonly minMs: number;
  readonly medianMs: number;
  readonly cpuMs: number;
  readonly spread: number;
  readonly peakMiB?: number;
  /** How long one waited for an answer among many: half of the time at most, and 99 times of 100. */
  readonly waits?: { readonly p50Ms: number; readonly p99Ms: number };
};
export type Line = {
  readonly name: string;
  readonly title: string;
  readonly size: string;
  readonly ours: Times;
  readonly others: readonly {
    readonly by: string;
    readonly times?: Times;
    readonly missing?: string;
    readonly atMost?: number;
    readonly ratio?: number;
    readonly agrees?: boolean;
  }[];
};

const { values: asked } = parseArgs({
  options: {
    only: { type: "string", multiple: true },
    quick: { type: "boolean", default: false },
    json: { type: "boolean", default: false },
    compare: { type: "string" },
    out: { type: "string" },
    growth: { type: "string" },
    repeats: { type: "string", default: "5" },
  },
});
const root = process.cwd();
const folder = join(root, "node_modules/.cache/bitterend/bench");
const bench = join(root, "bench");
const say = (text: string) => process.stderr.write(`${text}\n`);
/** Debian's own, which knows Debian's packages, where another stands before it in the path. */
const python = existsSync("/usr/bin/python3") ? "/usr/bin/python3" : "python3";
const missing = new Map<Side, string>();

mkdirSync(folder, { recursive: true });
makeData(folder);
if (asked.growth !== undefined) {
  const all = await measureGrowth(process.env["BITTEREND_BENCH_OURS"] ?? "", folder, asked.quick ? 1 : 3);
  writeFileSync(asked.growth, drawGrowth(all));
  for (const { name, unit, points, exponent } of all)
    process.stdout.write(
      `| ${name} | ${points.map(({ size, ms: took }) => `${size} ${unit}: ${ms(took)} ms`).join("; ")} | ${exponent.toFixed(2)} |\n`,
    );
  process.exit(0);
}
const limits = buildLimits();
const lines: Line[] = [];
for (const work of works) {
  if (asked.only !== undefined && !asked.only.includes(work.name)) continue;
  if (asked.quick && (work.file ?? "").includes("10000000")) continue;
  say(`${work.name} ...`);
  lines.push(await measure(work));
}
if (asked.out !== undefined) writeFileSync(asked.out, `${JSON.stringify(lines, null, 1)}\n`);
process.stdout.write(asked.json ? `${JSON.stringify(lines, null, 1)}\n` : table(lines));
for (const [side, why] of missing)
  process.stdout.write(`missing: ${side}: ${why}; \`npm run bench:peers\` installs it.\n`);
const wrong = lines.flatMap(({ name, others }) =>
  others.filter(({ agrees }) => agrees === false).map(({ by }) => `${name}: ${by} computes something else`),
);
for (const one of wrong) process.stdout.write(`FAILED: ${one}\n`);
const slower = asked.compare === undefined ? [] : slowerThan(JSON.parse(readFileSync(asked.compare, "utf8")));
for (const one of slower) process.stdout.write(`slower: ${one}\n`);
process.exitCode = wrong.length + slower.length > 0 ? 1 : 0;

async function measure(work: Work): Promise<Line> {
  const count = asked.quick ? (work.quickCount ?? work.count) : work.count;
  const file = work.file === undefined ? "" : join(folder, work.file);
  const turns = [{ by: "ours" as const, note: "" }, ...work.peers].map((peer) =>
    turnOf(peer, work, file, count),
  );
  const repeats = Math.max(5, Number(asked.repeats));
  // The first turn warms up, and its answers are held against each other before anything is timed.
  const answers: (readonly number[] | undefined)[] = [];
  for (const turn of turns) answers.push(await attempt(turn));
  for (let repeat = 0; repeat < repeats; repeat++) for (const turn of turns) await attempt(turn);
  const [ours, ...others] = turns;
  if (ours === undefined || ours.done.length === 0)
    throw new Error(`${work.name}: ${ours?.failed ?? "not done"}`);
  const each = work.each === true ? count : 1;
  const own = { ...timesOf(ours.done, each, ours.server?.peakMiB()), ...waitsOf(work, ours.done) };
  for (const turn of turns) turn.server?.stop();
  return {
    name: work.name,
    title: work.title,
    size: work.size,
    ours: own,
    others: others.map((turn, at) => {
      const { atMost } = work.peers[at] as Peer;
      const by = turn.name;
      if (turn.failed !== undefined)
        return { by, missing: turn.failed, ...(atMost === undefined ? {} : { atMost }) };
      const times: Times = { ...timesOf(turn.done, each), ...waitsOf(work, turn.done) };
      const agrees =
        work.agree === undefined ? {} : { agrees: areAlike(answers[0], answers[at + 1], work.agree) };
      return {
        by,
        times,
        ratio: (own.waits?.p50Ms ?? own.minMs) / (times.waits?.p50Ms ?? times.minMs),
        ...(atMost === undefined ? {} : { atMost }),
        ...agrees,
      };
    }),
  };
}

type Turn = {
  name: string;
  done: Done[];
  failed?: string;
  server?: Server;
  warm: boolean;
  once(): Promise<Done>;
};

function turnOf(peer: Peer | { by: "ours"; note: string }, work: Work, file: string, count: number): Turn {
  const words = {
    ours: "ours",
    c: "C",
    r: "R",
    python: "Python",
    duckdb: "DuckDB",
    papaparse: "papaparse",
    plot: "Plot",
    node: "Node",
    plain: "plain",
  };
  const name = peer.note ? `${words[peer.by]} (${peer.note})` : words[peer.by];
  if (work.whole === true)
    return { name, done: [], warm: false, once: () => wholeProcess(...processOf(peer.by, file)) };
  const server = serverOf(peer.by);
  // The limit of the whole reading is one pass.
  const asks =
    work.name === "reading" && peer.by !== "ours"
      ? "pass"
      : work.name === "csv-small" || (work.name === "csv-threads" && peer.by !== "ours")
        ? "csv"
        : work.name + (peer.by === "plain" ? "-plain" : "");
  return { name, done: [], server, warm: false, once: () => server.ask(asks, file, count) };
}

async function attempt(turn: Turn): Promise<readonly number[] | undefined> {
  if (turn.failed !== undefined) return undefined;
  try {
    const done = await turn.once();
    if (turn.warm) turn.done.push(done);
    turn.warm = true;
    return done.answer;
  } catch (error) {
    turn.failed = error instanceof Error ? error.message : String(error);
    const side = turn.name.split(" ")[0]?.toLowerCase() as Side;
    missing.set(side, turn.failed);
    return undefined;
  }
}

function serverOf(by: Side | "ours"): Server {
  const peers = join(bench, "peers");
  if (by === "ours" || by === "plain")
    return startServer(process.execPath, [process.env["BITTEREND_BENCH_OURS"] ?? ""], root);
  if (by === "c") return startServer(limits, []);
  if (by === "r") return startServer("Rscript", [join(peers, "serve.R")]);
  if (by === "python") return startServer(python, [join(peers, "serve.py")]);
  return startServer(process.execPath, [join(peers, "serve-node.mjs"), by], bench);
}

function processOf(by: Side | "ours", file: string): [string, string[]] {
  if (by === "ours") return [process.execPath, [join(root, "dist/cli.js"), "read", file, "--json"]];
  if (by === "node") return [process.execPath, ["-e", "0"]];
  if (by === "python") return [python, ["-c", `import pandas; pandas.read_csv(${JSON.stringify(file)})`]];
  return ["Rscript", ["-e", `d <- data.table::fread(${JSON.stringify(file)})`]];
}

function buildLimits(): string {
  const program = join(folder, "limits");
  const { status } = spawnSync("cc", ["-O2", "-o", program, join(bench, "limits/serve.c"), "-lm"], {
    stdio: "inherit",
  });
  if (status !== 0) say("The limits in C could not be built.");
  return program;
}

function timesOf(done: readonly Done[], each: number, peakMiB?: number): Times {
  const walls = done.map(({ ms }) => ms / each).sort((a, b) => a - b);
  const minMs = walls[0] as number;
  const medianMs = walls[walls.length >> 1] as number;
  const cpuMs = Math.min(...done.map((one) => one.cpuMs / each));
  return {
    minMs,
    medianMs,
    cpuMs,
    spread: (walls.at(-1) as number) / minMs,
    ...(peakMiB === undefined ? {} : { peakMiB }),
  };
}

/** The least p50 of the turns, and the middle one of their p99. */
function waitsOf({ waits }: Work, done: readonly Done[]): Pick<Times, "waits"> {
  if (waits !== true) return {};
  const sorted = (at: number) => done.map(({ answer }) => answer[at] as number).sort((a, b) => a - b);
  const p99 = sorted(1);
  return { waits: { p50Ms: sorted(0)[0] as number, p99Ms: p99[p99.length >> 1] as number } };
}

function areAlike(
  one: readonly number[] | undefined,
  other: readonly number[] | undefined,
  within: number,
): boolean {
  if (one === undefined || other === undefined || one.length > other.length) return false;
  return one.every(
    (value, at) => Math.abs(value - (other[at] as number)) <= within * Math.max(Math.abs(value), 1e-300),
  );
}

/** What needs more time than in the kept run by more than both runs' own spread. */
function slowerThan(before: readonly Line[]): string[] {
  return lines.flatMap(({ name, ours }) => {
    const was = before.find((line) => line.name === name)?.ours;
    if (was === undefined) return [];
    const noise = Math.max(was.medianMs / was.minMs, ours.medianMs / ours.minMs, 1.1);
    const ratio = ours.minMs / was.minMs;
    return ratio > noise
      ? [`${name} takes ${ratio.toFixed(2)} times as long (noise ${noise.toFixed(2)})`]
      : [];
  });
}

/** The table as Markdown, as docs/performance.md holds it. */
function table(all: readonly Line[]): string {
  const rows = all.flatMap(({ name, title, size, ours, others }) => [
    `| ${name} | ${title}; ${size} | ours${waitsIn(ours)} | ${ms(ours.minMs)} | ${ms(ours.medianMs)} | ${ms(ours.cpuMs)} | | | ${ours.peakMiB?.toFixed(0) ?? ""} |`,
    ...others.map(({ by, times, missing: gone, ratio, atMost }) =>
      times === undefined
        ? `| | | ${by} | missing: ${gone} | | | | | |`
        : `| | | ${by}${waitsIn(times)} | ${ms(times.minMs)} | ${ms(times.medianMs)} | ${ms(times.cpuMs)} | ${share(ratio)} | ${atMost === undefined ? "" : `${share(atMost)} ${(ratio ?? 9) <= atMost ? "met" : "**not met**"}`} | |`,
    ),
  ]);
  return `${["| work | what | by | least ms | median ms | processor ms | ours / theirs | at most | MiB |", "|---|---|---|--:|--:|--:|--:|--:|--:|", ...rows].join("\n")}\n`;
}

function waitsIn({ waits }: Times): string {
  return waits === undefined ? "" : `; p50 ${ms(waits.p50Ms)} ms, p99 ${ms(waits.p99Ms)} ms`;
}

function ms(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(3))) : "";
}

function share(value: number | undefined): string {
  return value === undefined ? "" : String(Number(value.toPrecision(2)));
}
