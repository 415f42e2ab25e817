import { randomBytes } from "node:crypto";
import type { Effects } from "../contract.ts";
import type { Store } from "../store.ts";
import { packInThread, readBundleInThread, verifyInThread } from "./bundle-in-thread.ts";
import { calculateInThread } from "./calculate-in-thread.ts";
import { paintPng } from "./paint-png.ts";
import { parseInThread, readInThread, readStretchInThread } from "./read-in-thread.ts";
import { refitInThreads } from "./refit-in-threads.ts";
import { sha256 } from "./sha256.ts";
import { solveProgram } from "./solve-program.ts";
import { writeSpreadsheet } from "./write-spreadsheet.ts";

/**
 * The world outside as Node gives it: clock, ids, hashing, and a thread for reading.
 *
 * @example
 * const app = createApp(nodeEffects(store));
 */
export function nodeEffects(store: Store): Effects {
  return { ...nodeWorkings(), store };
}

/** The same without a book, for what needs none. */
export function nodeWorkings(): Omit<Effects, "store"> {
  return {
    now: () => new Date().toISOString(),
    newId: (prefix) => `${prefix}-${randomLetters(10)}`,
    sha256,
    readRecording: readInThread,
    readStretch: readStretchInThread,
    parseRecording: parseInThread,
    packBundle: packInThread,
    readBundle: readBundleInThread,
    verifyApart: verifyInThread,
    paintPng,
    solveProgram,
    writeSpreadsheet,
    refitSlipOrBreak: refitInThreads,
    calculate: calculateInThread,
  };
}

/** Crockford's base 32 in small letters: no i, l, o, u, so that an id can be read out and typed in. */
const letters = "0123456789abcdefghjkmnpqrstvwxyz";

/** 5 bits of chance in each letter: among a million ids of one kind, 10 letters collide with a chance of 1 in 2000. */
function randomLetters(count: number): string {
  return Array.from(randomBytes(count), (byte) => letters[byte % 32]).join("");
}
