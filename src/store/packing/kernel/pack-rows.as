// Packs rows of numbers sixteen bytes at a time: the kernel of ../row-text.ts, in AssemblyScript. ../unpack-rows.ts says what
// the packed bytes are, and reads them without a kernel.
//
// A row is its *shape* (all that is no digit, in its place) and the numbers that its digits make. Rows of one recording have
// few shapes, so that a row is compared with the shape before it, and its digits are multiplied together, as a whole. What
// was packed is unpacked again at once, written out as text and compared with the row, likewise as a whole.

/** A row may be as long, with its line end. */
const mostRowBytes: usize = 64;
const mostDigits: i32 = 15;
/** Digits that one half of a vector holds. Where no number of a shape has more, two of them share a vector: it is *paired*. */
const halfDigits: i32 = 8;
export const mostNumbers: i32 = 8;
const mostShapes: i32 = 250;
/** Rows that are packed together at most, and of how many a width is chosen. */
export const rowsAtOnce: i32 = 8192;
const rowsOfBlock: i32 = 256;
export const inputBytes: i32 = 131072;

// The memory: places of shapes by their key, shapes, the column of their numbers, two sets of columns, input, output.
const slotsAt: usize = 4096;
const slotMask: u64 = 511;
const shapesAt: usize = slotsAt + 4 * 512;
const shapeBytes: usize = 1024;
const idsAt: usize = shapesAt + shapeBytes * 251;
const columnBytes: usize = 8 * 8192;
const columnsAt: usize = idsAt + 8192;
const checkedAt: usize = columnsAt + 8 * columnBytes;
const inputFrom: usize = checkedAt + 8 * columnBytes + mostRowBytes;
export const inputAt: i32 = <i32>inputFrom;
const outputFrom: usize = inputFrom + <usize>inputBytes + 2 * mostRowBytes;
export const outputAt: i32 = <i32>outputFrom;
// As much as the widest numbers take, and every shape.
export const memoryBytes: i32 = <i32>(outputFrom + 8 * columnBytes + 8192 + 251 * 66 + 4096);

// What is kept of a shape, by the offsets of its fields.
/** Bit i stands for byte i of a row: set where it is no digit, from the row's first byte to its LF. */
const keyOf: usize = 0;
const lengthOf: usize = 8;
const pairedOf: usize = 12;
/** Per number: where its sixteen bytes begin, from the row's start (they end with it); 1 or −1; its bytes' places. */
const beginsOf: usize = 16;
const signsOf: usize = 48;
const takesOf: usize = 112;
/** Bytes that are no digits, and 255 in the place of each. */
const marksOf: usize = 240;
const masksOf: usize = 304;
/** Which digit of a number stands at each byte of a row, 64 bytes a number. */
const givesOf: usize = 368;

let mark: u8 = 0;
let numbers: i32 = -1;
let shapes: i32 = 0;
let told: i32 = 0;

/** A new run of rows: `markByte` joins the digits on its either side into one number; 0 where none does. */
export function begin(markByte: i32): void {
  mark = <u8>markByte;
  numbers = -1;
  shapes = 0;
  told = 0;
  memory.fill(slotsAt, 0, 4 * 512);
  memory.fill(statesAt, 0, 256);
}

let rows: i32 = 0;
let length: i32 = 0;

/** Rows that the last call packed. */
export function rowsPacked(): i32 {
  return rows;
}

/** Bytes that the last call wrote, from `outputAt` on. */
export function bytesPacked(): i32 {
  return length;
}

/**
 * Packs rows from `from`, the start of one, to `to`, behind an LF, as far as they are of numbers and there is room. Returns
 * where the first row begins that was not packed; −1 where what was packed does not come back.
 */
