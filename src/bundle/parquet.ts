import { parquetReadObjects } from "hyparquet";
import { parquetWriteBuffer } from "hyparquet-writer/src/write.js";
import type { Trace } from "../trace/mod.ts";

/**
 * The samples of a recording as Parquet, in SI units: time where the file has one, force with the sign in which it was
 * read, displacement where there is one. A missing value is null. The same samples give the same bytes.
 *
 * @example
 * samplesAsParquet({ forceN: Float64Array.of(0, 120), timeS: Float64Array.of(0, 0.01), missing: 0 })
 */
export function samplesAsParquet(trace: Trace): Uint8Array {
  const columnData = columnsOf(trace).map(([name, values]) => ({
    name,
    data: Array.from(values, (value) => (Number.isNaN(value) ? null : value)),
    type: "DOUBLE" as const,
    nullable: true,
  }));
  return new Uint8Array(parquetWriteBuffer({ columnData, createdBy: "Bitter End" }));
}

/** How many samples of a Parquet file are not those of the trace; undefined where it cannot be read. */
export async function otherSamples(bytes: Uint8Array, trace: Trace): Promise<number | undefined> {
  try {
    const { buffer, byteOffset, byteLength } = bytes;
    const file = buffer.slice(byteOffset, byteOffset + byteLength) as ArrayBuffer;
    const rows = (await parquetReadObjects({ file })) as readonly Readonly<Record<string, unknown>>[];
    let others = Math.abs(rows.length - trace.forceN.length);
    for (const [name, values] of columnsOf(trace))
      for (let index = 0; index < Math.min(rows.length, values.length); index += 1) {
        const found = rows[index]?.[name] ?? null;
        const wanted = values[index] as number;
        if (found !== (Number.isNaN(wanted) ? null : wanted)) others += 1;
      }
    return others;
  } catch {
    // Bytes that are no Parquet throw in whatever way they like.
    return undefined;
  }
}

function columnsOf({ timeS, forceN, displacementM }: Trace): readonly (readonly [string, Float64Array])[] {
  return [
    ...(timeS === undefined ? [] : [["time_s", timeS] as const]),
    ["force_n", forceN],
    ...(displacementM === undefined ? [] : [["displacement_m", displacementM] as const]),
  ];
}
