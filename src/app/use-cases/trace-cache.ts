import type { Result } from "../../problem/mod.ts";
import type { Outline, Trace } from "../../trace/mod.ts";

/** What was read of recordings and is kept at hand: the least lately used goes first when it outgrows the limit. */
export type RecordingCache<T> = {
  /** What is kept of a recording, read by `load` where it is not at hand. Two that ask at once share one reading. */
  get(sha256: string, load: () => Promise<Result<T>>): Promise<Result<T>>;
  atHand(sha256: string): T | undefined;
  forget(sha256: string): void;
  /** Bytes held now. */
  readonly bytes: number;
};

/** Decoded traces, and beside them the outlines of long ones, which stay when their samples have gone. */
export type TraceCache = RecordingCache<Trace> & { readonly outlines: RecordingCache<Outline> };

/** Outlines of thirty recordings of ten million rows. */
const outlineBytes = 32 * 1024 * 1024;

/**
 * A cache of traces bounded in bytes of samples. A trace larger than the limit is decoded each time and not kept.
 *
 * @example
 * const traces = createTraceCache(256 * 1024 * 1024);
 * await traces.get(sha256, () => effects.parseRecording(bytes, layout));
 */
export function createTraceCache(limitBytes: number): TraceCache {
  const traces = createRecordingCache<Trace>(limitBytes, ({ forceN, timeS, displacementM, segment }) =>
    sizeOf(forceN, timeS, displacementM, segment),
  );
  const outlines = createRecordingCache<Outline>(outlineBytes, ({ lowN, highN, timeS }) =>
    sizeOf(lowN, highN, timeS),
  );
  return {
    ...traces,
    outlines,
    forget(sha256) {
      traces.forget(sha256);
      outlines.forget(sha256);
    },
    get bytes() {
      return traces.bytes;
    },
  };
}

function createRecordingCache<T>(limitBytes: number, bytesOf: (value: T) => number): RecordingCache<T> {
  // A Map remembers the order of insertion: the first is the least lately used.
  const kept = new Map<string, Result<T> & { ok: true }>();
  const coming = new Map<string, Promise<Result<T>>>();
  let bytes = 0;

  const drop = (sha256: string) => {
    const result = kept.get(sha256);
    if (result !== undefined) bytes -= bytesOf(result.value);
    kept.delete(sha256);
  };
  const keep = (sha256: string, result: Result<T> & { ok: true }) => {
    const size = bytesOf(result.value);
    if (size > limitBytes) return;
    kept.set(sha256, result);
    bytes += size;
    for (const oldest of kept.keys()) {
      if (bytes <= limitBytes) break;
      drop(oldest);
    }
  };

  return {
    async get(sha256, load) {
      const known = kept.get(sha256);
      if (known !== undefined) {
        kept.delete(sha256);
        kept.set(sha256, known);
        return known;
      }
      const started = coming.get(sha256);
      if (started !== undefined) return started;
      const loading = load();
      coming.set(sha256, loading);
      try {
        const result = await loading;
        // Forgotten meanwhile: given to those who asked, and not kept.
        if (result.ok && coming.get(sha256) === loading) keep(sha256, result);
        return result;
      } finally {
        if (coming.get(sha256) === loading) coming.delete(sha256);
      }
    },
    atHand: (sha256) => kept.get(sha256)?.value,
    forget(sha256) {
      coming.delete(sha256);
      drop(sha256);
    },
    get bytes() {
      return bytes;
    },
  };
}

function sizeOf(...columns: readonly (ArrayBufferView | undefined)[]): number {
  return columns.reduce((sum, column) => sum + (column?.byteLength ?? 0), 0);
}
