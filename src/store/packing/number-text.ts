/**
 * Text that is rows of plain numbers, kept as the numbers: a logger's file in a fifth of its bytes and less, and back
 * again byte for byte. What is no such row, a header or a remark, is kept as it is among them.
 *
 * A packed text is a run of pieces. A piece of raw bytes: 0, their count (4 bytes, low byte first, as all counts), they
 * themselves. A piece of rows: 1, the count of rows, the separator, the decimal mark, how lines end (0 LF, 1 CRLF), the
 * count of columns, the decimals of each (255: no mark); then for each 256 rows and each column one byte that says the
 * order of the differences (high half) and their width in bytes (low half), and the differences.
 */

/** A shape is worth a piece of its own from so many rows on. */
const fewestRows = 16;
const rowsOfBlock = 256;
const mostColumns = 64;
/** Whole numbers up to here are exact in a double, and so are their second differences. */
const largestWhole = 1e15;
const noMark = 255;
/** Up to here a number fits into a small integer, which is divided more quickly. */
const largestSmall = 2 ** 31 - 1;

const lineFeed = 10;
const carriageReturn = 13;
const minus = 45;
const zero = 48;

/** What all rows of a piece have in common. */
type Shape = {
  readonly separator: number;
  readonly mark: number;
  readonly crlf: boolean;
  /** Decimals of each column; `noMark` for whole numbers. */
  readonly decimals: readonly number[];
};

/**
 * Packs text as its numbers.
 *
 * @returns the packed bytes; nothing where that would not make them smaller by a half at least. The caller makes sure
 * that they unpack to the same.
 */
export function packNumberText(bytes: Uint8Array): Uint8Array | undefined {
  const out = createWriter(bytes.length >> 1);
  let rawFrom = 0;
  let at = 0;
  while (at < bytes.length && !out.full && at - rawFrom <= bytes.length / 2) {
    const shape = shapeOf(bytes, at);
    const rows = shape === undefined ? undefined : readRows(bytes, at, shape);
    if (shape !== undefined && rows !== undefined && rows.count >= fewestRows) {
      out.raw(bytes.subarray(rawFrom, at));
      out.rows(shape, rows);
      rawFrom = at = rows.end;
    } else at = rows === undefined || rows.count === 0 ? behindLine(bytes, at) : rows.end;
  }
  out.raw(bytes.subarray(rawFrom));
  return out.take();
}

/** The text that was packed, of so many bytes. */
export function unpackNumberText(packed: Uint8Array, length: number): Uint8Array {
  const text = new Uint8Array(length);
  const view = new DataView(packed.buffer, packed.byteOffset, packed.byteLength);
  let at = 0;
  let to = 0;
  while (at < packed.length) {
    const kind = packed[at];
    const count = view.getUint32(at + 1, true);
    at += 5;
    if (kind === 0) {
      text.set(packed.subarray(at, at + count), to);
      at += count;
      to += count;
      continue;
    }
    const [separator = 0, mark = 0, crlf, columns = 0] = packed.subarray(at, at + 4);
    const decimals = [...packed.subarray(at + 4, at + 4 + columns)];
    at += 4 + columns;
    const shape = { separator, mark, crlf: crlf === 1, decimals };
    const states = decimals.map(() => ({ value: 0, step: 0 }));
    const block = decimals.map(() => new Float64Array(rowsOfBlock));
    for (let row = 0; row < count; row += rowsOfBlock) {
      const rows = Math.min(rowsOfBlock, count - row);
      for (let column = 0; column < columns; column++)
        at = readDifferences(packed, view, at, block[column] as Float64Array, rows, states[column] as State);
      to = writeRows(text, to, shape, block, rows);
    }
  }
  return text;
}

type Rows = { readonly columns: readonly Float64Array[]; readonly count: number; readonly end: number };

