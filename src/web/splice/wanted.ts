import type { StoredRecord } from "../../app/mod.ts";
import { ok, type Result } from "../../problem/mod.ts";
import { measures, shownQuantity, typedQuantity } from "../book/quantity.ts";

export type Wanted = NonNullable<StoredRecord<"specimen">["wanted"]>;

const slack: Omit<Wanted, "lengthMm"> = { measure: "inside", bedded: false, nearPinMm: 0, farPinMm: 0 };

/**
 * A wanted length as it is typed, slack or at a tension; how it is measured stays as it was.
 *
 * @example
 * const answer = readWanted("600 mm at 5 kN");
 * answer.ok && answer.value // { lengthMm: 600, tensionN: 5000, measure: "inside", … }
 */
export function readWanted(text: string, before: Partial<Wanted> = {}): Result<Wanted> {
  const [length = "", ...tension] = text.split(/\s+(?:at|@)\s+/i);
  const lengthMm = typedQuantity(length, measures.mm, "wanted");
  if (!lengthMm.ok) return lengthMm;
  const { tensionN: _before, ...how } = { ...slack, ...before };
  if (tension.length === 0) return ok({ ...how, lengthMm: lengthMm.value });
  const tensionN = typedQuantity(tension.join(" "), measures.force, "wanted");
  return tensionN.ok ? ok({ ...how, lengthMm: lengthMm.value, tensionN: tensionN.value }) : tensionN;
}

/** A wanted length as it would be typed. */
export function wantedText(wanted: Wanted | undefined): string {
  if (wanted === undefined) return "";
  const { lengthMm, tensionN = 0 } = wanted;
  const tension = tensionN > 0 ? ` at ${shownQuantity(tensionN, measures.force)}` : "";
  return `${shownQuantity(lengthMm, measures.mm)}${tension}`;
}

/** What of a specimen's length is measured, in words. */
export const measureWords: Readonly<Record<Wanted["measure"], string>> = {
  inside: "inside, crown to crown",
  "pin centres": "between pin centres",
  circumference: "inside circumference",
};
