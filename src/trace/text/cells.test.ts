import fc from "fast-check";
import { expect, test } from "vitest";
import { type Separator, separators } from "../layout.ts";
import { createCellBounds, findCells, separatorByte, splitCells } from "./cells.ts";

function byBytes(line: string, separator: Separator): string[] {
  const bytes = new TextEncoder().encode(line);
  const cells = createCellBounds(50);
  findCells(bytes, 0, bytes.length, separatorByte(separator), cells);
  return Array.from({ length: cells.count }, (_, at) =>
    new TextDecoder().decode(bytes.subarray(cells.starts[at], cells.ends[at])),
  );
}

test("the byte reader and the text reader find the same cells", () => {
  const line = fc
    .array(fc.constantFrom("12", ".4", "a", " ", "\t", ",", ";", "|", "µ", "-", "", '"'), { maxLength: 20 })
    .map((parts) => parts.join(""));
  fc.assert(
    fc.property(line, fc.constantFrom(...separators), (text, separator) => {
      // A doubled quote stays doubled where bytes are read: no number has one.
      const single = (cells: string[]) => cells.map((cell) => cell.replace(/""/g, '"'));
      expect(single(byBytes(text, separator))).toEqual(single(splitCells(text, separator)));
    }),
    { numRuns: 2000 },
  );
});

test.each<[string, Separator, string[]]>([
  ['"12,4","13,5"', ",", ["12,4", "13,5"]],
  ['a ; "b;c" ;d', ";", ["a", "b;c", "d"]],
  ["  0.1\t 2.5  ", "whitespace", ["0.1", "2.5"]],
  ["1,,3,", ",", ["1", "", "3", ""]],
  ["1, 2 ,3", ",", ["1", "2", "3"]],
  ["1\t\t3", "\t", ["1", "", "3"]],
  ['"open, 12', ",", ['"open', "12"]],
  ['"0.1";"2.5"', ",", ['"0.1";"2.5"']],
  ['"0.1";"2.5"', ";", ["0.1", "2.5"]],
  ['"a" "b c"', "whitespace", ["a", "b c"]],
])("%j by %j", (line, separator, cells) => {
  expect(splitCells(line, separator)).toEqual(cells);
  expect(byBytes(line, separator)).toEqual(cells);
});
