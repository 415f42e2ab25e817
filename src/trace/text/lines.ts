import { maxLineBytes } from "../limits.ts";

/** What to do with a line: bytes `from` to before `to`, and whether a line end closed it. Returns false to stop. */
export type OnLine = (bytes: Uint8Array, from: number, to: number, closed: boolean) => boolean;

/** Cuts bytes that come in pieces into lines at LF, CRLF or CR. */
export type LineCutter = {
  /** False once the reader wants no more, or a line is too long. */
  push(chunk: Uint8Array): boolean;
  finish(): void;
  /** Whether the bytes so far end within a line, or between the two bytes of its end. */
  readonly isAmidLine: boolean;
  readonly tooLong: boolean;
};

/** Reads as many lines as it can from the start of one, up to `end`, which is behind a line end; returns how far it came. */
export type ReadAhead = (bytes: Uint8Array, from: number, end: number) => number;

const lineFeed = 10;
const carriageReturn = 13;

/**
 * @param readAhead is offered the bytes from each line's start before the line is cut; lines that it read are not given to
 * `onLine`.
 */
export function createLineCutter(onLine: OnLine, readAhead?: ReadAhead): LineCutter {
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

  /** The line from `start` to its end at `at`, with what was kept of it before. */
  const close = (chunk: Uint8Array, start: number, at: number) => {
    if (carried > 0) {
      keep(chunk, start, at);
      if (!tooLong) stopped = !onLine(carry, 0, carried, true);
      carried = 0;
    } else if (at - start > maxLineBytes) {
      tooLong = true;
      stopped = true;
    } else stopped = !onLine(chunk, start, at, true);
  };

  return {
    push(chunk) {
      const count = chunk.length;
      const end = readAhead === undefined ? 0 : behindLastLineEnd(chunk);
      // The second half of a CRLF that was cut in two; it closes nothing.
      let start = afterReturn && chunk[0] === lineFeed ? 1 : 0;
      if (count > 0) afterReturn = false;
      while (start < count && !stopped) {
        if (readAhead !== undefined && carried === 0 && start < end) start = readAhead(chunk, start, end);
        let at = start;
        while (at < count && chunk[at] !== lineFeed && chunk[at] !== carriageReturn) at++;
        if (at === count) {
          if (start < count) keep(chunk, start, count);
          break;
        }
        close(chunk, start, at);
        start = at + 1;
        if (chunk[at] !== carriageReturn) continue;
        if (start === count) afterReturn = true;
        else if (chunk[start] === lineFeed) start++;
      }
      return !stopped;
    },
    finish() {
      if (!stopped && carried > 0) onLine(carry, 0, carried, false);
      carried = 0;
    },
    get isAmidLine() {
      return carried > 0 || afterReturn;
    },
    get tooLong() {
      return tooLong;
    },
  };
}

/** A CR in the last place may be the first half of a CRLF, and is not yet counted as an end. */
function behindLastLineEnd(chunk: Uint8Array): number {
  let last = chunk.length - 1;
  if (chunk[last] === carriageReturn) last--;
  while (last >= 0 && chunk[last] !== lineFeed && chunk[last] !== carriageReturn) last--;
  return last + 1;
}
