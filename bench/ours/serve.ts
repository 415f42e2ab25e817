// Our side of each work, in a process of its own. One line in, "work file count"; one line out, wall ms, processor ms and
// the answer. What a work needs beforehand is made before the clock starts.
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { openPieces } from "../../src/cli/files.ts";
import { prepareSlipOrBreak, refitSlipOrBreak } from "../../src/findings/mod.ts";
import { drawnPulls } from "../../src/findings/slip-or-break/test-pulls.ts";
import type { Result } from "../../src/problem/mod.ts";
import { renderReport } from "../../src/report/mod.ts";
import { estimateFamily } from "../../src/stats/fit/fit.ts";
import { permutationTest } from "../../src/stats/groups/permutation.ts";
import { bootstrap, mixedModel, toleranceFactor } from "../../src/stats/mod.ts";
import { packRowText } from "../../src/store/packing/row-text.ts";
import { unpackColumns, unpackRowText } from "../../src/store/packing/unpack-rows.ts";
import { readClock } from "../../src/trace/clock.ts";
import { findDrops } from "../../src/trace/drops.ts";
import {
  completeLayout,
  createRecordingParser,
  type Layout,
  layoutHeadBytes,
  proposeLayout,
  readTrace,
  type Trace,
  traceWindow,
} from "../../src/trace/mod.ts";
import { noiseOf } from "../../src/trace/noise.ts";
import { buildPyramid, extremesOf, pyramidOf } from "../../src/trace/pyramid.ts";
import { inventedReport } from "../../test/report/invented-series.ts";
import { http, list, listPlain, store, storePlain } from "./book-works.ts";

type Doing = () => readonly number[] | Promise<readonly number[]>;
type Work = (file: string, count: number) => Doing | Promise<Doing>;

const works: Readonly<Record<string, Work>> = {
  csv: (file) => () => {
    const { forceN } = traceOf(file).trace;
    let sum = 0;
    for (let row = 0; row < forceN.length; row++) sum += forceN[row] as number;
    return [forceN.length, sum];
  },
  reading: (file) => {
    const { trace, layout } = kept(file, () => traceOf(file));
    // What was found out about a column is kept with it: a column of the same samples is read as the first time.
    return () => [readTrace({ ...trace, forceN: trace.forceN.subarray() }, { layout }).pulls.length];
  },
  pass: (_, rows) => {
    const { timeS, forceN } = kept(`pulls ${rows}`, () => pulled(rows));
    return () => {
      const force = forceN.subarray();
      const [low, high] = extremesOf(force, pyramidOf(force), 0, rows);
      const { intervalS = 0 } = readClock(timeS);
      // Noise is told otherwise by each: by the median of steps here, by their mean square there. It is not compared.
      noiseOf(force);
      return [low, high, intervalS, findDrops(force, 0, rows, 1000).length];
    };
  },
  pyramid: (_, rows) => {
    const force = made(rows);
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
    traceWindow(trace, { columns: 1500 });
    let at = 0;
    return () => {
      at = (at + 1) % 50;
      const { highN } = traceWindow(trace, {
        fromRow: 1 + at * 1000,
        toRow: rows - at * 1000,
        columns: 1500,
      });
      return [highN.length];
    };
  },
  "tolerance-one": (_, count) => () => {
    const factor = (n: number) =>
      value(toleranceFactor({ n, content: 0.95, confidence: 0.95, sides: "one" })).factor;
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
  bootstrap: (file) => {
    const values = numbers(file);
    return () => value(bootstrap({ values, statistic: "mean", seed: 1 })).interval;
  },
  permutation: (file, count) => {
    const all = numbers(file);
    const [a, b] = [all.slice(0, all.length / 2), all.slice(all.length / 2)];
    return () => {
      let p = 0;
      for (let i = 0; i < count; i++) ({ p } = permutationTest(a, b, 99_999, 1));
      return [p];
    };
  },
  mixed: (file, count) => {
    const all = numbers(file);
    const column = (from: number) => all.filter((_, at) => at % 3 === from);
    const input = { response: column(0), fixed: { x: column(1) }, group: column(2).map(String) };
    return () => {
      let answer: readonly number[] = [];
      for (let i = 0; i < count; i++) {
        const { fixed, groupSd, residualSd } = value(mixedModel(input));
        answer = [fixed["x"] ?? 0, groupSd, residualSd];
      }
      return answer;
    };
  },
  refits: (_, refits) => {
    const { pulls } = drawnPulls(3, "exponential", 12);
    return () => {
      const plan = value(prepareSlipOrBreak({ pulls, refits, seed: 5 }));
      refitSlipOrBreak(plan, 0, refits);
      return [plan.refits];
    };
  },
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
  report: () => {
    const input = inventedReport();
    return () => [renderReport(input).length];
  },
};

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

function traceOf(file: string): { trace: Trace; layout: Layout } {
  // As `bitterend read` does it, but for the hash.
  const opened = value(openPieces(file, layoutHeadBytes));
  if (opened === undefined) throw new Error("no file");
  const { head, sizeBytes, pieces } = opened;
  const proposal = value(proposeLayout(head, { totalBytes: sizeBytes }));
  const layout = value(completeLayout(proposal.layout, {}));
  const parser = createRecordingParser(layout, { sizeBytes });
  for (const piece of pieces()) parser.push(piece);
  return { trace: value(parser.finish()).trace, layout };
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
  const timeS = Float64Array.from({ length: rows }, (_, i) => i / 1000);
  const forceN = timeS.map((time, i) => {
    const phase = time % 100;
    return (phase >= 20 && phase < 80 ? (phase - 20) * 600 : 0) + 110 + (20 * ((i * 7919) % 65_537)) / 65_537;
  });
  return { timeS, forceN };
}

function kept<T>(key: string, make: () => T): T {
  if (held?.key !== key) held = { key, what: make() };
  return held.what as T;
}