export function packRows(from: i32, to: i32): i32 {
  const end: usize = to;
  const zero = i8x16.splat(48);
  const nine = i8x16.splat(9);
  const lineFeed = i8x16.splat(10);
  let at: usize = from;
  let row: i32 = 0;
  let shape = shapesAt;
  let id: i32 = 0;
  let lastKey: u64 = 0;
  let step: usize = 0;
  while (at < end && row < rowsAtOnce) {
    const first = v128.load(at);
    const second = v128.load(at, 16);
    let ends = bits(i8x16.eq(first, lineFeed), i8x16.eq(second, lineFeed));
    let key = bits(i8x16.gt_u(i8x16.sub(first, zero), nine), i8x16.gt_u(i8x16.sub(second, zero), nine));
    const isLong = ends == 0;
    if (isLong) {
      const third = v128.load(at, 32);
      const fourth = v128.load(at, 48);
      ends = bits(i8x16.eq(third, lineFeed), i8x16.eq(fourth, lineFeed)) << 32;
      if (ends == 0) break;
      key |= bits(i8x16.gt_u(i8x16.sub(third, zero), nine), i8x16.gt_u(i8x16.sub(fourth, zero), nine)) << 32;
    }
    key &= ends ^ (ends - 1);
    // Nearly every row has the shape of the one before.
    if (key != lastKey || differs(at, shape, isLong)) {
      id = find(at, key, isLong);
      if (id < 0) {
        id = learn(at, <usize>ctz(ends) + 1, key);
        if (id < 0) break;
      }
      lastKey = key;
      shape = shapesAt + shapeBytes * <usize>id;
      step = load<u32>(shape, lengthOf);
    }
    store<u8>(idsAt + <usize>row, <u8>id);
    const place = columnsAt + (<usize>row << 3);
    if (load<u32>(shape, pairedOf) != 0)
      for (let number: usize = 0; number < <usize>numbers; number += 2) {
        const digits = v128.or(digitsOf(at, shape, number), digitsOf(at, shape, number + 1));
        const wholes = f64x2.convert_low_i32x4_u(eightsOf(digits));
        const values = f64x2.mul(wholes, v128.load(shape + (number << 3), signsOf));
        v128.store_lane<f64>(place + number * columnBytes, values, 0);
        v128.store_lane<f64>(place + (number + 1) * columnBytes, values, 1);
      }
    else
      for (let number: usize = 0; number < <usize>numbers; number++) {
        const eights = eightsOf(digitsOf(at, shape, number));
        const whole = <f64>i32x4.extract_lane(eights, 0) * 1e8 + <f64>i32x4.extract_lane(eights, 1);
        store<f64>(place + number * columnBytes, whole * load<f64>(shape + (number << 3), signsOf));
      }
    row++;
    at += step;
  }
  rows = row;
  length = 0;
  if (row == 0) return <i32>at;
  const behind = write();
  length = <i32>(behind - outputFrom);
  return isTrue(from) ? <i32>at : -1;
}

// --- shapes

// @ts-ignore: decorator
@inline
function bits(low: v128, high: v128): u64 {
  return <u64><u32>(i8x16.bitmask(low) | (i8x16.bitmask(high) << 16));
}

// @ts-ignore: decorator
@inline
function differenceAt(row: usize, shape: usize, place: usize): v128 {
  return v128.and(v128.xor(v128.load(row + place), v128.load(shape + place, marksOf)), v128.load(shape + place, masksOf));
}

/** Whether bytes that are no digits in the shape are others. */
// @ts-ignore: decorator
@inline
function differs(row: usize, shape: usize, isLong: bool): bool {
  let found = v128.or(differenceAt(row, shape, 0), differenceAt(row, shape, 16));
  if (isLong) found = v128.or(found, v128.or(differenceAt(row, shape, 32), differenceAt(row, shape, 48)));
  return v128.any_true(found);
}

// @ts-ignore: decorator
@inline
function slotOf(key: u64): u64 {
  return (key * 0x9e3779b97f4a7c15) >> 55;
}

/** The number of a shape that is known; −1 where it is not. */
function find(row: usize, key: u64, isLong: bool): i32 {
  let slot = slotOf(key);
  let id = load<i32>(slotsAt + (<usize>slot << 2)) - 1;
  while (id >= 0) {
    const shape = shapesAt + shapeBytes * <usize>id;
    if (load<u64>(shape, keyOf) == key && !differs(row, shape, isLong)) break;
    slot = (slot + 1) & slotMask;
    id = load<i32>(slotsAt + (<usize>slot << 2)) - 1;
  }
  return id;
}

