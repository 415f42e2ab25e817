/** Powers of ten that a double holds exactly. */
export const exactTens = Float64Array.from({ length: 23 }, (_, power) => Number(`1e${power}`));

/**
 * The number in bytes `from` to before `to`, or NaN where they hold something else: an optional sign, digits with at most
 * one decimal mark, an optional exponent, and nothing besides. No thousands marks: 1,234 is not guessed to be 1234.
 * Up to 15 digits are exact integers over exact powers of ten, and so one correctly rounded division; up to 22 are divided
 * in two parts; the rest, and what lies too close to the middle between two doubles, goes through `Number`.
 */
export function parseNumber(bytes: Uint8Array, from: number, to: number, decimal: number): number {
  let at = from;
  let negative = false;
  const sign = bytes[at];
  if (sign === 45 || sign === 43) {
    negative = sign === 45;
    at++;
  }
  let digits = 0;
  let significant = 0;
  let mantissa = 0;
  let tail = 0;
  let scale = 0;
  let seenMark = false;
  for (; at < to; at++) {
    const byte = bytes[at] as number;
    if (byte >= 48 && byte <= 57) {
      digits++;
      if (significant > 0 || byte !== 48) significant++;
      if (significant <= 15) mantissa = mantissa * 10 + (byte - 48);
      else if (significant <= 22) tail = tail * 10 + (byte - 48);
      if (seenMark) scale++;
    } else if (byte === decimal && !seenMark) seenMark = true;
    else break;
  }
  if (digits === 0) return Number.NaN;
  let exponent = 0;
  if (at < to) {
    const byte = bytes[at] as number;
    if (byte !== 69 && byte !== 101) return Number.NaN;
    exponent = parseExponent(bytes, at + 1, to);
    if (Number.isNaN(exponent)) return Number.NaN;
  }
  const power = exponent - scale;
  let value = Number.NaN;
  if (significant <= 15 && power >= -22 && power <= 22)
    value = power < 0 ? mantissa / (exactTens[-power] as number) : mantissa * (exactTens[power] as number);
  else if (significant > 15 && significant <= 22 && power >= -22 && power <= 0)
    value = divideLong(mantissa, exactTens[significant - 15] as number, tail, exactTens[-power] as number);
  if (Number.isNaN(value)) return parseLong(bytes, from, to, decimal);
  return negative ? -value : value;
}

/**
 * (head × shift + tail) / divisor, correctly rounded, all four exact integers; NaN where the answer lies too close to the
 * middle between two doubles to be told. The dividend is held in two doubles, and the remainder of a first division is
 * divided once more (T. J. Dekker, Numerische Mathematik 18, 1971; from memory): the error is some 2⁻¹⁰⁰ of the answer.
 */
function divideLong(head: number, shift: number, tail: number, divisor: number): number {
  const product = head * shift;
  const high = product + tail;
  const low = errorOfProduct(head, shift, product) + (tail - (high - product));
  const first = high / divisor;
  const back = first * divisor;
  const second = (high - back - errorOfProduct(first, divisor, back) + low) / divisor;
  const below = first + second * (1 - 1e-12);
  const above = first + second * (1 + 1e-12);
  return below === above ? above : Number.NaN;
}

/** What a product of two doubles lost by rounding, exactly: each factor is split into halves of 26 bits. */
function errorOfProduct(a: number, b: number, product: number): number {
  const aHigh = a * splitter - (a * splitter - a);
  const bHigh = b * splitter - (b * splitter - b);
  const aLow = a - aHigh;
  const bLow = b - bHigh;
  return aHigh * bHigh - product + aHigh * bLow + aLow * bHigh + aLow * bLow;
}

/** 2²⁷ + 1 */
const splitter = 134_217_729;

/** How many digits stand behind the decimal mark. */
export function decimalsOf(bytes: Uint8Array, from: number, to: number, decimal: number): number {
  for (let at = from; at < to; at++) {
    if (bytes[at] !== decimal) continue;
    let end = at + 1;
    while (end < to && isDigit(bytes[end] as number)) end++;
    return end - at - 1;
  }
  return 0;
}

function parseExponent(bytes: Uint8Array, from: number, to: number): number {
  let at = from;
  const sign = bytes[at];
  if (sign === 45 || sign === 43) at++;
  if (at >= to) return Number.NaN;
  let value = 0;
  for (; at < to; at++) {
    const byte = bytes[at] as number;
    if (!isDigit(byte)) return Number.NaN;
    value = Math.min(9999, value * 10 + (byte - 48));
  }
  return sign === 45 ? -value : value;
}

function parseLong(bytes: Uint8Array, from: number, to: number, decimal: number): number {
  let text = "";
  for (let at = from; at < to; at++) {
    const byte = bytes[at] as number;
    text += byte === decimal ? "." : String.fromCharCode(byte);
  }
  const value = Number(text);
  return Number.isFinite(value) ? value : Number.NaN;
}

export function isDigit(byte: number): boolean {
  return byte >= 48 && byte <= 57;
}

/** Words and marks that loggers write where they have no value; compared in lower case. */
const missingWords = new Set([
  "",
  "na",
  "n/a",
  "#n/a",
  "nan",
  "null",
  "none",
  "nil",
  "-",
  "--",
  "---",
  "?",
  "*",
]);

const longestMissing = Math.max(...[...missingWords].map((word) => word.length));

/** Whether a cell says that there is no value. */
export function isMissingWord(text: string): boolean {
  const word = text.trim();
  return word.length <= longestMissing && missingWords.has(word.toLowerCase());
}

/**
 * A decimal number in text, by the same rules as `parseNumber`, whose twin it is: `Number` reads all that those allow, and
 * besides hexadecimals and the like, infinities and nothing at all. What it buys: the engine's own code reads the cells of
 * a head in half a millisecond, where those rules take five before they are compiled (measured).
 */
export function parseNumberText(text: string, decimal: "." | ","): number {
  const cell = text.trim();
  if (cell === "" || /^0[box]/i.test(cell) || (decimal === "," && cell.includes("."))) return Number.NaN;
  const value = Number(decimal === "," ? cell.replace(",", ".") : cell);
  return Number.isFinite(value) ? value : Number.NaN;
}

/** Bytes of short texts, one after another: to make an array for each takes longer than to read it. */
const shortAscii = new Uint8Array(64);

/** The bytes of `asciiOf`, good until the next call; others may stand behind them. */
export function passingAscii(text: string): Uint8Array {
  return writeAscii(text, text.length <= shortAscii.length ? shortAscii : new Uint8Array(text.length));
}

/** One byte a character; what is not ASCII becomes a byte that is in no number. */
export function asciiOf(text: string): Uint8Array {
  return writeAscii(text, new Uint8Array(text.length));
}

function writeAscii(text: string, bytes: Uint8Array): Uint8Array {
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    bytes[at] = code < 128 ? code : 255;
  }
  return bytes;
}

/** A number with thousands marks: 1,234.5 or 1.234,5 or 1 234 567. */
export const thousands = /^[+-]?\d{1,3}(?:[ '.,\u00a0]\d{3})+(?:[.,]\d+)?$/;

/** A number with its unit glued to it: 12.4 kN. */
export const withUnit = /^[+-]?\d[\d.,]*\s*[a-zµ%°]/i;
