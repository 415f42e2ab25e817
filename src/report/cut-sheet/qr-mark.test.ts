import { describe, expect, it } from "vitest";
import { qrMark } from "./qr-mark.ts";

// The printed marks are read back by a second way than they were made: a reader after ISO/IEC 18004 (its tables from
// memory; the check words of every block would not come out at zero if one of them were wrong).

const links = [
  "http://10.0.0.2:80/a",
  "http://192.168.1.5:7320/series/0192aabb/splice/0192aabc",
  `http://192.168.1.5:7320/series/${"0192aabb-1234-7000-8000-00000000000"}1/splice/0192aabb-9876-7000-8000-000000000042`,
  `https://bench.example.org/series/${"x".repeat(120)}`,
];

describe("the QR mark of a label", () => {
  it.each(links)("reads back as %s", (link) => {
    const read = readQr(modulesOf(qrMark(link, 26).text));
    expect(read.level).toBe("M");
    expect(read.text).toBe(link);
  });

  it("has a light border of four modules, as wide as the label asks", () => {
    const { text } = qrMark(links[1] as string, 26);
    expect(text).toContain('width="26mm" height="26mm"');
    const size = Number(/viewBox="0 0 (\d+)/.exec(text)?.[1]);
    const places = [...text.matchAll(/M(\d+) (\d+)h1v1h-1z/g)].flatMap(([, x, y]) => [Number(x), Number(y)]);
    expect(Math.min(...places)).toBe(4);
    expect(Math.max(...places)).toBe(size - 5);
  });

  it("is not read where one module of its data is turned over", () => {
    const modules = modulesOf(qrMark(links[1] as string, 26).text);
    const last = modules.length - 1;
    (modules[last] as boolean[])[last] = modules[last]?.[last] !== true;
    expect(() => readQr(modules)).toThrow("check words");
  });
});

/** The dark modules that are drawn, without their border. */
function modulesOf(svg: string): boolean[][] {
  const size = Number(/viewBox="0 0 (\d+)/.exec(svg)?.[1]) - 8;
  const modules = Array.from({ length: size }, () => Array<boolean>(size).fill(false));
  for (const [, x, y] of svg.matchAll(/M(\d+) (\d+)h1v1h-1z/g))
    (modules[Number(y) - 4] as boolean[])[Number(x) - 4] = true;
  return modules;
}

/** Of each version at level M: check words of a block, and the data words of its blocks. */
const blocksOfM: Readonly<Record<number, readonly [check: number, data: readonly number[]]>> = {
  1: [10, [16]],
  2: [16, [28]],
  3: [26, [44]],
  4: [18, [32, 32]],
  5: [24, [43, 43]],
  6: [16, [27, 27, 27, 27]],
  7: [18, [31, 31, 31, 31]],
  8: [22, [38, 38, 39, 39]],
  9: [22, [36, 36, 36, 37, 37]],
};
const alignmentOf = [
  [],
  [],
  [6, 18],
  [6, 22],
  [6, 26],
  [6, 30],
  [6, 34],
  [6, 22, 38],
  [6, 24, 42],
  [6, 26, 46],
];
const masks: readonly ((row: number, column: number) => boolean)[] = [
  (row, column) => (row + column) % 2 === 0,
  (row) => row % 2 === 0,
  (_, column) => column % 3 === 0,
  (row, column) => (row + column) % 3 === 0,
  (row, column) => (Math.floor(row / 2) + Math.floor(column / 3)) % 2 === 0,
  (row, column) => ((row * column) % 2) + ((row * column) % 3) === 0,
  (row, column) => (((row * column) % 2) + ((row * column) % 3)) % 2 === 0,
  (row, column) => (((row + column) % 2) + ((row * column) % 3)) % 2 === 0,
];

function readQr(modules: readonly (readonly boolean[])[]): { readonly level: string; readonly text: string } {
  const size = modules.length;
  const version = (size - 17) / 4;
  const dark = (row: number, column: number) => modules[row]?.[column] === true;
  const bit = (row: number, column: number) => (dark(row, column) ? 1 : 0);

  for (const [top, left] of [
    [0, 0],
    [0, size - 7],
    [size - 7, 0],
  ] as const)
    for (let row = 0; row < 7; row++)
      for (let column = 0; column < 7; column++) {
        const ring = Math.max(Math.abs(row - 3), Math.abs(column - 3));
        if (dark(top + row, left + column) !== (ring !== 2)) throw new Error("no finder pattern");
      }

  // Format: both copies must be the same word of the (15, 5) code, under its fixed mask.
  let [one, other] = [0, 0];
  for (let at = 0; at < 15; at++) {
    const row = at < 6 ? at : at === 6 ? 7 : 8;
    const column = at < 8 ? 8 : at === 8 ? 7 : 14 - at;
    one |= bit(row, column) << at;
    other |= (at < 8 ? bit(8, size - 1 - at) : bit(size - 15 + at, 8)) << at;
  }
  const format = one ^ 0b101010000010010;
  if (one !== other || remainder(format, 0b10100110111, 10) !== 0) throw new Error("format is no code word");
  const level = ["M", "L", "H", "Q"][format >> 13] as string;
  const mask = masks[(format >> 10) & 7] as (row: number, column: number) => boolean;
  if (version >= 7) {
    let said = 0;
    for (let at = 0; at < 18; at++) said |= bit(Math.floor(at / 3), size - 11 + (at % 3)) << at;
    if (said >> 12 !== version || remainder(said, 0b1111100100101, 12) !== 0)
      throw new Error("wrong version");
  }

  const words: number[] = [];
  let [word, held] = [0, 0];
  let upward = true;
  for (let right = size - 1; right > 0; right -= 2) {
    if (right === 6) right = 5;
    for (let step = 0; step < size; step++)
      for (const column of [right, right - 1]) {
        const row = upward ? size - 1 - step : step;
        if (isFunction(row, column, size, version)) continue;
        word = (word << 1) | (dark(row, column) !== mask(row, column) ? 1 : 0);
        held += 1;
        if (held % 8 === 0) {
          words.push(word);
          word = 0;
        }
      }
    upward = !upward;
  }
  return { level, text: textOf(dataOf(words, version), version) };
}

function isFunction(row: number, column: number, size: number, version: number): boolean {
  if (row === 6 || column === 6) return true;
  if (row < 9 && (column < 9 || column >= size - 8)) return true;
  if (row >= size - 8 && column < 9) return true;
  if (version >= 7 && ((row < 6 && column >= size - 11) || (column < 6 && row >= size - 11))) return true;
  const places = alignmentOf[version] ?? [];
  const last = places.at(-1);
  return places.some((y) =>
    places.some((x) => {
      const corner = (y === 6 && (x === 6 || x === last)) || (x === 6 && y === last);
      return !corner && Math.abs(row - y) <= 2 && Math.abs(column - x) <= 2;
    }),
  );
}

/** Takes the blocks apart, and holds each against its check words. */
function dataOf(words: readonly number[], version: number): number[] {
  const [check, lengths] = blocksOfM[version] as (typeof blocksOfM)[number] & object;
  const blocks = lengths.map((): number[] => []);
  let next = 0;
  const most = Math.max(...lengths);
  for (let at = 0; at < most + check; at++)
    for (const [index, block] of blocks.entries()) {
      const length = lengths[index] as number;
      if (at < most && at >= length) continue;
      block.push(words[next++] as number);
    }
  for (const block of blocks)
    for (let power = 0; power < check; power++) {
      // Every block is a multiple of the generator, so it vanishes at 2^0 to 2^(check − 1) in the field of 256.
      const value = block.reduce((sum, one) => times(sum, exponent(power)) ^ one, 0);
      if (value !== 0) throw new Error("the check words do not fit");
    }
  return blocks.flatMap((block, index) => block.slice(0, lengths[index]));
}

/** One segment of bytes, as UTF-8. */
function textOf(data: readonly number[], version: number): string {
  const bits = data.map((one) => one.toString(2).padStart(8, "0")).join("");
  const wide = version < 10 ? 8 : 16;
  if (bits.slice(0, 4) !== "0100") throw new Error("no segment of bytes");
  const count = Number.parseInt(bits.slice(4, 4 + wide), 2);
  const bytes = Array.from({ length: count }, (_, at) =>
    Number.parseInt(bits.slice(4 + wide + 8 * at, 12 + wide + 8 * at), 2),
  );
  return new TextDecoder().decode(Uint8Array.from(bytes));
}

function remainder(value: number, generator: number, degree: number): number {
  let rest = value;
  for (let at = 31 - Math.clz32(rest); at >= degree; at = 31 - Math.clz32(rest))
    rest ^= generator << (at - degree);
  return rest;
}

function times(one: number, other: number): number {
  let product = 0;
  for (let at = 7; at >= 0; at--) {
    product = (product << 1) ^ (product & 0x80 ? 0x11d : 0);
    if ((other >> at) & 1) product ^= one;
  }
  return product & 0xff;
}

function exponent(power: number): number {
  let value = 1;
  for (let at = 0; at < power; at++) value = times(value, 2);
  return value;
}
