import { packRowsWasm } from "./kernel/pack-rows.wasm.ts";

/** A run of rows is worth a piece of its own from so many on. */
const fewestRows = 16;

const lineFeed = 10;
const semicolon = 59;
const tab = 9;
const bar = 124;
const comma = 44;
const dot = 46;

type Kernel = {
  readonly memory: WebAssembly.Memory;
  readonly memoryBytes: WebAssembly.Global;
  readonly inputAt: WebAssembly.Global;
  readonly inputBytes: WebAssembly.Global;
  readonly outputAt: WebAssembly.Global;
  begin(mark: number): void;
  packRows(from: number, to: number): number;
  rowsPacked(): number;
  bytesPacked(): number;
};

/**
 * Packs text of rows of numbers, of whatever shape: times of day among them, numbers with leading zeros, signs and
 * blanks. What is no such row is kept as it is among them. Each row that was packed has been unpacked again, written out
 * as text and found to be what came in.
 *
 * What it buys: half a gigabyte a second and more, the check counted, where JavaScript packs a quarter of one and has
 * checked nothing (docs/performance.md).
 *
 * @returns the packed bytes, for `unpackRowText`; nothing where that would not make them smaller by a half at least, or
 * the engine has no vectors.
 */
export function packRowText(bytes: Uint8Array): Uint8Array | undefined {
  started ??= startKernel();
  if (started === null) return undefined;
  const { kernel, input, memory, inputAt, outputAt } = started;
  const out = createWriter(bytes.length >> 1);
  // What of the bytes the kernel has before it: whole lines.
  let heldFrom = 0;
  let heldTo = 0;
  const hold = (from: number): boolean => {
    if (from < heldTo) return true;
    const piece = bytes.subarray(from, from + input.length);
    const whole = piece.lastIndexOf(lineFeed) + 1;
    input.set(whole === piece.length ? piece : piece.subarray(0, whole));
    heldFrom = from;
    heldTo = from + whole;
    return whole > 0;
  };
  const pack = (from: number): number => {
    const to = kernel.packRows(inputAt + from - heldFrom, inputAt + heldTo - heldFrom);
    return to < 0 ? to : to - inputAt + heldFrom;
  };

  let rawFrom = 0;
  let at = 0;
  while (at < bytes.length && !out.full && at - rawFrom <= bytes.length / 2) {
    if (!hold(at)) break;
    const mark = markOf(bytes, at);
    kernel.begin(mark);
    let to = pack(at);
    if (to < 0) return undefined;
    if (kernel.rowsPacked() < fewestRows) {
      at = kernel.rowsPacked() === 0 ? behindLine(bytes, at) : to;
      continue;
    }
    out.raw(bytes.subarray(rawFrom, at));
    out.bytes(Uint8Array.of(1, mark));
    while (kernel.rowsPacked() > 0) {
      out.bytes(memory.subarray(outputAt, outputAt + kernel.bytesPacked()));
      at = to;
      if (at === bytes.length || !hold(at)) break;
      to = pack(at);
      if (to < 0) return undefined;
    }
    out.bytes(Uint8Array.of(0, 0));
    rawFrom = at;
  }
  out.raw(bytes.subarray(rawFrom));
  return out.take();
}

/** How far is looked for what separates cells, and for commas. */
const lookedAt = 4096;

/** The byte that stands between whole numbers and their decimals in the lines from `from` on. */
function markOf(bytes: Uint8Array, from: number): number {
  const some = bytes.subarray(from, from + lookedAt);
  // Where something else separates, a comma is no separator.
  return some.includes(comma) && [semicolon, tab, bar].some((byte) => some.includes(byte)) ? comma : dot;
}

function behindLine(bytes: Uint8Array, from: number): number {
  const end = bytes.indexOf(lineFeed, from);
  return end < 0 ? bytes.length : end + 1;
}

/** Bytes that are written into room that does not grow: what does not fit was not worth packing. */
function createWriter(room: number) {
  // Kept for the next recording: fresh room would be wiped first.
  if (scratch.length < room) scratch = new Uint8Array(room);
  const bytes = scratch;
  let at = 0;
  let full = false;
  const write = (piece: Uint8Array) => {
    if (at + piece.length > room) full = true;
    if (full) return;
    bytes.set(piece, at);
    at += piece.length;
  };
  return {
    get full() {
      return full;
    },
    bytes: write,
    raw(piece: Uint8Array) {
      if (piece.length === 0) return;
      const head = new DataView(new ArrayBuffer(5));
      head.setUint32(1, piece.length, true);
      write(new Uint8Array(head.buffer));
      write(piece);
    },
    take: () => (full ? undefined : bytes.slice(0, at)),
  };
}

let scratch = new Uint8Array(0);

type Started = {
  readonly kernel: Kernel;
  readonly memory: Uint8Array;
  readonly input: Uint8Array;
  readonly inputAt: number;
  readonly outputAt: number;
};

/** Started with the first recording that is packed; null where the engine will not. */
let started: Started | null | undefined;

const pageBytes = 65_536;

function startKernel(): Started | null {
  try {
    const module = new WebAssembly.Module(Buffer.from(packRowsWasm, "base64"));
    const kernel = new WebAssembly.Instance(module).exports as unknown as Kernel;
    const wanted = Math.ceil(Number(kernel.memoryBytes.value) / pageBytes);
    const has = kernel.memory.buffer.byteLength / pageBytes;
    if (wanted > has) kernel.memory.grow(wanted - has);
    const memory = new Uint8Array(kernel.memory.buffer);
    const inputAt = Number(kernel.inputAt.value);
    const input = memory.subarray(inputAt, inputAt + Number(kernel.inputBytes.value));
    return { kernel, memory, input, inputAt, outputAt: Number(kernel.outputAt.value) };
  } catch (error) {
    // An engine without vectors refuses the module; anything else is a fault of ours.
    if (error instanceof WebAssembly.CompileError) return null;
    throw error;
  }
}
