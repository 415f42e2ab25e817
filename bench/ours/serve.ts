// Our side of each work, in a process of its own. One line in, "work file count"; one line out, wall ms, processor ms and
// the answer. What a work needs beforehand is made before the clock starts.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";
import { parseFile } from "../../src/app/node/parse-halves.ts";
import { openPieces } from "../../src/cli/files.ts";
import { prepareSlipOrBreak, refitSlipOrBreak } from "../../src/findings/mod.ts";
import { createLaw } from "../../src/findings/slip-or-break/law.ts";
import { bestTop } from "../../src/findings/slip-or-break/plan.ts";
import { readInput } from "../../src/findings/slip-or-break/sample.ts";
import { drawnPulls } from "../../src/findings/slip-or-break/test-pulls.ts";
import type { Result } from "../../src/problem/mod.ts";
import { renderReport } from "../../src/report/mod.ts";
import { estimateFamily } from "../../src/stats/fit/fit.ts";
import { permutationTest } from "../../src/stats/groups/permutation.ts";
import { bootstrap, mixedModel, toleranceFactor } from "../../src/stats/mod.ts";
import { fixedPartOf } from "../../src/stats/models/fixed-part.ts";
import { fitOneGrouping } from "../../src/stats/models/one-grouping.ts";
import { packRowText } from "../../src/store/packing/row-text.ts";
import { unpackColumns, unpackRowText } from "../../src/store/packing/unpack-rows.ts";
import { createLongColumn } from "../../src/trace/kernel/column-memory.ts";
import {
  completeLayout,
  createRecordingParser,
  type Layout,
  layoutHeadBytes,
  type ParseOptions,
  proposeLayout,
  readTrace,
  type Trace,
  traceWindow,
} from "../../src/trace/mod.ts";
import { findDrops } from "../../src/trace/pull/drops.ts";
import { readClock } from "../../src/trace/samples/clock.ts";
import { noiseOf } from "../../src/trace/samples/noise.ts";
import { buildPyramid, extremesOf, pyramidOf } from "../../src/trace/samples/pyramid.ts";
import { columnsReadHere } from "../../src/trace/text/growing.ts";
import { inventedReport } from "../../test/report/invented-series.ts";
import { http, list, listPlain, store, storePlain } from "./book-works.ts";
import { figure, reportOf, site } from "./report-works.ts";

type Doing = () => readonly number[] | Promise<readonly number[]>;
type Work = (file: string, count: number) => Doing | Promise<Doing>;

