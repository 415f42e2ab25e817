import { deflateRawSync, inflateRawSync } from "node:zlib";
import { packNumberText, unpackNumberText } from "./number-text.ts";
import { packRowText } from "./row-text.ts";
import { unpackRowText } from "./unpack-rows.ts";

/** How bytes lie in the book: as rows of numbers, by either packer, deflated, or (null) as they are. */
export type Packing = "rows" | "numbers" | "deflate" | null;
export type Packed = { readonly packing: Packing; readonly bytes: Uint8Array };

/** Deflating is not worth its time where it saves less than this part. */
const fewestSaved = 0.1;

/**
 * Packs bytes without loss, as small as is quick: a logger's rows as their numbers, anything else deflated. What does not
 * come back to the byte, or is not worth it, is kept as it is.
 *
 * @example
 * const packed = packBytes(bytes);
 * unpackBytes(packed, bytes.length); // equal to bytes
 */
export function packBytes(bytes: Uint8Array): Packed {
  // A recording is known by its bytes, and no cleverness may lose one: rows are held against their bytes as they are packed.
  const rows = packRowText(bytes);
  if (rows !== undefined) return { packing: "rows", bytes: rows };
  // Rows too long for it, or with too many numbers.
  const numbers = packNumberText(bytes);
  if (numbers !== undefined && Buffer.compare(unpackNumberText(numbers, bytes.length), bytes) === 0)
    return { packing: "numbers", bytes: numbers };
  const deflated = deflateRawSync(bytes, { level: 1 });
  if (deflated.length <= (1 - fewestSaved) * bytes.length) return { packing: "deflate", bytes: deflated };
  return { packing: null, bytes };
}

/** The bytes that were packed, of which there were so many. */
export function unpackBytes({ packing, bytes }: Packed, sizeBytes: number): Uint8Array {
  if (packing === "rows") return unpackRowText(bytes, sizeBytes);
  if (packing === "numbers") return unpackNumberText(bytes, sizeBytes);
  return packing === "deflate" ? inflateRawSync(bytes) : bytes;
}
