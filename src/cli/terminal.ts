import pc from "picocolors";
import { formatProblems, type Problem, type Warning } from "../problem/mod.ts";

/** The exit codes of every command. */
export const exitCodes = { done: 0, inputProblems: 1, wrongUsage: 2, ourFault: 3 } as const;
export type ExitCode = (typeof exitCodes)[keyof typeof exitCodes];

/** Where a command writes: results to `out`, everything said about them to `err`. */
export type Terminal = {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** The standard input, and whether a person sits at it. */
  readonly input: AsyncIterable<Uint8Array>;
  readonly inputIsTyped: boolean;
  /** Colours for what goes to `out`; they do nothing where it is no terminal or NO_COLOR is set. */
  readonly paint: ReturnType<typeof pc.createColors>;
};

/** The terminal of this process. */
export function processTerminal(): Terminal {
  // A reader that has seen enough (`| head`) closes the pipe; that is no fault.
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code === "EPIPE") process.exit(exitCodes.done);
    throw error;
  });
  return {
    out: (text) => process.stdout.write(`${text}\n`),
    err: (text) => process.stderr.write(`${text}\n`),
    // Opened when it is asked for: most commands never do.
    get input() {
      return process.stdin;
    },
    get inputIsTyped() {
      return process.stdin.isTTY === true;
    },
    paint: pc.createColors(process.stdout.isTTY === true && pc.isColorSupported),
  };
}

/** Says what could not be done: as JSON for a program, otherwise in words, and not among the results. */
export function refuseAloud(
  terminal: Terminal,
  heading: string,
  problems: readonly Problem[],
  { json = false }: { readonly json?: boolean | undefined } = {},
): ExitCode {
  if (json) terminal.out(toJson({ problems }));
  else terminal.err(plain(formatProblems(heading, problems)));
  return exitCodes.inputProblems;
}

/** Says the doubts that ride along with a result, a sentence each. */
export function sayWarnings(say: (text: string) => void, warnings: readonly Warning[], indent = ""): void {
  for (const { message, wayOut, code } of warnings)
    say(plain(`${indent}! ${message}${wayOut === undefined ? "" : ` ${wayOut}`}   [${code}]`));
}

/** Text out of a file or the book with nothing in it that could steer the terminal. */
export function plain(text: string): string {
  return text.replace(/[^\P{Cc}\n\t]/gu, "?");
}

export function toJson(value: unknown): string {
  return JSON.stringify(value, null, 2);
}

/**
 * Lines up the columns of a table; the first row is its head. Columns are right-aligned where `alignment` has an "r".
 *
 * @example
 * formatTable([["pull", "end"], ["1", "collapse"]], "rl") // ["pull  end", "   1  collapse"]
 */
export function formatTable(rows: readonly (readonly string[])[], alignment: string): string[] {
  const widths = (rows[0] ?? []).map((_, column) =>
    Math.max(...rows.map((row) => (row[column] ?? "").length)),
  );
  return rows.map((row) =>
    row
      .map((cell, column) => {
        const width = widths[column] ?? 0;
        return alignment[column] === "r" ? cell.padStart(width) : cell.padEnd(width);
      })
      .join("  ")
      .trimEnd(),
  );
}
