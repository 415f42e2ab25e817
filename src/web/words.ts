import type { SeriesOverview } from "../app/mod.ts";
import type { cellPlacements, drives, failurePlaces, hardwareForms, outcomeKinds } from "../series/mod.ts";
import type { spliceKinds, strengthBases, strengthEnds } from "../splice/mod.ts";

// The schemas of series and splice stay out of the browser's bundle. The lists are repeated here with the very types
// of the originals, so that the type check fails where one of them changes.
export const spliceKindWords: typeof spliceKinds = [
  "straight-bury eye",
  "locking brummel eye",
  "end-to-end",
  "crossed-tail loop",
  "grommet",
  "soft shackle",
  "other",
];
export const strengthBasisWords: typeof strengthBases = ["mean", "minimum", "not stated"];
export const strengthEndWords: typeof strengthEnds = ["spliced", "unspliced", "not stated"];
export const hardwareFormWords: typeof hardwareForms = ["pin", "shackle", "ring", "hook", "other"];
export const driveWords: typeof drives = ["hand pump", "powered pump", "winch", "screw", "other"];
export const cellPlacementWords: typeof cellPlacements = ["in line with the specimen", "on the drive side"];
export const outcomeWords: typeof outcomeKinds = ["broke", "slipped", "stopped", "void"];
export const placeWords: typeof failurePlaces = [
  "throat",
  "crossing",
  "taper end",
  "bury",
  "at the pin",
  "clear span",
  "knot",
  "noose",
  "lock stitch",
  "hardware",
  "not seen",
];

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
