import type { Result } from "../../problem/mod.ts";
import type { Trace } from "../../trace/mod.ts";

/** Decoded traces that are kept at hand: the least lately used go first when their samples outgrow the limit. */
export type TraceCache = {
  /** The trace of a recording, decoded by `load` where it is not at hand. Two that ask at once share one decoding. */
  get(sha256: string, load: () => Promise<Result<Trace>>): Promise<Result<Trace>>;
  forget(sha256: string): void;
  /** Bytes of samples held now. */
  readonly bytes: number;
};

/**
 * A cache of traces bounded in bytes of samples. A trace larger than the limit is decoded each time and not kept.
 *
 * @example
 * const traces = createTraceCache(256 * 1024 * 1024);
 * await traces.get(sha256, () => effects.parseRecording(bytes, layout));
 */
export function createTraceCache(limitBytes: number): TraceCache {
  // A Map remembers the order of insertion: the first is the least lately used.
  const kept = new Map<string, Result<Trace> & { ok: true }>();
  const coming = new Map<string, Promise<Result<Trace>>>();
  let bytes = 0;

  const drop = (sha256: string) => {
    const result = kept.get(sha256);
    if (result !== undefined) bytes -= bytesOf(result.value);
    kept.delete(sha256);
  };
  const keep = (sha256: string, result: Result<Trace> & { ok: true }) => {
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
    forget(sha256) {
      coming.delete(sha256);
      drop(sha256);
    },
    get bytes() {
      return bytes;
    },
  };
}

function bytesOf({ forceN, timeS, displacementM, segment }: Trace): number {
  return [forceN, timeS, displacementM, segment].reduce((sum, column) => sum + (column?.byteLength ?? 0), 0);
}
