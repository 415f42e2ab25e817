import type { Layout, LayoutHints } from "../../trace/mod.ts";

/**
 * A layout as what a person would have said of the file: proposed with these hints, the file is read as it is read now,
 * and each of them can be said otherwise.
 *
 * @example
 * hintsOfLayout(recording.layout).forceUnit // "kN"
 */
export function hintsOfLayout({ encoding, separator, decimal, force, time }: Layout): LayoutHints {
  return {
    encoding,
    separator,
    decimal,
    forceColumn: String(force.column),
    forceUnit: force.unit,
    ...(force.inverted === undefined ? {} : { inverted: force.inverted }),
    ...hintsOfTime(time),
  };
}

function hintsOfTime(time: Layout["time"]): LayoutHints {
  if (time.kind === "none") return { noTime: true };
  if (time.kind === "rate") return { rateHz: time.hz };
  const unit = /^elapsed-(s|ms|us)$/.exec(time.format)?.[1] as "s" | "ms" | "us" | undefined;
  return { timeColumn: String(time.column), ...(unit === undefined ? {} : { timeUnit: unit }) };
}

/** Whether two layouts read a file alike, in whatever order their fields stand. */
export function sameLayout(one: Layout, other: Layout): boolean {
  return inOrder(one) === inOrder(other);
}

function inOrder(value: unknown): string {
  return JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === "object" && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  );
}