/** The shape of the row at `from`, where it is one of plain numbers and a line end closes it. */
function shapeOf(bytes: Uint8Array, from: number): Shape | undefined {
  const decimals: number[] = [];
  let separator = 0;
  let mark = 0;
  for (let at = from; decimals.length < mostColumns; at++) {
    if (bytes[at] === minus) at++;
    const digits = at;
    while (isDigit(bytes[at])) at++;
    if (at === digits) return undefined;
    let places = noMark;
    // A dot is a mark; a comma is one where another byte separates, or where nothing else tells.
    const isMark = bytes[at] === 46 || (bytes[at] === 44 && separator !== 44 && commaIsMark(bytes, at, mark));
    if (isMark && isDigit(bytes[at + 1])) {
      if (mark !== 0 && mark !== bytes[at]) return undefined;
      mark = bytes[at] as number;
      const behind = ++at;
      while (isDigit(bytes[at])) at++;
      places = at - behind;
    }
    decimals.push(places);
    const byte = bytes[at];
    if (byte === lineFeed) return { separator, mark, crlf: false, decimals };
    if (byte === carriageReturn)
      return bytes[at + 1] === lineFeed ? { separator, mark, crlf: true, decimals } : undefined;
    if (byte === undefined || byte > 127 || isDigit(byte) || byte === minus || byte === mark)
      return undefined;
    if (separator !== 0 && byte !== separator) return undefined;
    separator = byte;
  }
  return undefined;
}

/** A comma is taken for a decimal mark where a semicolon, tab, bar or blank stands in its line. */
function commaIsMark(bytes: Uint8Array, at: number, mark: number): boolean {
  if (mark !== 0) return mark === 44;
  for (let ahead = at; ahead < bytes.length && bytes[ahead] !== lineFeed; ahead++) {
    const byte = bytes[ahead];
    if (byte === 59 || byte === 9 || byte === 124 || byte === 32) return true;
  }
  return false;
}

/** Rows from `from` on, as long as they are of that shape and written as we would write them. */
function readRows(bytes: Uint8Array, from: number, { separator, mark, crlf, decimals }: Shape): Rows {
  const most = Math.ceil((bytes.length - from) / (2 * decimals.length)) + 1;
  const columns = decimals.map(() => new Float64Array(Math.min(most, 64)));
  const last = decimals.length - 1;
  // No row is looked at that a line end does not close, so that none is read beyond the bytes.
  const behindLast = bytes.lastIndexOf(lineFeed) + 1;
  let end = from;
  let at = from;
  let count = 0;
  reading: for (; at < behindLast; count++) {
    if (count === (columns[0] as Float64Array).length) widen(columns, most);
    for (let column = 0; column <= last; column++) {
      const negative = bytes[at] === minus;
      if (negative) at++;
      const first = bytes[at] as number;
      let whole = 0;
      const digits = at;
      for (let digit = first - zero; digit >>> 0 < 10; digit = (bytes[++at] as number) - zero)
        whole = whole * 10 + digit;
      // A leading zero or an empty number would not come back as it was.
      if (at === digits || (first === zero && at > digits + 1)) break reading;
      const places = decimals[column] as number;
      if (places !== noMark) {
        if (bytes[at++] !== mark) break reading;
        const behind = at;
        for (
          let digit = (bytes[at] as number) - zero;
          digit >>> 0 < 10;
          digit = (bytes[++at] as number) - zero
        )
          whole = whole * 10 + digit;
        if (at - behind !== places) break reading;
      }
      if (whole > largestWhole || (negative && whole === 0)) break reading;
      (columns[column] as Float64Array)[count] = negative ? -whole : whole;
      if (column < last && bytes[at++] !== separator) break reading;
    }
    if (crlf && bytes[at++] !== carriageReturn) break;
    if (bytes[at++] !== lineFeed) break;
    end = at;
  }
  return { columns, count, end };
}

function widen(columns: Float64Array[], most: number): void {
  for (let column = 0; column < columns.length; column++) {
    const values = columns[column] as Float64Array;
    const wider = new Float64Array(Math.min(most, values.length * 4));
    wider.set(values);
    columns[column] = wider;
  }
}

/** Writes rows as text and says where it came to. */
function writeRows(
  text: Uint8Array,
  from: number,
  { separator, mark, crlf, decimals }: Shape,
  columns: readonly Float64Array[],
  rows: number,
): number {
  let to = from;
  const last = decimals.length - 1;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column <= last; column++) {
      const places = decimals[column] as number;
      let value = (columns[column] as Float64Array)[row] as number;
      if (value < 0) {
        text[to++] = minus;
        value = -value;
      }
      const shown = places === noMark ? 0 : places;
      const digits = Math.max(digitsOf(value), shown + 1);
      const end = to + digits + (places === noMark ? 0 : 1);
      let at = end;
      // From the last digit to the first.
      for (let digit = 0; digit < digits; digit++) {
        if (digit === shown && places !== noMark) text[--at] = mark;
        const tenth = value > largestSmall ? Math.floor(value / 10) : (value / 10) | 0;
        text[--at] = zero + (value - tenth * 10);
        value = tenth;
      }
      to = end;
      if (column < last) text[to++] = separator;
    }
    if (crlf) text[to++] = carriageReturn;
    text[to++] = lineFeed;
  }
  return to;
}

