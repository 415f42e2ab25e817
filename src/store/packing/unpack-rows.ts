import type { RowsReader } from "../../app/mod.ts";
import type { NumberRows, RowShape } from "../../trace/mod.ts";

/**
 * Rows of numbers out of the bytes that the kernel packed them into: their columns, or their text to the byte. Needs no
 * kernel, so that a book can be read wherever the program runs.
 *
 * A packed text is a run of pieces. A piece of raw bytes: 0, their count (4 bytes, low byte first, as all counts), they
 * themselves. A piece of rows: 1, the decimal mark, and blocks, the last of 0 rows and nothing more. A block: its count of
 * rows (2 bytes), of shapes that no block of the piece named before, and of numbers in a row; those shapes, each its length
 * and its text with 0 for every digit; which shape its rows have: 0, the count of runs (2 bytes) and for each its shape and
 * its rows (2 bytes), or 1 and the shape of each row; then for each 256 rows and each number one byte that says the order
 * of the differences (high half) and their width in bytes (low half), and the differences. A number is the digits of one cell, with the sign before them; the mark stands where its shape has it.
 */

const rowsOfDifferences = 256;
const zero = 48;
/** Up to here a number fits into a small integer. */
const largestSmall = 2 ** 31 - 1;

/** What is no digit of a row, and where its digits stand. */
type Shape = RowShape & {
  /** The places of each number's digits, from the last to the first. */
  readonly places: readonly Uint8Array[];
  /** What each number is divided by. */
  readonly divisors: readonly number[];
};

type Block = Omit<NumberRows, "shapes"> & { readonly shapes: readonly Shape[] };

/** Goes through what was packed without making the text of rows. */
export function readRows(packed: Uint8Array, reader: RowsReader): void {
  walk(packed, {
    raw: reader.text,
    block(block) {
      reader.rows(block, () => {
        const size = block.ids.reduce((sum, id) => sum + (block.shapes[id] as Shape).text.length, 0);
        const text = new Uint8Array(size);
        writeRows(text, 0, block);
        return text;
      });
    },
  });
}

/** The text that was packed, of so many bytes. */
export function unpackRowText(packed: Uint8Array, length: number): Uint8Array {
  const text = new Uint8Array(length);
  let to = 0;
  walk(packed, {
    raw(bytes) {
      text.set(bytes, to);
      to += bytes.length;
    },
    block(block) {
      to = writeRows(text, to, block);
    },
  });
  return text;
}

/**
 * The numbers that were packed, a column each, as the text states them: correctly rounded. Nothing where not all rows have
 * as many. Text between rows is left out.
 *
 * What it buys: samples at the speed of memory, several gigabytes of doubles a second, in place of reading text.
 */
export function unpackColumns(packed: Uint8Array): readonly Float64Array[] | undefined {
  let numbers = -1;
  let rows = 0;
  let alike = true;
  skim(packed, (inBlock, count) => {
    if (numbers >= 0 && count !== numbers) alike = false;
    numbers = count;
    rows += inBlock;
  });
  if (!alike || numbers < 0) return undefined;
  const columns = Array.from({ length: numbers }, () => new Float64Array(rows));
  let at = 0;
  walk(
    packed,
    {
      raw() {},
      block(block) {
        for (let number = 0; number < numbers; number++)
          divide(block, number, (columns[number] as Float64Array).subarray(at, at + block.rows));
        at += block.rows;
      },
    },
    (number, count) => (columns[number] as Float64Array).subarray(at, at + count),
  );
  return columns;
}

type Reader = { raw(bytes: Uint8Array): void; block(block: Block): void };

