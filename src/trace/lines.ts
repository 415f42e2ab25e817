import { maxLineBytes } from "./limits.ts";

/** What to do with a line: bytes `from` to before `to`, and whether a line end closed it. Returns false to stop. */
export type OnLine = (bytes: Uint8Array, from: number, to: number, closed: boolean) => boolean;

/** Cuts bytes that come in pieces into lines at LF, CRLF or CR. */
export type LineCutter = {
  /** False once the reader wants no more, or a line is too long. */
  push(chunk: Uint8Array): boolean;
  finish(): void;
  readonly tooLong: boolean;
};

export function createLineCutter(onLine: OnLine): LineCutter {
  let carry = new Uint8Array(1024);
  let carried = 0;
  let afterReturn = false;
  let stopped = false;
  let tooLong = false;

  const keep = (bytes: Uint8Array, from: number, to: number) => {
    const size = carried + to - from;
    if (size > maxLineBytes) {
      tooLong = true;
      stopped = true;
      return;
    }
    if (size > carry.length) {
      const wider = new Uint8Array(Math.max(size, carry.length * 2));
      wider.set(carry.subarray(0, carried));
      carry = wider;
    }
    carry.set(bytes.subarray(from, to), carried);
    carried = size;
  };

  return {
    push(chunk) {
      const count = chunk.length;
      let start = 0;
      for (let at = 0; at < count && !stopped; at++) {
        const byte = chunk[at] as number;
        if (byte !== 10 && byte !== 13) {
          afterReturn = false;
          continue;
        }
        if (byte === 10 && afterReturn) {
          // The second half of a CRLF; it closed nothing.
          afterReturn = false;
          start = at + 1;
          continue;
        }
        afterReturn = byte === 13;
        if (carried > 0) {
          keep(chunk, start, at);
          if (!tooLong) stopped = !onLine(carry, 0, carried, true);
          carried = 0;
        } else if (at - start > maxLineBytes) {
          tooLong = true;
          stopped = true;
        } else stopped = !onLine(chunk, start, at, true);
        start = at + 1;
      }
      if (!stopped && start < count) keep(chunk, start, count);
      return !stopped;
    },
    finish() {
      if (!stopped && carried > 0) onLine(carry, 0, carried, false);
      carried = 0;
    },
    get tooLong() {
      return tooLong;
    },
  };
}