/** Works out a new shape and gives it a number; −1 where the row is not one of so many numbers. */
function learn(row: usize, bytes: usize, key: u64): i32 {
  if (shapes == mostShapes) return -1;
  const shape = shapesAt + shapeBytes * <usize>shapes;
  memory.fill(shape, 0, shapeBytes);
  memory.fill(shape + takesOf, 255, 128);
  memory.fill(shape + givesOf, 255, 512);
  let found = 0;
  let longest = 0;
  let at: usize = 0;
  while (at < bytes) {
    if (!isDigit(load<u8>(row + at))) {
      at++;
      continue;
    }
    if (found == mostNumbers) return -1;
    const first = at;
    while (isDigit(load<u8>(row + at))) at++;
    if (mark != 0 && load<u8>(row + at) == mark && isDigit(load<u8>(row + at + 1))) {
      at++;
      while (isDigit(load<u8>(row + at))) at++;
    }
    // The digits from the last to the first; all of them lie in the sixteen bytes that end with the number.
    if (at - first > 16) return -1;
    let digits: usize = 0;
    for (let place = at - 1; ; place--) {
      if (isDigit(load<u8>(row + place))) {
        if (<i32>digits == mostDigits) return -1;
        store<u8>(shape + (<usize>found << 4) + 15 - digits, <u8>(16 - (at - place)), takesOf);
        store<u8>(shape + (<usize>found << 6) + place, <u8>(15 - digits), givesOf);
        digits++;
      }
      if (place == first) break;
    }
    longest = max(longest, <i32>digits);
    const negative = first > 0 && load<u8>(row + first - 1) == 45;
    store<i32>(shape + (<usize>found << 2), <i32>at - 16, beginsOf);
    store<f64>(shape + (<usize>found << 3), negative ? -1 : 1, signsOf);
    found++;
  }
  if (found == 0 || (numbers >= 0 && found != numbers)) return -1;
  numbers = found;
  if (longest <= halfDigits) pair(shape);
  for (let place: usize = 0; place < bytes; place++) {
    if (((key >> <u64>place) & 1) == 0) continue;
    store<u8>(shape + place, 255, masksOf);
    store<u8>(shape + place, load<u8>(row + place), marksOf);
  }
  store<u64>(shape, key, keyOf);
  store<u32>(shape, <u32>bytes, lengthOf);
  let slot = slotOf(key);
  while (load<i32>(slotsAt + (<usize>slot << 2)) != 0) slot = (slot + 1) & slotMask;
  store<i32>(slotsAt + (<usize>slot << 2), shapes + 1);
  return shapes++;
}

/** Puts the digits of every other number into the left half of the vector that it shares with the next. */
function pair(shape: usize): void {
  store<u32>(shape, 1, pairedOf);
  const none = i8x16.splat(-1);
  for (let number: usize = 0; number < <usize>numbers; number += 2) {
    const takes = v128.load(shape + (number << 4), takesOf);
    const moved = i8x16.shuffle(takes, none, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23);
    v128.store(shape + (number << 4), moved, takesOf);
    for (let place: usize = 0; place < mostRowBytes; place++) {
      const lane = load<u8>(shape + (number << 6) + place, givesOf);
      if (lane != 255) store<u8>(shape + (number << 6) + place, lane - 8, givesOf);
    }
  }
}

// @ts-ignore: decorator
@inline
function isDigit(byte: u8): bool {
  return <u32>byte - 48 < 10;
}

/** The digits of a number, at the right of the vector; 0 elsewhere. */
// @ts-ignore: decorator
@inline
function digitsOf(row: usize, shape: usize, number: usize): v128 {
  const bytes = v128.load(row + load<i32>(shape + (number << 2), beginsOf));
  return i8x16.swizzle(i8x16.sub(bytes, i8x16.splat(48)), v128.load(shape + (number << 4), takesOf));
}

/** Sixteen digits as two numbers of eight: digits are put together by twos, fours and eights. */
// @ts-ignore: decorator
@inline
function eightsOf(digits: v128): v128 {
  const tens = i16x8(10, 1, 10, 1, 10, 1, 10, 1);
  const hundreds = i16x8(100, 1, 100, 1, 100, 1, 100, 1);
  const myriads = i16x8(10000, 1, 10000, 1, 10000, 1, 10000, 1);
  const left = i32x4.dot_i16x8_s(i16x8.extend_low_i8x16_u(digits), tens);
  const right = i32x4.dot_i16x8_s(i16x8.extend_high_i8x16_u(digits), tens);
  const fours = i32x4.dot_i16x8_s(i16x8.narrow_i32x4_s(left, right), hundreds);
  return i32x4.dot_i16x8_s(i16x8.narrow_i32x4_s(fours, fours), myriads);
}

// --- writing

/** The value and the step before of each column: as they were written, and as they were read again. */
const statesAt: usize = 1024;
const checkedStatesAt: usize = 1024 + 128;

