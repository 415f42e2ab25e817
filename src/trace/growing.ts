/** A column of numbers that grows while a file is read. */
export type GrowingColumn = {
  push(value: number): void;
  readonly length: number;
  /** The values so far, in an array of just that length. */
  take(): Float64Array<ArrayBuffer>;
};

export function createGrowingColumn(): GrowingColumn {
  let values = new Float64Array(4096);
  let length = 0;
  return {
    push(value) {
      if (length === values.length) {
        const wider = new Float64Array(length * 2);
        wider.set(values);
        values = wider;
      }
      values[length++] = value;
    },
    get length() {
      return length;
    },
    take: () => values.slice(0, length),
  };
}