const works: Readonly<Record<string, Work>> = {
  csv: (file) => () => countAndSum(traceOf(file).trace),
  "csv-threads": (file) => async () => {
    const { opened, layout } = layoutOf(file);
    const worker = pathToFileURL(join(process.env["BITTEREND_DIST"] ?? "dist", "part-worker.cjs"));
    const { trace } = value(await parseFile({ path: file, ...opened }, layout, { worker }));
    if (trace.forceN.buffer instanceof ArrayBuffer) throw new Error("no second thread");
    return countAndSum(trace);
  },
  reading: (file) => {
    const { trace, layout } = kept(file, () => traceOf(file, columnsReadHere()));
    const forceN = asParsed(trace.forceN);
    return () => [readTrace({ ...trace, forceN }, { layout }).pulls.length];
  },
  pass: (_, rows) => {
    const { timeS, forceN } = kept(`pulls ${rows}`, () => pulled(rows));
    const force = asParsed(forceN);
    return () => {
      const [low, high] = extremesOf(force, pyramidOf(force), 0, rows);
      const { intervalS = 0 } = readClock(timeS);
      // Noise is told otherwise by each: by the median of steps here, by their mean square there. It is not compared.
      noiseOf(force);
      return [low, high, intervalS, findDrops(force, 0, rows, 1000).length];
    };
  },
  pyramid: (_, rows) => {
    const force = asParsed(made(rows));
    return () => {
      const { lows, highs } = buildPyramid(force);
      return [
        lows.reduce(
          (total, low, at) => total + (low.at(-1) as number) + ((highs[at] as Float64Array)[0] as number),
          0,
        ),
      ];
    };
  },
  window: (_, rows) => {
    const forceN = made(rows);
    const trace: Trace = { forceN, missing: 0 };
    const windowAt = (at: number) =>
      traceWindow(trace, { fromRow: 1 + at * 1000, toRow: rows - at * 1000, columns: 1500 });
    // As in a program that has shown others before: a dozen are not enough for the compiler.
    for (let at = 50; at > 1; at--) windowAt(at);
    return () => [windowAt(1).highN.length];
  },
  "tolerance-one": (_, count) => () => {
    const factor = (n: number) =>
      value(toleranceFactor({ n, content: 0.95, confidence: 0.95, sides: "one" })).factor;
    for (let i = 1; i <= count; i++) factor(10 + (i % 20));
    return [factor(10)];
  },
  "tolerance-two": (_, count) => () => {
    const factor = (n: number) =>
      value(toleranceFactor({ n, content: 0.95, confidence: 0.95, sides: "two" })).factor;
    for (let i = 1; i <= count; i++) factor(10 + (i % 20));
    return [factor(10)];
  },
  weibull: (file, count) => {
    const all = numbers(file);
    const values = all.filter((_, at) => at % 2 === 0);
    const censored = all.filter((_, at) => at % 2 === 1).map((seen) => seen === 0);
    return () => {
      let answer: readonly number[] = [];
      for (let i = 0; i < count; i++) {
        const { parameters } = value(estimateFamily({ family: "weibull", values, censored }));
        answer = [parameters["shape"] ?? 0, parameters["scale"] ?? 0];
      }
      return answer;
    };
  },
  bootstrap: (file, count) => {
    const values = numbers(file);
    return () => {
      for (let i = 1; i < count; i++) value(bootstrap({ values, statistic: "mean", seed: 1 + i }));
      return value(bootstrap({ values, statistic: "mean", seed: 1 })).interval;
    };
  },
  permutation,
  "permutation-ranks": permutation,
  "permutation-all": permutation,
  mixed: (file, count) => {
    const all = numbers(file);
    const column = (from: number) => all.filter((_, at) => at % 3 === from);
    const input = { response: column(0), fixed: { x: column(1) }, group: column(2).map(String) };
    return () => {
      for (let i = 1; i < count; i++) value(mixedModel(input));
      const { fixed, groupSd, residualSd, satterthwaiteDf, intervals } = value(mixedModel(input));
      const ends = Object.values(intervals);
      return [
        fixed["x"] ?? 0,
        groupSd,
        residualSd,
        ...Object.values(satterthwaiteDf),
        ...ends.map(([low]) => low),
        ...ends.map(([, high]) => high),
      ];
    };
  },
  "mixed-fit": (file, count) => {
    const all = numbers(file);
    const column = (from: number) => all.filter((_, at) => at % 3 === from);
    const [response, x, group] = [column(0), column(1), Int32Array.from(column(2))];
    return () => {
      let answer: readonly number[] = [];
      for (let i = 0; i < count; i++) {
        const part = fixedPartOf([response.map(() => 1), x], response);
        const found = typeof part === "number" ? undefined : fitOneGrouping(part, group, 6);
        if (typeof part === "number" || found === undefined) throw new Error("no fit");
        const { ratio, profile } = found;
        const sd = part.scale * Math.sqrt(profile.squares / (response.length - 2));
        const beta = part.coefficients([0, 1].map((j) => -(profile.direction[j] as number)));
        answer = [beta[1] as number, sd * Math.sqrt(ratio), sd];
      }
      return answer;
    };
  },
  "slip-fit": (file, count) => {
    const all = numbers(file);
    const pulls = Array.from({ length: all.length / 3 }, (_, i) => ({
      buryDiameters: all[3 * i] as number,
      strength: all[3 * i + 1] as number,
      outcome: all[3 * i + 2] === 1 ? ("slipped" as const) : ("broke" as const),
    }));
    const { sample } = value(readInput({ pulls }));
    return () => {
      let height = 0;
      for (let i = 0; i < count; i++)
        height = bestTop(createLaw(sample, "exponential"), sample)?.height as number;
      return [height];
    };
  },
  refits: (_, count) => refits(count, "exponential"),
  "refits-both": (_, count) => refits(count, "auto"),
  pack: (file) => {
    const bytes = readFileSync(file);
    return () => [packRowText(bytes)?.length ?? bytes.length];
  },
  unpack: (file) => {
    const bytes = readFileSync(file);
    const packed = packRowText(bytes) ?? new Uint8Array();
    return () => [unpackRowText(packed, bytes.length).length];
  },
  decode: (file, count) => {
    const packed = packRowText(readFileSync(file)) ?? new Uint8Array();
    return () => {
      let columns: readonly Float64Array[] = [];
      for (let i = 0; i < count; i++) columns = unpackColumns(packed) ?? [];
      return columns.map((column) => column.at(-1) as number);
    };
  },
  store: (_, count) => store(count),
  "store-plain": (_, count) => storePlain(count),
  list: (_, count) => list(count),
  "list-plain": (_, count) => listPlain(count),
  http: (_, count) => http("ours", count),
  "http-plain": (_, count) => http("plain", count),
  "http-apart": (_, count) => http("ours", count, true),
  "http-apart-plain": (_, count) => http("plain", count, true),
  report: () => {
    const input = inventedReport();
    return () => [renderReport(input).length];
  },
  "report-200": (file, count) => kept(`report ${file}`, () => reportOf(file, count)),
  figure: (file, count) => kept(`figure ${file}`, () => figure(file, count)),
  site: (_, count) => site(count, false),
  "site-again": (_, count) => site(count, true),
};

