import type { Problem, Result } from "../../problem/mod.ts";

/** Why there is none, in words; nothing where there is one. */
export function Refused({ of }: { readonly of: Result<unknown> }) {
  if (of.ok) return null;
  const words = ({ message, found, wayOut }: Problem) =>
    [message, found === undefined ? "" : `Found: ${found}.`, wayOut].filter(Boolean).join(" ");
  return <span class="refused block">{of.problems.map(words).join(" ")}</span>;
}
