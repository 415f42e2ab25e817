import { type Result, refuse } from "../../problem/mod.ts";
import type { LongWork } from "../contract.ts";
import { stopped } from "../stopped.ts";

/** Long work by the key of its input: done once, however many ask for it, and its answer kept. */
export type SharedWork<T> = {
  /**
   * The answer for a key, worked out by `start` where it is not at hand. Who asks while it runs joins in. The work stops
   * when all who asked for it have gone; one who goes is refused at once.
   */
  get(
    key: string,
    asker: LongWork,
    start: (about: Required<LongWork>) => Promise<Result<T>>,
  ): Promise<Result<T>>;
};

/**
 * Keeps so many answers; the least lately asked for goes first. Refusals are not kept.
 *
 * @example
 * const work = createSharedWork<number>(64);
 * await work.get("seven", {}, async () => ok(7)); // { ok: true, value: 7, warnings: [] }
 */
export function createSharedWork<T>(most: number): SharedWork<T> {
  // A Map remembers the order of insertion: the first is the least lately asked for.
  const kept = new Map<string, Result<T>>();
  const running = new Map<string, Running<T>>();

  const keep = (key: string, result: Result<T>) => {
    kept.delete(key);
    kept.set(key, result);
    for (const oldest of kept.keys()) if (kept.size > most) kept.delete(oldest);
  };
  const begin = (key: string, start: (about: Required<LongWork>) => Promise<Result<T>>): Running<T> => {
    const stop = new AbortController();
    const askers = new Set<LongWork>();
    const onProgress = (done: number) => {
      for (const asker of askers) asker.onProgress?.(done);
    };
    // In a later turn, when the first asker is among those who are told.
    const result = Promise.resolve()
      .then(() => start({ signal: stop.signal, onProgress }))
      .then((answer) => {
        if (answer.ok) keep(key, answer);
        return answer;
      })
      .finally(() => {
        if (running.get(key)?.stop === stop) running.delete(key);
      });
    const begun = { stop, askers, result };
    running.set(key, begun);
    return begun;
  };

  return {
    async get(key, asker, start) {
      if (asker.signal?.aborted === true) return refuse(stopped);
      const known = kept.get(key);
      if (known !== undefined) {
        keep(key, known);
        return known;
      }
      const { stop, askers, result } = running.get(key) ?? begin(key, start);
      // An asker of its own, also where two hand in the same object.
      const self = { ...asker };
      askers.add(self);
      return new Promise((resolve, reject) => {
        const leave = () => {
          askers.delete(self);
          resolve(refuse(stopped));
          if (askers.size > 0) return;
          // From here on the next who asks begins anew.
          if (running.get(key)?.stop === stop) running.delete(key);
          stop.abort();
        };
        asker.signal?.addEventListener("abort", leave, { once: true });
        result.then(resolve, reject).finally(() => asker.signal?.removeEventListener("abort", leave));
      });
    },
  };
}

type Running<T> = {
  readonly stop: AbortController;
  readonly askers: Set<LongWork>;
  readonly result: Promise<Result<T>>;
};
