import { type ColumnKernel, startColumnKernel } from "./column-kernel.ts";
import { hasMemory } from "./load-kernel.ts";

/**
 * Long columns may lie in the memory of a kernel of their own from the beginning: it then reads them where they lie, and
 * has room behind them for what is made of them. What it buys: 1e7 values are looked at in 4 ms where copying them into
 * a kernel chunk by chunk makes it 9 (docs/performance.md).
 *
 * Such a column cannot be handed over to another thread, as other arrays can; a copy of it can.
 */
type Home = {
  readonly kernel: ColumnKernel;
  /** Values that the column has room for. */
  readonly room: number;
  /** The part of the column that has the room behind it. */
  behind?: string;
};

/** By the buffer in which a column lies. */
const homes = new WeakMap<object, Home>();

/**
 * 32 MiB. Shorter arrays are mostly given memory that was used before, which need not be touched first: that is worth more.
 * And each kernel reserves some gigabytes of addresses, though not of memory.
 */
const longColumn = 4_194_304;
/** Two numbers that the kernel leaves lie before the column. */
const columnAt = 128;

/** A new column with room for so many values, all 0; nothing where it is short, or there is no kernel or no memory for it. */
export function createLongColumn(room: number): Float64Array | undefined {
  const kernel = room < longColumn ? undefined : startColumnKernel();
  return kernel && settle(kernel, room);
}

/**
 * The same column with more room, where it lies: nothing is copied, and the column as it was is void. Nothing where it is
 * no long column, or there is no memory for more; then it stays.
 */
export function widenLongColumn(values: Float64Array, room: number): Float64Array | undefined {
  const home = homes.get(values.buffer);
  return home && settle(home.kernel, room);
}

function settle(kernel: ColumnKernel, atLeast: number): Float64Array | undefined {
  // What is made of a column begins with a line of the cache.
  const room = 16 * Math.ceil(atLeast / 16);
  if (!hasMemory(kernel, columnAt + 8 * room + bytesBehind(room))) return undefined;
  const { buffer } = kernel.memory;
  homes.set(buffer, { kernel, room });
  return new Float64Array(buffer, columnAt, room);
}

/** The lowest and highest of each 16 values, of each 16 of those, and so on; of each there may be one more. */
function bytesBehind(room: number): number {
  return 2 * 8 * Math.ceil(room / 15 + Math.log2(room));
}

/** The kernel in whose memory all of these lie. */
export function kernelOf(...columns: readonly Float64Array[]): ColumnKernel | undefined {
  const [first] = columns;
  const isOne = columns.every(({ buffer }) => buffer === first?.buffer);
  return isOne && first !== undefined ? homes.get(first.buffer)?.kernel : undefined;
}

/**
 * What makes arrays for what is kept of a column: in the room behind it, where its kernel writes to them, for the part of the
 * column that first asks; elsewhere for others. A part that asks again is given the same room.
 */
export function roomBehind(values: Float64Array): (count: number) => Float64Array {
  const home = homes.get(values.buffer);
  const part = `${values.byteOffset} ${values.length}`;
  if (home === undefined || (home.behind ?? part) !== part) return (count) => new Float64Array(count);
  home.behind = part;
  let at = columnAt + 8 * home.room;
  return (count) => {
    const room = new Float64Array(values.buffer, at, count);
    at += room.byteLength;
    return room;
  };
}
