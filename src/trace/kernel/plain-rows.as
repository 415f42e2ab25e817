// Reads plain rows sixteen bytes at a time: the kernel of ../kernel-rows.ts, in AssemblyScript.
//
// Rows of one recording look alike: digits stand where digits stood, and all else (separators, decimal marks, signs, line
// ends) is the same byte in the same place. The places of what is no digit are a row's *shape*. What a shape means (where
// each wanted number lies, which of its bytes are digits, what it is divided by) is worked out once, byte by byte, and
// kept; a row of a known shape is then compared, shuffled and multiplied as a whole, without a look at single bytes.
// Numbers of up to 15 digits are exact integers, divided once by an exact power of ten: correctly rounded.

/** A row of a known shape may be as long, with its line end. */
const mostRowBytes: usize = 64;
const mostDigits: i32 = 15;
/** Digits that one half of a vector holds. */
const halfDigits: i32 = 8;

/** Rows that are read into the columns' room at a time. */
export const rowsAtOnce: i32 = 8192;
/** Bytes that the input has room for. */
export const inputBytes: i32 = 131072;

// The memory: shapes, three columns of float64, and the input with room around it for whole vectors.
const shapesAt: usize = 4096;
const shapeBits: u64 = 7;
const shapeBytes: usize = 256;
const columnBytes: usize = 8 * 8192;
const columnsFrom: usize = shapesAt + (shapeBytes << <usize>shapeBits);
const inputFrom: usize = columnsFrom + 3 * columnBytes + mostRowBytes;
export const columnsAt: i32 = <i32>columnsFrom;
export const inputAt: i32 = <i32>inputFrom;
export const memoryBytes: i32 = inputAt + inputBytes + <i32>mostRowBytes;

// What is kept of a shape, by the offsets of its fields.
/** Bit i stands for byte i of a row: set where it is no digit, from the row's first byte to its LF. */
const keyOf: usize = 0;
/** 1 where two numbers of up to eight digits are wanted: they share a vector. */
const pairedOf: usize = 8;
/** Per number: where its sixteen bytes begin, from the row's start (they end with it); its divisor; its bytes' places. */
const beginsOf: usize = 16;
const divisorsOf: usize = 32;
const takesOf: usize = 64;
/** The bytes that are no digits, and 255 in the place of each. */
const marksOf: usize = 128;
const masksOf: usize = 192;

let separator: u8 = 0;
let decimal: u8 = 0;
let cellsInRow: i32 = 0;
let numbers: i32 = 0;
let columnA: i32 = 0;
let columnB: i32 = 0;
let columnC: i32 = 0;
let forceIn: i32 = 0;
let rows: i32 = 0;
let shapesMade: i32 = 0;
let fewest: i32 = 0;
let most: i32 = 0;
let forceDecimals: i32 = 0;

/** How rows are written: their cells, and the columns of the numbers in them, from 1 and in order; `force` is which of those. */
export function setUp(
  separatorByte: i32,
  decimalByte: i32,
  cells: i32,
  wanted: i32,
  a: i32,
  b: i32,
  c: i32,
  force: i32,
): void {
  separator = <u8>separatorByte;
  decimal = <u8>decimalByte;
  cellsInRow = cells;
  numbers = wanted;
  columnA = a;
  columnB = b;
  columnC = c;
  forceIn = force;
  shapesMade = 0;
  fewest = i32.MAX_VALUE;
  most = 0;
  for (let at: usize = 0; at < shapeBytes << <usize>shapeBits; at += shapeBytes) store<u64>(shapesAt + at, 0, keyOf);
}

/** Rows that the last call read. */
export function rowsRead(): i32 {
  return rows;
}

/** Shapes worked out since `setUp`. */
export function shapesSeen(): i32 {
  return shapesMade;
}

/** Fewest and most decimals of the force since `setUp`. */
export function fewestDecimals(): i32 {
  return fewest;
}

export function mostDecimals(): i32 {
  return most;
}

/**
 * Reads rows from `from`, the start of one, to `to`, behind an LF, as far as they are plain and the columns have room.
 * Returns where the first row begins that was not read.
 */
export function readRows(from: i32, to: i32): i32 {
  const end: usize = to;
  const behindRoom = columnsFrom + columnBytes;
  const zero = i8x16.splat(48);
  const nine = i8x16.splat(9);
  const lineFeed = i8x16.splat(10);
  const wanted = <usize>numbers;
  let at: usize = from;
  let row = columnsFrom;
  let shape = shapesAt;
  let lastKey: u64 = 0;
  let length: usize = 0;
  while (at < end && row < behindRoom) {
    const first = v128.load(at);
    const second = v128.load(at, 16);
    let ends = bits(i8x16.eq(first, lineFeed), i8x16.eq(second, lineFeed));
    let key = bits(i8x16.gt_u(i8x16.sub(first, zero), nine), i8x16.gt_u(i8x16.sub(second, zero), nine));
    let differs = v128.or(differenceAt(first, shape, 0), differenceAt(second, shape, 16));
    const isLong = ends == 0;
    if (isLong) {
      const third = v128.load(at, 32);
      const fourth = v128.load(at, 48);
      ends = bits(i8x16.eq(third, lineFeed), i8x16.eq(fourth, lineFeed)) << 32;
      if (ends == 0) break;
      key |= bits(i8x16.gt_u(i8x16.sub(third, zero), nine), i8x16.gt_u(i8x16.sub(fourth, zero), nine)) << 32;
    }
    key &= ends ^ (ends - 1);
    // Nearly every row has the shape of the one before. That it has its length is then known before its bytes are: the
    // processor reads several rows at once, which is worth a third.
    if (key != lastKey) {
      lastKey = key;
      length = <usize>ctz(ends) + 1;
      shape = shapesAt + shapeBytes * <usize>((key * 0x9e3779b97f4a7c15) >> (64 - shapeBits));
      differs = v128.or(differenceAt(first, shape, 0), differenceAt(second, shape, 16));
    }
    if (isLong)
      differs = v128.or(
        differs,
        v128.or(differenceAt(v128.load(at, 32), shape, 32), differenceAt(v128.load(at, 48), shape, 48)),
      );
    if (load<u64>(shape, keyOf) != key || v128.any_true(differs)) {
      if (!learn(shape, at, length, key)) break;
    }
    if (load<u32>(shape, pairedOf) != 0) {
      const digits = v128.or(digitsOf(at, shape, 0), digitsOf(at, shape, 1));
      const values = f64x2.div(f64x2.convert_low_i32x4_u(eightsOf(digits)), v128.load(shape, divisorsOf));
      v128.store_lane<f64>(row, values, 0);
      v128.store_lane<f64>(row, values, 1, columnBytes);
    } else
      for (let number: usize = 0; number < wanted; number++) {
        const eights = eightsOf(digitsOf(at, shape, number));
        const whole = <f64>i32x4.extract_lane(eights, 0) * 1e8 + <f64>i32x4.extract_lane(eights, 1);
        store<f64>(row + number * columnBytes, whole / load<f64>(shape + (number << 3), divisorsOf));
      }
    row += 8;
    at += length;
  }
  rows = <i32>((row - columnsFrom) >> 3);
  return <i32>at;
}

