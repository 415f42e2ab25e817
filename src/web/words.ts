import type { SeriesOverview } from "../app/mod.ts";
export const stages = ["ask", "splice", "pull", "judge", "tell", "use"] as const;
export type Stage = (typeof stages)[number];

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** "1 pull", "2 pulls". */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** An ISO instant as the reader's own date and time. */
export function whenText(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  return at.toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" });
}

/** How a pull is called: its specimen's label, or its place in the recording until that is said. */
export function pullName(pull: SeriesOverview["pulls"][number], overview: SeriesOverview): string {
  const specimen = overview.specimens.find((one) => one.id === pull.specimenId);
  if (specimen !== undefined) return specimen.label;
  return pull.order === undefined ? "pull without a specimen" : `pull ${pull.order}`;
}
