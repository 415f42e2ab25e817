import { loadKernel } from "../kernel/load-kernel.ts";
import { plainRowsWasm } from "../kernel/plain-rows.wasm.ts";
import type { WantedColumn } from "./wanted-column.ts";

/** What is plain of a recording's rows. */
export type RowForm = {
  readonly separator: number;
  readonly decimal: number;
  /** Cells of a row. */
  readonly cells: number;
  /** One to three of them, in order. */
  readonly columns: readonly WantedColumn[];
  /** Which of these is the force, from 0. */
  readonly forceAt: number;
};

/** Reads rows by the kernel, as it can. */
export type KernelRows = {
  /**
   * Reads rows from `from`, the start of one, to before `end`, which is behind a line end, into the columns' rooms, and
   * calls `take` with their count. Stops at a row that is none of its, and where rows are of too many shapes.
   * @returns where the first row begins that was not read.
   */
  read(bytes: Uint8Array, from: number, end: number): number;
  /** How many rows are better read otherwise, after it stopped. */
  readonly pause: number;
  readonly fewestDecimals: number;
  readonly mostDecimals: number;
};

type RowKernel = {
  readonly memory: WebAssembly.Memory;
  readonly memoryBytes: WebAssembly.Global;
  readonly inputAt: WebAssembly.Global;
  readonly inputBytes: WebAssembly.Global;
  readonly columnsAt: WebAssembly.Global;
  readonly rowsAtOnce: WebAssembly.Global;
  setUp(
    separator: number,
    decimal: number,
    cells: number,
    wanted: number,
    a: number,
    b: number,
    c: number,
    force: number,
  ): void;
  readRows(from: number, to: number): number;
  rowsRead(): number;
  shapesSeen(): number;
  fewestDecimals(): number;
  mostDecimals(): number;
};

type Started = {
  readonly kernel: RowKernel;
  readonly input: Uint8Array;
  readonly inputAt: number;
  readonly columns: readonly Float64Array[];
  /** For whom the kernel was set up last. */
  owner: object | undefined;
};

/** One for all readers: a kernel keeps nothing of a recording but the shapes of its rows. */
let started: Started | undefined | "not to be had";

const lineFeed = 10;
/** What is handed over first, and after a row that the kernel could not read; then twice as much each time. */
const leastBytes = 4096;
/** Rows that are left to others after a stop; then twice as many each time, until a run of as many is read again. */
const leastPause = 16;
const mostPause = 65_536;

/**
 * Plain rows by WebAssembly, sixteen bytes at a time; nothing where there is no such kernel. What it buys: 7 ns a row
 * where reading byte by byte takes 25 (docs/performance.md). It copies bytes in and columns out, which is 1 ns of those.
 *
 * @param take is told how many rows were written into the columns' rooms.
 */
export function createKernelRows(form: RowForm, take: (rows: number) => void): KernelRows | undefined {
  const held = start();
  if (held === undefined) return undefined;
  const { kernel, input, inputAt } = held;
  const self = {};
  let fewest = Number.POSITIVE_INFINITY;
  let most = 0;
  let rows = 0;
  let offered = leastBytes;
  let pause = leastPause;

  const takeOver = () => {
    const [a, b, c] = form.columns.map(({ column }) => column);
    const { separator, decimal, cells, columns, forceAt } = form;
    kernel.setUp(separator, decimal, cells, columns.length, a ?? 0, b ?? 0, c ?? 0, forceAt);
    held.owner = self;
  };

  /** Reads what was copied in; returns how many bytes of it. */
  const readCopied = (size: number): number => {
    let at = inputAt;
    for (;;) {
      const next = kernel.readRows(at, inputAt + size);
      const count = kernel.rowsRead();
      form.columns.forEach(({ values }, place) => {
        const from = held.columns[place] as Float64Array;
        values.room(count).set(count === from.length ? from : from.subarray(0, count), values.length);
      });
      take(count);
      rows += count;
      at = next;
      if (count < (held.columns[0] as Float64Array).length) return at - inputAt;
    }
  };

  return {
    read(bytes, from, end) {
      rows = 0;
      if (held.owner !== self) takeOver();
      let at = from;
      while (at < end) {
        const behind = Math.min(end, at + offered);
        const to = bytes[behind - 1] === lineFeed ? behind : bytes.lastIndexOf(lineFeed, behind - 1) + 1;
        if (to <= at) {
          pause = mostPause;
          break;
        }
        input.set(bytes.subarray(at, to));
        const [rowsBefore, shapesBefore] = [rows, kernel.shapesSeen()];
        const read = readCopied(to - at);
        const isWhole = read === to - at;
        at += read;
        // Where nearly every row has a shape of its own, reading byte by byte is faster.
        const isVaried = 8 * (kernel.shapesSeen() - shapesBefore) > rows - rowsBefore + 256;
        if (!isWhole || isVaried) {
          pause = isVaried ? mostPause : rows > 4 * pause ? leastPause : Math.min(2 * pause, mostPause);
          offered = leastBytes;
          break;
        }
        offered = Math.min(2 * offered, input.length);
      }
      if (kernel.fewestDecimals() < fewest) fewest = kernel.fewestDecimals();
      if (kernel.mostDecimals() > most) most = kernel.mostDecimals();
      return at;
    },
    get pause() {
      return pause;
    },
    get fewestDecimals() {
      return fewest;
    },
    get mostDecimals() {
      return most;
    },
  };
}

function start(): Started | undefined {
  if (started === undefined) {
    const kernel = loadKernel<RowKernel>(plainRowsWasm);
    if (kernel === undefined) started = "not to be had";
    else {
      const { buffer } = kernel.memory;
      const inputAt = Number(kernel.inputAt.value);
      const rows = Number(kernel.rowsAtOnce.value);
      const columnsAt = Number(kernel.columnsAt.value);
      started = {
        kernel,
        input: new Uint8Array(buffer, inputAt, Number(kernel.inputBytes.value)),
        inputAt,
        columns: [0, 1, 2].map((place) => new Float64Array(buffer, columnsAt + 8 * rows * place, rows)),
        owner: undefined,
      };
    }
  }
  return started === "not to be had" ? undefined : started;
}
