/** A column of numbers that grows while a file is read. */
export type GrowingColumn = {
  push(value: number): void;
  /** The column's own array, with room for so many values behind `length`; good until the next call of anything. */
  room(count: number): Float64Array<ArrayBuffer>;
  /** Says that so many values were written into the room. */
  grow(count: number): void;
  /** Makes room at once for so many values in all, where that many are foreseen. */
  expect(count: number): void;
  readonly length: number;
  /** The values so far; the column is not used any more. */
  take(): Float64Array<ArrayBuffer>;
};

export function createGrowingColumn(): GrowingColumn {
  let values = new Float64Array(4096);
  let length = 0;
  const widen = (size: number) => {
    const wider = new Float64Array(size);
    wider.set(values.subarray(0, length));
    values = wider;
  };
  return {
    push(value) {
      if (length === values.length) widen(length * 2);
      values[length++] = value;
    },
    room(count) {
      if (length + count > values.length) widen(Math.max(length + count, values.length * 2));
      return values;
    },
    grow(count) {
      length += count;
    },
    expect(count) {
      if (count > values.length) widen(count);
    },
    get length() {
      return length;
    },
    // Room that was never written to takes no memory, so that a copy is made only where half of it is left, as when the
    // size of the whole was not known.
    take: () => (length > 0.6 * values.length ? values.subarray(0, length) : values.slice(0, length)),
  };
}
