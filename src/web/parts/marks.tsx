import type { OutcomeKind } from "../../series/mod.ts";

/** The house marks: a filled dot broke, an open triangle slipped, an upward arrow was stopped, a cross is void. */
export function Mark({ kind }: { readonly kind: OutcomeKind }) {
  return (
    <svg class="mark" viewBox="0 0 20 20" aria-hidden="true" focusable="false">
      {kind === "broke" && <circle cx="10" cy="10" r="7" fill="currentColor" />}
      {kind === "slipped" && (
        <path
          d="M10 3L17.5 16.5H2.5Z"
          fill="none"
          stroke="currentColor"
          stroke-width="2.2"
          stroke-linejoin="round"
        />
      )}
      {kind === "stopped" && (
        <path
          d="M10 18V3M4 9L10 3L16 9"
          fill="none"
          stroke="currentColor"
          stroke-width="2.4"
          stroke-linecap="round"
          stroke-linejoin="round"
        />
      )}
      {kind === "void" && (
        <path
          d="M4 4L16 16M16 4L4 16"
          fill="none"
          stroke="currentColor"
          stroke-width="2.4"
          stroke-linecap="round"
        />
      )}
    </svg>
  );
}
