import type { ProblemCode } from "./codes.ts";

/** Where in the user's input a problem lies. Lines, columns and rows count from 1, as people count them. */
export type Where = {
  readonly file?: string;
  readonly line?: number;
  /** A column of a recording: its name, or "3" for the third column of a file without a header. */
  readonly column?: string;
  /** A data row of a recording, the header not counted. */
  readonly row?: number;
  /** A field of a form or of a JSON body, as in "specimens[2].buryFullMm". */
  readonly field?: string;
  /** The text of the offending line, shortened, to be shown beneath the message. */
  readonly text?: string;
};

/**
 * Something that was asked for and cannot be done, as data: what was found, where, what is wanted, and the way out.
 * Bad input is a value and travels as a `Problem`; a bug in the program is thrown.
 */
export type Problem = {
  readonly code: ProblemCode;
  /** What could not be done or what is wrong, in one plain sentence without blame. */
  readonly message: string;
  readonly where?: Where;
  /** The offending value as it was found; it always travels where there is one. */
  readonly found?: string;
  readonly expected?: string;
  /** What the user can do now, naming the option or field. */
  readonly wayOut?: string;
};

/** A doubt that rides along with a result that could be given, up to the printed report. */
export type Warning = Problem;

/** A value with its doubts, or the reasons why there is none. */
export type Result<T> =
  | { readonly ok: true; readonly value: T; readonly warnings: readonly Warning[] }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** Wraps a value that could be given. */
export function ok<T>(value: T, warnings: readonly Warning[] = []): Result<T> {
  return { ok: true, value, warnings };
}

/** Refuses, with one or more reasons. */
export function refuse(...problems: [Problem, ...Problem[]]): { ok: false; problems: readonly Problem[] } {
  return { ok: false, problems };
}