// @ts-ignore: decorator
@inline
function bits(low: v128, high: v128): u64 {
  return <u64><u32>(i8x16.bitmask(low) | (i8x16.bitmask(high) << 16));
}

/** Where bytes that are no digits in the shape are others. */
// @ts-ignore: decorator
@inline
function differenceAt(bytes: v128, shape: usize, place: usize): v128 {
  return v128.and(v128.xor(bytes, v128.load(shape + place, marksOf)), v128.load(shape + place, masksOf));
}

/** The digits of a number, at the right of the vector or of the half that its shape gives it; 0 elsewhere. */
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

/** Works out what a row of a new shape means; false where it is not plain, and its shape then is not kept. */
function learn(shape: usize, from: usize, length: usize, key: u64): bool {
  store<u64>(shape, 0, keyOf);
  let stop = from + length - 1;
  if (stop > from && load<u8>(stop - 1) == 13) stop--;
  let at = from;
  let cell = 0;
  let found = 0;
  let paired = numbers == 2;
  for (;;) {
    cell++;
    let behind = at;
    for (; behind < stop; behind++) {
      const byte = load<u8>(behind);
      if (byte == separator) break;
      if (byte == 34 || byte == 13) return false;
    }
    const wanted = found == 0 ? columnA : found == 1 ? columnB : columnC;
    if (found < numbers && cell == wanted) {
      const digits = learnNumber(shape, from, at, behind, found);
      if (digits < 0) return false;
      if (digits > halfDigits) paired = false;
      found++;
    }
    if (behind == stop) break;
    at = behind + 1;
  }
  if (cell != cellsInRow || found != numbers) return false;
  if (paired) {
    // The first number's digits go to the left half.
    const none = i8x16.splat(-1);
    const right = v128.load(shape, takesOf);
    v128.store(
      shape,
      i8x16.shuffle(right, none, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23),
      takesOf,
    );
  }
  store<u32>(shape, paired ? 1 : 0, pairedOf);
  for (let place: usize = 0; place < mostRowBytes; place++) {
    const isMark = place < length && ((key >> <u64>place) & 1) != 0;
    store<u8>(shape + place, isMark ? 255 : 0, masksOf);
    store<u8>(shape + place, isMark ? load<u8>(from + place) : 0, marksOf);
  }
  store<u64>(shape, key, keyOf);
  shapesMade++;
  if (forceDecimals < fewest) fewest = forceDecimals;
  if (forceDecimals > most) most = forceDecimals;
  return true;
}

/** Works out the number in a cell: blanks, a sign, digits with at most one mark, blanks. Returns its digits, or −1. */
function learnNumber(shape: usize, row: usize, from: usize, to: usize, number: i32): i32 {
  let first = from;
  let behind = to;
  while (first < behind && isBlank(load<u8>(first))) first++;
  while (behind > first && isBlank(load<u8>(behind - 1))) behind--;
  let negative = false;
  if (first < behind) {
    const sign = load<u8>(first);
    if (sign == 43 || sign == 45) {
      negative = sign == 45;
      first++;
    }
  }
  if (behind - first > 16) return -1;
  const takes = shape + takesOf + ((<usize>number) << 4);
  v128.store(takes, i8x16.splat(-1));
  let digits = 0;
  let decimals = -1;
  for (let place: usize = 1; place <= behind - first; place++) {
    const byte = load<u8>(behind - place);
    if (byte == decimal && decimals < 0) decimals = digits;
    else if (byte >= 48 && byte <= 57) {
      store<u8>(takes + 15 - <usize>digits, <u8>(16 - place));
      digits++;
    } else return -1;
  }
  if (digits == 0 || digits > mostDigits) return -1;
  if (decimals < 0) decimals = 0;
  let divisor: f64 = 1;
  for (let i = 0; i < decimals; i++) divisor *= 10;
  store<i32>(shape + ((<usize>number) << 2), <i32>(behind - row) - 16, beginsOf);
  store<f64>(shape + ((<usize>number) << 3), negative ? -divisor : divisor, divisorsOf);
  if (number == forceIn) forceDecimals = decimals;
  return digits;
}

// @ts-ignore: decorator
@inline
function isBlank(byte: u8): bool {
  return byte == 32 || byte == 9;
}
