import type { ComponentChildren } from "preact";
import type { Result } from "../../problem/mod.ts";

/** A statistic, or in its place the reason why there is none; never a blank. */
export function Given<T>({
  of,
  children,
}: {
  readonly of: Result<T>;
  readonly children: (value: T) => ComponentChildren;
}) {
  if (of.ok)
    return (
      <>
        {children(of.value)}
        {of.warnings.length > 0 && (
          <span class="unseen"> ({of.warnings.map((warning) => warning.message).join(" ")})</span>
        )}
        {of.warnings.length > 0 && (
          <span
            class="doubt"
            aria-hidden="true"
            title={of.warnings.map((warning) => warning.message).join(" ")}
          >
            †
          </span>
        )}
      </>
    );
  return <span class="refused">{of.problems.map((problem) => problem.message).join(" ")}</span>;
}