/** Writes the rows that were read: see ../unpack-rows.ts. Returns where it ended. */
function write(): usize {
  let to = outputFrom;
  store<u16>(to, <u16>rows);
  store<u8>(to, <u8>(shapes - told), 2);
  store<u8>(to, <u8>numbers, 3);
  to += 4;
  for (; told < shapes; told++) {
    const shape = shapesAt + shapeBytes * <usize>told;
    const bytes = load<u32>(shape, lengthOf);
    store<u8>(to++, <u8>bytes);
    for (let place: usize = 0; place < bytes; place++) {
      const isMark = load<u8>(shape + place, masksOf) != 0;
      store<u8>(to++, isMark ? load<u8>(shape + place, marksOf) : 48);
    }
  }
  to = writeShapes(to);
  for (let from: i32 = 0; from < rows; from += rowsOfBlock) {
    const count = min(rowsOfBlock, rows - from);
    for (let number: usize = 0; number < <usize>numbers; number++) {
      const values = columnsAt + number * columnBytes + (<usize>from << 3);
      to = writeColumn(values, count, statesAt + (number << 4), to);
      readColumn(values + (checkedAt - columnsAt), count, checkedStatesAt + (number << 4));
    }
  }
  return to;
}

/** Which shape each row has: by its runs, or one by one where that is shorter. */
function writeShapes(from: usize): usize {
  let runs = 1;
  for (let row: usize = 1; row < <usize>rows; row++) if (load<u8>(idsAt + row) != load<u8>(idsAt + row - 1)) runs++;
  if (2 + 3 * runs > rows) {
    store<u8>(from, 1);
    memory.copy(from + 1, idsAt, rows);
    return from + 1 + rows;
  }
  store<u8>(from, 0);
  store<u16>(from, <u16>runs, 1);
  let to = from + 3;
  for (let row: usize = 0; row < <usize>rows; ) {
    const first = row;
    const id = load<u8>(idsAt + first);
    while (row < <usize>rows && load<u8>(idsAt + row) == id) row++;
    store<u8>(to, id);
    store<u16>(to, <u16>(row - first), 1);
    to += 3;
  }
  return to;
}

let columnFrom: usize = 0;

/** First differences of a column or second, whichever take fewer bytes. */
function writeColumn(values: usize, count: i32, state: usize, from: usize): usize {
  const before = load<f64>(state);
  const stepBefore = load<f64>(state, 8);
  let value = before;
  let step = stepBefore;
  let first: f64 = 0;
  let second: f64 = 0;
  for (let row = 0; row < count; row++) {
    const next = load<f64>(values + (<usize>row << 3));
    const difference = next - value;
    first = max(first, abs(difference));
    second = max(second, abs(difference - step));
    value = next;
    step = difference;
  }
  store<f64>(state, value);
  store<f64>(state, step, 8);
  const ofFirst = widthOf(first);
  const ofSecond = widthOf(second);
  const isSecond = ofSecond < ofFirst;
  const width = isSecond ? ofSecond : ofFirst;
  columnFrom = from;
  store<u8>(from, <u8>((isSecond ? 32 : 16) | width));
  let to = from + 1;
  if (width == 0) return to;
  value = before;
  step = isSecond ? stepBefore : 0;
  for (let row = 0; row < count; row++) {
    const next = load<f64>(values + (<usize>row << 3));
    const difference = next - value;
    const written = difference - step;
    if (isSecond) step = difference;
    value = next;
    if (width == 1) store<i8>(to, <i8><i32>written);
    else if (width == 2) store<i16>(to, <i16><i32>written);
    else if (width == 4) store<i32>(to, <i32>written);
    else store<f64>(to, written);
    to += width;
  }
  return to;
}

function widthOf(largest: f64): i32 {
  if (largest == 0) return 0;
  return largest < 128 ? 1 : largest < 32768 ? 2 : largest < 2147483648 ? 4 : 8;
}

/** Reads the column that was written last again, by its bytes alone. */
function readColumn(into: usize, count: i32, state: usize): void {
  const header = load<u8>(columnFrom);
  const width = <usize>(header & 15);
  const isSecond = header >> 4 == 2;
  let from = columnFrom + 1;
  let value = load<f64>(state);
  let step = load<f64>(state, 8);
  for (let row = 0; row < count; row++) {
    let difference: f64 = 0;
    if (width == 1) difference = <f64>load<i8>(from);
    else if (width == 2) difference = <f64>load<i16>(from);
    else if (width == 4) difference = <f64>load<i32>(from);
    else if (width == 8) difference = load<f64>(from);
    from += width;
    step = isSecond ? step + difference : difference;
    value += step;
    store<f64>(into + (<usize>row << 3), value);
  }
  store<f64>(state, value);
  store<f64>(state, step, 8);
}