/** Goes through the pieces; each block's numbers are read into the room that it is given, or into room of its own. */
function walk(
  packed: Uint8Array,
  reader: Reader,
  roomFor?: (number: number, rows: number) => Float64Array,
): void {
  const view = new DataView(packed.buffer, packed.byteOffset, packed.byteLength);
  let own: Float64Array[] = [];
  let at = 0;
  while (at < packed.length) {
    if (packed[at] === 0) {
      const count = view.getUint32(at + 1, true);
      reader.raw(packed.subarray(at + 5, at + 5 + count));
      at += 5 + count;
      continue;
    }
    const mark = packed[at + 1] as number;
    at += 2;
    const shapes: Shape[] = [];
    const states: State[] = [];
    for (;;) {
      const rows = view.getUint16(at, true);
      at += 2;
      if (rows === 0) break;
      const head = readHead(packed, at, rows, mark, shapes);
      at = head.at;
      const columns = Array.from({ length: head.numbers }, (_, number) => {
        if (roomFor !== undefined) return roomFor(number, rows);
        const kept = own[number];
        if (kept !== undefined && kept.length >= rows) return kept;
        own = own.toSpliced(number, 1, new Float64Array(rows));
        return own[number] as Float64Array;
      });
      for (let row = 0; row < rows; row += rowsOfDifferences)
        for (let number = 0; number < head.numbers; number++) {
          states[number] ??= { value: 0, step: 0 };
          const count = Math.min(rowsOfDifferences, rows - row);
          const into = columns[number] as Float64Array;
          at = readDifferences(packed, view, at, into, row, count, states[number] as State);
        }
      reader.block({ rows, shapes, ids: head.ids, columns });
    }
  }
}

/** Reads a block's shapes, and which of them its rows have. */
function readHead(packed: Uint8Array, from: number, rows: number, mark: number, shapes: Shape[]) {
  const [fresh = 0, numbers = 0] = packed.subarray(from, from + 2);
  let at = from + 2;
  for (let count = 0; count < fresh; count++) {
    const length = packed[at] as number;
    shapes.push(shapeOf(packed.slice(at + 1, at + 1 + length), mark));
    at += 1 + length;
  }
  const behind = at + shapeBytes(packed, at, rows);
  if (packed[at] === 1) return { numbers, ids: packed.subarray(at + 1, behind), at: behind };
  const ids = new Uint8Array(rows);
  let row = 0;
  for (let run = at + 3; run < behind; run += 3) {
    const count = (packed[run + 1] as number) | ((packed[run + 2] as number) << 8);
    ids.fill(packed[run] as number, row, row + count);
    row += count;
  }
  return { numbers, ids, at: behind };
}

/** How many bytes tell which shape a block's rows have. */
function shapeBytes(packed: Uint8Array, at: number, rows: number): number {
  if (packed[at] === 1) return 1 + rows;
  return 3 + 3 * ((packed[at + 1] as number) | ((packed[at + 2] as number) << 8));
}

/** The counts of rows and of numbers of each block, found without reading a number. */
function skim(packed: Uint8Array, seen: (rows: number, numbers: number) => void): void {
  const view = new DataView(packed.buffer, packed.byteOffset, packed.byteLength);
  let at = 0;
  while (at < packed.length) {
    if (packed[at] === 0) {
      at += 5 + view.getUint32(at + 1, true);
      continue;
    }
    for (at += 2; ; ) {
      const rows = view.getUint16(at, true);
      const fresh = packed[at + 2] as number;
      const numbers = packed[at + 3] as number;
      if (rows === 0) break;
      at += 4;
      for (let count = 0; count < fresh; count++) at += 1 + (packed[at] as number);
      at += shapeBytes(packed, at, rows);
      for (let row = 0; row < rows; row += rowsOfDifferences)
        for (let number = 0; number < numbers; number++)
          at += 1 + ((packed[at] as number) & 15) * Math.min(rowsOfDifferences, rows - row);
      seen(rows, numbers);
    }
    at += 2;
  }
}

