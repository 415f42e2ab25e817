import { createLongColumn, kernelOf, widenLongColumn } from "../kernel/column-memory.ts";

/** A column of numbers that grows while a file is read. */
export type GrowingColumn = {
  push(value: number): void;
  /** The column's own array, with room for so many values behind `length`; good until the next call of anything. */
  room(count: number): Float64Array;
  /** Says that so many values were written into the room. */
  grow(count: number): void;
  /** Appends values, which may lie further on in the same memory. */
  append(more: Float64Array): void;
  /** Makes room at once for so many values in all, where that many are foreseen. */
  expect(count: number): void;
  readonly length: number;
  /** The values so far; the column is not used any more. */
  take(): Float64Array;
};

/** Where a column begins to grow. What lies behind `room` is written by another thread, until it is appended. */
export type ColumnMemory = {
  readonly values: Float64Array;
  readonly room: number;
  /** A column that becomes long goes where a kernel reads it: for those that are read in this thread. */
  readonly goesToKernel?: boolean;
};

const firstRoom = 4096;

/** Where the columns of a recording begin that is read in this thread, in place of being handed to another. */
export function columnsReadHere(): readonly ColumnMemory[] {
  return Array.from({ length: 3 }, () => ({
    values: new Float64Array(firstRoom),
    room: firstRoom,
    goesToKernel: true,
  }));
}

export function createGrowingColumn(memory?: ColumnMemory): GrowingColumn {
  let values = memory?.values ?? new Float64Array(firstRoom);
  let capacity = memory?.room ?? values.length;
  let length = 0;
  const widen = (size: number) => {
    const wider = widenLongColumn(values, size) ?? copied(size);
    values = wider;
    capacity = wider.length;
  };
  const copied = (size: number) => {
    const wider = (memory?.goesToKernel ? createLongColumn(size) : undefined) ?? new Float64Array(size);
    wider.set(values.subarray(0, length));
    return wider;
  };
  const room = (count: number) => {
    if (length + count > capacity) widen(Math.max(length + count, capacity * 2));
    return values;
  };
  return {
    push(value) {
      if (length === capacity) widen(length * 2);
      values[length++] = value;
    },
    room,
    grow(count) {
      length += count;
    },
    append(more) {
      if (more.buffer === values.buffer) capacity = values.length;
      room(more.length).set(more, length);
      length += more.length;
    },
    expect(count) {
      if (count > capacity) widen(count);
    },
    get length() {
      return length;
    },
    // Room that was never written to takes no memory, so that a copy is made only where half of it is left, as when the
    // size of the whole was not known; a long column stays where its kernel is.
    take: () =>
      length > 0.6 * values.length || kernelOf(values) !== undefined
        ? values.subarray(0, length)
        : values.slice(0, length),
  };
}