function permutation(file: string, count: number): Doing {
  const all = numbers(file);
  const [a, b] = [all.slice(0, all.length / 2), all.slice(all.length / 2)];
  return () => {
    let p = 0;
    for (let i = 0; i < count; i++) ({ p } = permutationTest(a, b, 99_999, 1));
    return [p];
  };
}

/** Fails where a refit did not settle. */
function refits(count: number, growth: "exponential" | "auto"): Doing {
  const { pulls } = drawnPulls(3, "exponential", 12);
  return () => {
    const plan = value(prepareSlipOrBreak({ pulls, refits: count, seed: 5, growth }));
    const { values } = refitSlipOrBreak(plan, 0, count);
    if (values.some(Number.isNaN)) throw new Error("a refit did not settle");
    return [plan.refits];
  };
}

let held: { key: string; what: unknown } | undefined;

for await (const line of createInterface({ input: process.stdin })) {
  const [name = "", file = "", count = "1"] = line.split(" ");
  const work = await works[name]?.(file, Number(count));
  if (work === undefined) throw new Error(`There is no work ${name}.`);
  const cpu = process.cpuUsage();
  const from = performance.now();
  const answer = await work();
  const ms = performance.now() - from;
  const { user, system } = process.cpuUsage(cpu);
  process.stdout.write(`${[ms, (user + system) / 1000, ...answer].join(" ")}\n`);
}
// A server that was measured still listens in its thread.
process.exit();

/** As `bitterend read` does it, but for the hash. */
function layoutOf(file: string) {
  const opened = value(openPieces(file, layoutHeadBytes));
  if (opened === undefined) throw new Error("no file");
  const proposal = value(proposeLayout(opened.head, { totalBytes: opened.sizeBytes }));
  return { opened, layout: value(completeLayout(proposal.layout, {})) };
}

function traceOf(file: string, memory: ParseOptions["memory"] = []): { trace: Trace; layout: Layout } {
  const { opened, layout } = layoutOf(file);
  const parser = createRecordingParser(layout, { sizeBytes: opened.sizeBytes, memory });
  for (const piece of opened.pieces()) parser.push(piece);
  return { trace: value(parser.finish()).trace, layout };
}

function countAndSum({ forceN }: Trace): readonly number[] {
  let sum = 0;
  for (let row = 0; row < forceN.length; row++) sum += forceN[row] as number;
  return [forceN.length, sum];
}

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}

function numbers(file: string): number[] {
  return readFileSync(file, "utf8").trim().split(/\s+/).map(Number);
}

function made(rows: number): Float64Array {
  return kept(`made ${rows}`, () =>
    Float64Array.from({ length: rows }, (_, i) => ((i * 7919) % 65_537) / 8 + i / rows),
  );
}

/** As data.ts writes them: a rest, a ramp to 36 kN and a break, again and again; the peers make the same ones. */
function pulled(rows: number): { timeS: Float64Array; forceN: Float64Array } {
  const timeS = asParsed(Float64Array.from({ length: rows }, (_, i) => i / 1000));
  const forceN = timeS.map((time, i) => {
    const phase = time % 100;
    return (phase >= 20 && phase < 80 ? (phase - 20) * 600 : 0) + 110 + (20 * ((i * 7919) % 65_537)) / 65_537;
  });
  return { timeS, forceN };
}

/**
 * The same samples where the parser puts a column that is read in its own thread. Each turn has one of its own, for what was
 * found out about a column is kept with it, in memory behind it that no turn before has touched.
 */
function asParsed(values: Float64Array): Float64Array {
  const column = createLongColumn(values.length)?.subarray(0, values.length);
  if (column === undefined) return values.slice();
  column.set(values);
  return column;
}

function kept<T>(key: string, make: () => T): T {
  if (held?.key !== key) held = { key, what: make() };
  return held.what as T;
}
