import fc from "fast-check";
import { expect, test } from "vitest";
import { createUtf16Reader, decodeText, findEncoding } from "./encoding.ts";

const utf8 = (text: string) => new TextEncoder().encode(text);

function utf16(text: string, lowFirst: boolean): Uint8Array {
  const bytes = new Uint8Array(text.length * 2);
  const view = new DataView(bytes.buffer);
  for (let at = 0; at < text.length; at++) view.setUint16(at * 2, text.charCodeAt(at), lowFirst);
  return bytes;
}

test("windows-1252 decodes as the platform's decoder does in streaming, where that one is right", () => {
  const bytes = Uint8Array.from({ length: 256 }, (_, byte) => byte);
  // Without `stream` Node 20 takes 0x80 for U+0080; the Encoding Standard's index has the euro sign there.
  expect(decodeText(bytes, "windows-1252")).toBe(
    new TextDecoder("windows-1252").decode(bytes, { stream: true }),
  );
  expect(decodeText(Uint8Array.of(0x80), "windows-1252")).toBe("€");
});

test("UTF-16 in any pieces becomes the UTF-8 that the platform makes of it", () => {
  fc.assert(
    fc.property(fc.string({ unit: "grapheme" }), fc.boolean(), fc.nat({ max: 7 }), (text, lowFirst, size) => {
      const read = createUtf16Reader(lowFirst ? "utf-16le" : "utf-16be");
      const bytes = utf16(text, lowFirst);
      const out: number[] = [];
      for (let at = 0; at < bytes.length; at += size + 1)
        out.push(...read(bytes.subarray(at, at + size + 1)));
      expect(Uint8Array.from(out)).toEqual(utf8(text));
    }),
  );
});

test.each([
  ["\ufefftime,force\n", "utf-8"],
  ["time,force\n0,1\n", "utf-8"],
  ["Zeit;Kraft µ\n", "utf-8"],
])("%j is UTF-8", (text, encoding) => {
  expect(findEncoding(utf8(text))?.encoding).toBe(encoding);
});

test("a head that ends within a character is still UTF-8", () => {
  const bytes = utf8("Zeit;Kraft µ");
  expect(findEncoding(bytes.subarray(0, bytes.length - 1))?.encoding).toBe("utf-8");
});

test("bytes that are not UTF-8 are windows-1252", () => {
  expect(findEncoding(Uint8Array.of(0x74, 0xb5, 0x73, 0x0a))?.encoding).toBe("windows-1252");
  // Overlong "/" and half a surrogate pair are not UTF-8, by RFC 3629.
  expect(findEncoding(Uint8Array.of(0xc0, 0xaf, 0x0a))?.encoding).toBe("windows-1252");
  expect(findEncoding(Uint8Array.of(0xed, 0xa0, 0x80, 0x0a))?.encoding).toBe("windows-1252");
});

test("UTF-16 is known by its mark or by where its zeros lie", () => {
  for (const text of ["time,force\n0,1\n", "\ufefftime,force\n0,1\n"]) {
    expect(findEncoding(utf16(text, true))?.encoding).toBe("utf-16le");
    expect(findEncoding(utf16(text, false))?.encoding).toBe("utf-16be");
  }
});

test("zeros elsewhere are in no text", () => {
  expect(findEncoding(Uint8Array.of(1, 0, 0, 0, 7, 0, 0, 0, 9, 9, 9, 9))).toBeUndefined();
});
