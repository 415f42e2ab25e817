import type { Outcome } from "../../series/mod.ts";
import type { Random } from "../../stats/mod.ts";
import type { PullTruth } from "../../trace/mod.ts";
import { benchLimitN } from "./loft.ts";
import type { DemoSpecimen } from "./make-specimens.ts";

/** What the loft's people wrote down as the outcome. */
export function outcomeOf(specimen: DemoSpecimen, pull: PullTruth, random: Random): Outcome {
  switch (pull.outcome) {
    case "broke":
      return { kind: "broke", place: placeOf(specimen, random) };
    case "slipped":
      return { kind: "slipped", place: "bury" };
    case "stopped":
      return { kind: "stopped", reason: `The bench's limit of ${benchLimitN / 1000} kN was reached.` };
    case "void":
      return { kind: "void", reason: "The 12 mm pin bent; the specimen was taken off whole." };
  }
}

/** The taper's end is the classic place of a good splice's failure; a loop may go at its crossing. */
function placeOf({ splice }: DemoSpecimen, random: Random): string {
  const chance = random.uniform();
  if (splice === "crossed-tail loop")
    return chance < 0.45 ? "crossing" : chance < 0.85 ? "taper end" : "at the pin";
  return chance < 0.65 ? "taper end" : chance < 0.85 ? "throat" : "clear span";
}

/** The notes that go with it, from what could be seen and heard. */
export function pullNotes({ slips, strandBreaks, outcome }: PullTruth): string {
  const notes: string[] = [];
  const [first] = slips;
  if (first !== undefined) {
    const again = ["once", "twice"][slips.length - 1] ?? `${slips.length} times`;
    const kilonewtons = (first.fromN / 1000).toFixed(1);
    notes.push(`Slipped and gripped again ${again}, first at about ${kilonewtons} kN.`);
  }
  if (outcome === "slipped") notes.push("Tail drawn out, glazed.");
  if (strandBreaks.length > 0) notes.push("Strands were heard before the end.");
  return notes.join(" ");
}
