import { ok, type Result, refuse } from "../../problem/mod.ts";
import type { StoredPicture } from "../store.ts";

type MediaType = StoredPicture["mediaType"];

/**
 * What kind of picture these bytes are, by their own beginning and not by the file's name: JPEG, PNG, GIF, WebP or AVIF.
 * All else is refused; SVG with its own reason, since it can carry a program.
 *
 * Sources of the signatures: JPEG ITU-T T.81 (SOI marker), PNG ISO/IEC 15948 section 5.2, GIF89a section 17, WebP RFC
 * 9649 section 2.4, AVIF's brands in the ISO base media file format, ISO/IEC 14496-12 section 4.3.
 *
 * @example
 * recognisePicture(Uint8Array.of(0xff, 0xd8, 0xff, 0xe0)) // { ok: true, value: "image/jpeg", warnings: [] }
 */
export function recognisePicture(bytes: Uint8Array): Result<MediaType> {
  const known = mediaTypeOf(bytes);
  if (known !== undefined) return ok(known);
  const beginning = textAt(bytes, 0, 400).trim();
  if (/<svg[\s>]/i.test(beginning))
    return refuse({
      code: "INPUT_PICTURE",
      message: "An SVG drawing can carry a program and is not taken as a picture.",
      found: "SVG",
      expected: wanted,
      wayOut: "Export the drawing as PNG.",
    });
  return refuse({
    code: "INPUT_PICTURE",
    message: "This is not a picture of a kind that every browser shows.",
    found: bytes.length === 0 ? "an empty file" : foundAs(bytes),
    expected: wanted,
    wayOut: "Export the picture as JPEG or PNG.",
  });
}

const wanted = "a JPEG, PNG, WebP, GIF or AVIF picture";

function mediaTypeOf(bytes: Uint8Array): MediaType | undefined {
  if (startsWith(bytes, [0xff, 0xd8, 0xff])) return "image/jpeg";
  if (startsWith(bytes, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return "image/png";
  if (["GIF87a", "GIF89a"].includes(textAt(bytes, 0, 6))) return "image/gif";
  if (textAt(bytes, 0, 4) === "RIFF" && textAt(bytes, 8, 12) === "WEBP") return "image/webp";
  if (brandsOf(bytes).some((brand) => brand === "avif" || brand === "avis")) return "image/avif";
  return undefined;
}

/** The brands of a file of the ISO base media format: its first box, `ftyp`, lists them in fours. */
function brandsOf(bytes: Uint8Array): string[] {
  if (textAt(bytes, 4, 8) !== "ftyp") return [];
  const size = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(0);
  const brands = [textAt(bytes, 8, 12)];
  for (let at = 16; at + 4 <= Math.min(size, bytes.length, 256); at += 4)
    brands.push(textAt(bytes, at, at + 4));
  return brands;
}

function foundAs(bytes: Uint8Array): string {
  const brand = brandsOf(bytes)[0];
  if (brand !== undefined) return `a file of the brand ${JSON.stringify(brand)}`;
  if (textAt(bytes, 0, 5) === "%PDF-") return "a PDF document";
  const first = [...bytes.subarray(0, 8)].map((byte) => byte.toString(16).padStart(2, "0")).join(" ");
  return `a file that begins with the bytes ${first}`;
}

function startsWith(bytes: Uint8Array, beginning: readonly number[]): boolean {
  return beginning.every((byte, at) => bytes[at] === byte);
}

function textAt(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}
