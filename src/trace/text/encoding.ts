import type { Encoding } from "../layout.ts";

/** What the bytes 0x80 to 0x9F mean in windows-1252, the superset of Latin-1. Node 20's own decoder has them wrong. */
const windowsHighs =
  "\u20ac\u0081\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u008d\u017d\u008f" +
  "\u0090\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u009d\u017e\u0178";

/**
 * A character that makes a closer look worth while: none of ASCII, or a control. What it buys: most files have none, and a
 * pattern says so in a quarter of the time that a loop takes which is not compiled yet.
 */
const otherThanPlain = /[^\t\n\f\r -\x7f]/;

export type FoundEncoding = { readonly encoding: Encoding; readonly reason: string };

/**
 * How the beginning of a text file is encoded: by its byte order mark, else by where its NUL bytes lie, else UTF-8 where
 * it is valid UTF-8, else windows-1252. The last character may be cut in two. Nothing for bytes that are no text.
 */
export function findEncoding(head: Uint8Array): FoundEncoding | undefined {
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf)
    return { encoding: "utf-8", reason: "The file begins with the mark of UTF-8." };
  if (head[0] === 0xff && head[1] === 0xfe)
    return { encoding: "utf-16le", reason: "The file begins with the mark of UTF-16, low byte first." };
  if (head[0] === 0xfe && head[1] === 0xff)
    return { encoding: "utf-16be", reason: "The file begins with the mark of UTF-16, high byte first." };
  if (!otherThanPlain.test(decodeText(head, "utf-8")))
    return { encoding: "utf-8", reason: "The bytes are valid UTF-8." };
  const nuls = [0, 0];
  let controls = 0;
  let bits = 0;
  for (let at = 0; at < head.length; at++) {
    const byte = head[at] as number;
    bits |= byte;
    if (byte > 31) continue;
    if (byte === 0) nuls[at % 2] = (nuls[at % 2] as number) + 1;
    else if (byte !== 9 && byte !== 10 && byte !== 13 && byte !== 12 && byte !== 26) controls++;
  }
  const [even = 0, odd = 0] = nuls;
  const half = head.length / 2;
  if (odd > 0.7 * half && even < 0.05 * half)
    return { encoding: "utf-16le", reason: "Every second byte is 0, as in UTF-16, low byte first." };
  if (even > 0.7 * half && odd < 0.05 * half)
    return { encoding: "utf-16be", reason: "Every second byte is 0, as in UTF-16, high byte first." };
  if (even + odd > 0 || controls > head.length / 100) return undefined;
  if (bits > 127 && !isUtf8(head))
    return { encoding: "windows-1252", reason: "The bytes are not UTF-8; they read as windows-1252." };
  return { encoding: "utf-8", reason: "The bytes are valid UTF-8." };
}

/** Text from bytes; what is not valid becomes the replacement character. The byte order mark is left out. */
export function decodeText(bytes: Uint8Array, encoding: Encoding): string {
  if (encoding === "windows-1252") return decodeWindows(bytes);
  if (encoding === "utf-8") return new TextDecoder("utf-8").decode(bytes);
  return new TextDecoder("utf-8").decode(createUtf16Reader(encoding)(bytes));
}

/**
 * Turns UTF-16 into UTF-8 piece by piece; a piece may end within a character. For a recording it is enough that digits,
 * marks and line ends come out right, and that a quoted line can be shown.
 */
export function createUtf16Reader(encoding: "utf-16le" | "utf-16be"): (bytes: Uint8Array) => Uint8Array {
  const lowFirst = encoding === "utf-16le";
  let half = -1;
  let high = 0;
  return (bytes) => {
    const out = new Uint8Array(Math.ceil((bytes.length + 1) / 2) * 3 + 3);
    let size = 0;
    for (let at = 0; at < bytes.length; at++) {
      const byte = bytes[at] as number;
      if (half < 0) {
        half = byte;
        continue;
      }
      const unit = lowFirst ? half | (byte << 8) : (half << 8) | byte;
      half = -1;
      if (unit >= 0xd800 && unit < 0xdc00) {
        high = unit;
        continue;
      }
      const isLow = unit >= 0xdc00 && unit < 0xe000;
      const code = isLow ? (high === 0 ? 0xfffd : 0x10000 + ((high - 0xd800) << 10) + (unit - 0xdc00)) : unit;
      high = 0;
      if (code < 0x80) out[size++] = code;
      else if (code < 0x800) {
        out[size++] = 0xc0 | (code >> 6);
        out[size++] = 0x80 | (code & 63);
      } else if (code < 0x10000) {
        out[size++] = 0xe0 | (code >> 12);
        out[size++] = 0x80 | ((code >> 6) & 63);
        out[size++] = 0x80 | (code & 63);
      } else {
        out[size++] = 0xf0 | (code >> 18);
        out[size++] = 0x80 | ((code >> 12) & 63);
        out[size++] = 0x80 | ((code >> 6) & 63);
        out[size++] = 0x80 | (code & 63);
      }
    }
    return out.subarray(0, size);
  };
}

function decodeWindows(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let at = 0; at < bytes.length; at += 4096) {
    let part = "";
    for (const byte of bytes.subarray(at, at + 4096))
      part += byte >= 0x80 && byte < 0xa0 ? windowsHighs[byte - 0x80] : String.fromCharCode(byte);
    parts.push(part);
  }
  return parts.join("");
}

/** Strict: no overlong forms, no surrogates; only the last character may be incomplete. */
function isUtf8(bytes: Uint8Array): boolean {
  let at = 0;
  while (at < bytes.length) {
    const lead = bytes[at] as number;
    if (lead < 0x80) {
      at++;
      continue;
    }
    const more =
      lead >= 0xc2 && lead < 0xe0 ? 1 : lead >= 0xe0 && lead < 0xf0 ? 2 : lead >= 0xf0 && lead < 0xf5 ? 3 : 0;
    if (more === 0) return false;
    for (let next = 1; next <= more; next++) {
      const byte = bytes[at + next];
      if (byte === undefined) return true;
      if ((byte & 0xc0) !== 0x80) return false;
      if (next > 1) continue;
      if ((lead === 0xe0 && byte < 0xa0) || (lead === 0xed && byte > 0x9f)) return false;
      if ((lead === 0xf0 && byte < 0x90) || (lead === 0xf4 && byte > 0x8f)) return false;
    }
    at += more + 1;
  }
  return true;
}