// --- checking

/** Whether each row, written out from its shape and from the numbers that were read again, is the row that came in. */
function isTrue(from: usize): bool {
  let at: usize = from;
  let wrong = i8x16.splat(0);
  for (let row: usize = 0; row < <usize>rows; row++) {
    const shape = shapesAt + shapeBytes * <usize>load<u8>(idsAt + row);
    const bytes = <usize>load<u32>(shape, lengthOf);
    const isPaired = load<u32>(shape, pairedOf) != 0;
    const step: usize = isPaired ? 2 : 1;
    const place = checkedAt + (row << 3);
    // As many vectors as the row has bytes for; what stands behind its end is masked.
    let one = v128.load(shape, marksOf);
    let two = v128.load(shape, marksOf + 16);
    let three = v128.load(shape, marksOf + 32);
    let four = v128.load(shape, marksOf + 48);
    for (let number: usize = 0; number < <usize>numbers; number += step) {
      const value = load<f64>(place + number * columnBytes);
      const text = isPaired
        ? textOfPair(f64x2.replace_lane(f64x2.splat(value), 1, load<f64>(place + (number + 1) * columnBytes)))
        : textOf(abs(value));
      const gives = shape + (number << 6);
      one = written(one, text, gives, step, 0);
      if (bytes > 16) two = written(two, text, gives, step, 16);
      if (bytes > 32) {
        three = written(three, text, gives, step, 32);
        four = written(four, text, gives, step, 48);
      }
    }
    wrong = v128.or(wrong, differenceWithin(one, at, 0, bytes));
    if (bytes > 16) wrong = v128.or(wrong, differenceWithin(two, at, 16, bytes));
    if (bytes > 32) {
      wrong = v128.or(wrong, differenceWithin(three, at, 32, bytes));
      wrong = v128.or(wrong, differenceWithin(four, at, 48, bytes));
    }
    at += bytes;
  }
  return !v128.any_true(wrong);
}

/** A part of a row with the digits of a number, or of two, put to their places. */
// @ts-ignore: decorator
@inline
function written(row: v128, text: v128, gives: usize, count: usize, part: usize): v128 {
  const first = v128.or(row, i8x16.swizzle(text, v128.load(gives + part, givesOf)));
  return count == 1 ? first : v128.or(first, i8x16.swizzle(text, v128.load(gives + 64 + part, givesOf)));
}

// @ts-ignore: decorator
@inline
function differenceWithin(text: v128, row: usize, place: usize, bytes: usize): v128 {
  const left = max(<i32>bytes - <i32>place, 0);
  const places = i8x16(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15);
  const within = i8x16.lt_s(places, i8x16.splat(<i8>min(left, 16)));
  return v128.and(v128.xor(text, v128.load(row + place)), within);
}

/** The sixteen digits of a whole number, as text. */
// @ts-ignore: decorator
@inline
function textOf(value: f64): v128 {
  const whole = <u64>value;
  const high = whole / 100000000;
  return textOfPair(f64x2.replace_lane(f64x2.splat(<f64>high), 1, <f64>(whole - high * 100000000)));
}

/** The digits of two whole numbers, eight of each, as text; their signs are the shape's. */
// @ts-ignore: decorator
@inline
function textOfPair(signed: v128): v128 {
  const values = f64x2.abs(signed);
  const myriads = f64x2.splat(10000);
  const lefts = f64x2.floor(f64x2.div(values, myriads));
  const rights = f64x2.sub(values, f64x2.mul(lefts, myriads));
  const fours = i32x4.shuffle(
    i32x4.trunc_sat_f64x2_u_zero(lefts),
    i32x4.trunc_sat_f64x2_u_zero(rights),
    0,
    4,
    1,
    5,
  );
  // By multiplying and shifting: n · 5243 >> 19 is n / 100 for n below 43,699, n · 103 >> 10 is n / 10 below 179.
  const hundreds = i32x4.shr_u(i32x4.mul(fours, i32x4.splat(5243)), 19);
  const rest = i32x4.sub(fours, i32x4.mul(hundreds, i32x4.splat(100)));
  const twos = v128.or(hundreds, i32x4.shl(rest, 16));
  const tens = i16x8.shr_u(i16x8.mul(twos, i16x8.splat(103)), 10);
  const ones = i16x8.sub(twos, i16x8.mul(tens, i16x8.splat(10)));
  return v128.or(v128.or(tens, i16x8.shl(ones, 8)), i8x16.splat(48));
}