function digitsOf(value: number): number {
  let digits = 1;
  for (let bound = 10; value >= bound; bound *= 10) digits++;
  return digits;
}

type State = { value: number; step: number };

/** Turns a block of differences back into numbers, and says where the next begins. */
function readDifferences(
  packed: Uint8Array,
  view: DataView,
  from: number,
  values: Float64Array,
  rows: number,
  state: State,
): number {
  const header = packed[from] as number;
  const width = header & 15;
  const second = header >> 4 === 2;
  let { value, step } = state;
  let at = from + 1;
  for (let row = 0; row < rows; row++, at += width) {
    const difference =
      width === 1
        ? view.getInt8(at)
        : width === 2
          ? view.getInt16(at, true)
          : width === 4
            ? view.getInt32(at, true)
            : width === 8
              ? view.getFloat64(at, true)
              : 0;
    step = second ? step + difference : difference;
    value += step;
    values[row] = value;
  }
  state.value = value;
  state.step = step;
  return at;
}

/** Bytes that are written into room that does not grow: what does not fit was not worth packing. */
function createWriter(room: number) {
  const bytes = new Uint8Array(room);
  const view = new DataView(bytes.buffer);
  let at = 0;
  let full = false;
  const fits = (count: number) => {
    if (at + count > room) full = true;
    return !full;
  };
  return {
    get full() {
      return full;
    },
    raw(piece: Uint8Array) {
      if (piece.length === 0 || !fits(5 + piece.length)) return;
      view.setUint32(at + 1, piece.length, true);
      bytes.set(piece, at + 5);
      at += 5 + piece.length;
    },
    rows({ separator, mark, crlf, decimals }: Shape, { columns, count }: Rows) {
      if (!fits(9 + decimals.length)) return;
      bytes[at] = 1;
      view.setUint32(at + 1, count, true);
      bytes.set([separator, mark, crlf ? 1 : 0, decimals.length, ...decimals], at + 5);
      at += 9 + decimals.length;
      const states: State[] = columns.map(() => ({ value: 0, step: 0 }));
      for (let row = 0; row < count && !full; row += rowsOfBlock) {
        const to = Math.min(count, row + rowsOfBlock);
        for (let column = 0; column < columns.length; column++) {
          const values = columns[column] as Float64Array;
          const state = states[column] as State;
          const { order, width } = narrowest(values, row, to, state);
          if (!fits(1 + width * (to - row))) return;
          bytes[at++] = (order << 4) | width;
          at = writeDifferences(view, at, values, row, to, state, order, width);
        }
      }
    },
    take: () => (full ? undefined : bytes.slice(0, at)),
  };
}

/** First differences or second, whichever fit into fewer bytes. */
function narrowest(values: Float64Array, from: number, to: number, state: State) {
  let { value, step } = state;
  let first = 0;
  let second = 0;
  for (let row = from; row < to; row++) {
    const next = (values[row] as number) - value;
    first = Math.max(first, Math.abs(next));
    second = Math.max(second, Math.abs(next - step));
    value = values[row] as number;
    step = next;
  }
  const ofFirst = widthOf(first);
  const ofSecond = widthOf(second);
  return ofSecond < ofFirst ? { order: 2, width: ofSecond } : { order: 1, width: ofFirst };
}

function widthOf(largest: number): number {
  if (largest === 0) return 0;
  return largest < 128 ? 1 : largest < 32_768 ? 2 : largest < 2_147_483_648 ? 4 : 8;
}

function writeDifferences(
  view: DataView,
  from: number,
  values: Float64Array,
  fromRow: number,
  toRow: number,
  state: State,
  order: number,
  width: number,
): number {
  let at = from;
  for (let row = fromRow; row < toRow; row++, at += width) {
    const step = (values[row] as number) - state.value;
    const difference = order === 2 ? step - state.step : step;
    state.value = values[row] as number;
    state.step = step;
    if (width === 1) view.setInt8(at, difference);
    else if (width === 2) view.setInt16(at, difference, true);
    else if (width === 4) view.setInt32(at, difference, true);
    else if (width === 8) view.setFloat64(at, difference, true);
  }
  return at;
}

function behindLine(bytes: Uint8Array, from: number): number {
  const end = bytes.indexOf(lineFeed, from);
  return end < 0 ? bytes.length : end + 1;
}

function isDigit(byte: number | undefined): boolean {
  return byte !== undefined && byte >= 48 && byte <= 57;
}