/** Where digits stand in a shape's text, by the rule of the kernel: the mark joins those on its either side once. */
function shapeOf(text: Uint8Array, mark: number): Shape {
  const places: Uint8Array[] = [];
  const divisors: number[] = [];
  for (let at = 0; at < text.length; ) {
    if (text[at] !== zero) {
      at++;
      continue;
    }
    const digits: number[] = [];
    const run = () => {
      while (text[at] === zero) digits.push(at++);
    };
    run();
    const whole = digits.length;
    if (mark !== 0 && text[at] === mark && text[at + 1] === zero) {
      at++;
      run();
    }
    places.push(Uint8Array.from(digits.reverse()));
    divisors.push(10 ** (digits.length - whole));
  }
  return { text, mark, places, divisors };
}

type State = { value: number; step: number };

/** Turns differences back into numbers, and says where the next begin. */
function readDifferences(
  packed: Uint8Array,
  view: DataView,
  from: number,
  into: Float64Array,
  fromRow: number,
  rows: number,
  state: State,
): number {
  const header = packed[from] as number;
  const width = header & 15;
  let at = from + 1;
  const toRow = fromRow + rows;
  // A loop for each width: one for all would ask for the width with each number.
  let { value } = state;
  let step = header >> 4 === 2 ? state.step : 0;
  if (header >> 4 === 2) {
    for (let row = fromRow; row < toRow; row++, at += width) {
      step += differenceAt(view, at, width);
      value += step;
      into[row] = value;
    }
    state.step = step;
  } else {
    const last = fromRow + rows - 1;
    let before = value;
    if (width === 1)
      for (let row = fromRow; row < toRow; row++, at++) {
        before = value;
        into[row] = value += view.getInt8(at);
      }
    else if (width === 2)
      for (let row = fromRow; row < toRow; row++, at += 2) {
        before = value;
        into[row] = value += view.getInt16(at, true);
      }
    else
      for (let row = fromRow; row < toRow; row++, at += width) {
        before = value;
        into[row] = value += differenceAt(view, at, width);
      }
    state.step = (into[last] as number) - before;
  }
  state.value = value;
  return at;
}

function differenceAt(view: DataView, at: number, width: number): number {
  if (width === 0) return 0;
  if (width === 1) return view.getInt8(at);
  if (width === 2) return view.getInt16(at, true);
  return width === 4 ? view.getInt32(at, true) : view.getFloat64(at, true);
}

/** Turns whole numbers into what the text states: divided once by a power of ten, which rounds correctly. */
function divide({ shapes, ids, rows }: Block, number: number, values: Float64Array): void {
  const divisorOf = (id: number) => (shapes[id] as Shape).divisors[number] as number;
  const first = divisorOf(ids[0] as number);
  const alike = shapes.every(({ divisors }) => divisors[number] === first);
  if (!alike)
    for (let row = 0; row < rows; row++)
      values[row] = (values[row] as number) / divisorOf(ids[row] as number);
  else if (first !== 1) for (let row = 0; row < rows; row++) values[row] = (values[row] as number) / first;
}

/** Writes a block's rows and says where it came to. */
function writeRows(text: Uint8Array, from: number, { rows, shapes, ids, columns }: Block): number {
  let to = from;
  for (let row = 0; row < rows; row++) {
    const shape = shapes[ids[row] as number] as Shape;
    for (let place = 0; place < shape.text.length; place++) text[to + place] = shape.text[place] as number;
    for (let number = 0; number < shape.places.length; number++) {
      const places = shape.places[number] as Uint8Array;
      let value = Math.abs((columns[number] as Float64Array)[row] as number);
      let digit = 0;
      for (; value > largestSmall && digit < places.length; digit++) {
        const tenth = Math.floor(value / 10);
        text[to + (places[digit] as number)] = zero + (value - tenth * 10);
        value = tenth;
      }
      // Small integers are divided several times as quickly.
      let small = value | 0;
      for (; digit < places.length; digit++) {
        const tenth = (small / 10) | 0;
        text[to + (places[digit] as number)] = zero + small - tenth * 10;
        small = tenth;
      }
    }
    to += shape.text.length;
  }
  return to;
}
