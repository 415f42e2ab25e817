import { expect, test } from "vitest";
import { kernelOf } from "../kernel/column-memory.ts";
import { columnsReadHere, createGrowingColumn, type GrowingColumn } from "./growing.ts";

// A column that goes to a kernel's memory when it becomes long, beside one that does not.

const [force, time] = columnsReadHere();

function fill(column: GrowingColumn, count: number): Float64Array {
  for (let at = 0; at < 5000; at++) column.push(at / 3);
  column.append(Float64Array.of(5, Number.NaN, -0));
  while (column.length < count) {
    const from = column.length;
    const values = column.room(4096);
    for (let at = 0; at < 4096; at++) values[from + at] = from + at;
    column.grow(4096);
  }
  return column.take();
}

/** Bit by bit; quicker than `toEqual` of millions. */
function areSame(one: Float64Array, other: Float64Array): boolean {
  return one.length === other.length && one.every((value, at) => Object.is(value, other[at]));
}

test("a long column holds what one elsewhere does, whether its length was foreseen or not", () => {
  const count = 4_500_000;
  const plain = fill(createGrowingColumn(), count);
  expect(kernelOf(plain)).toBeUndefined();
  const grown = fill(createGrowingColumn(force), count);
  expect(kernelOf(grown)).toBeDefined();
  expect(areSame(grown, plain)).toBe(true);
  const foreseen = createGrowingColumn(time);
  foreseen.expect(count + 4096);
  const whole = fill(foreseen, count);
  expect(kernelOf(whole)).toBeDefined();
  expect(areSame(whole, plain)).toBe(true);
});

test("a short column stays elsewhere", () => {
  expect(kernelOf(fill(createGrowingColumn(columnsReadHere()[2]), 100_000))).toBeUndefined();
});
