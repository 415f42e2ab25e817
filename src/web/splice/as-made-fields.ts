import { ok, type Result, refuse } from "../../problem/mod.ts";
import { measures, shownQuantity, typedQuantity } from "../book/quantity.ts";
import type { Patch } from "../book/saver.ts";
import type { Specimen } from "../book/specimen-rows.ts";
import { readWanted, wantedText } from "./wanted.ts";

/** One field of what was made, as it is asked for beside the splice. */
export type MadeField = {
  readonly name: keyof Specimen & string;
  readonly label: string;
  readonly as: "length" | "force" | "picks" | "minutes" | "date" | "text" | "long" | "wanted";
  readonly hint?: string;
};

export type MadeGroup = { readonly title: string; readonly fields: readonly MadeField[] };

/** The fields in the order in which a splicer comes by them. */
export const madeGroups: readonly MadeGroup[] = [
  {
    title: "The rope, cut",
    fields: [
      { name: "wanted", label: "Wanted length", as: "wanted", hint: "600 mm at 5 kN, 2 ft 3 in." },
      { name: "cutLengthMm", label: "Cut length", as: "length" },
      { name: "maker", label: "Splicer", as: "text" },
      { name: "madeOn", label: "Date", as: "date" },
    ],
  },
  {
    title: "First bury",
    fields: [
      { name: "buryFullMm", label: "Full bury", as: "length" },
      { name: "buryTaperMm", label: "Taper", as: "length" },
      {
        name: "picksPerStep",
        label: "Picks per step",
        as: "picks",
        hint: "From full thickness to the tip: 3 3 3 4.",
      },
    ],
  },
  {
    title: "Second bury",
    fields: [
      { name: "secondBuryFullMm", label: "Second full bury", as: "length" },
      { name: "secondBuryTaperMm", label: "Second taper", as: "length" },
      { name: "secondPicksPerStep", label: "Second picks per step", as: "picks" },
    ],
  },
  {
    title: "Finished",
    fields: [
      { name: "finishedLengthMm", label: "Finished length, slack", as: "length" },
      { name: "finishedAtTensionMm", label: "Finished length at tension", as: "length" },
      {
        name: "finishedTensionN",
        label: "The tension",
        as: "force",
        hint: "In kN unless you say otherwise.",
      },
      { name: "makingMinutes", label: "Minutes of work", as: "minutes" },
      { name: "redo", label: "Done again", as: "long", hint: "What was taken apart and made anew." },
      { name: "notes", label: "Notes", as: "long" },
    ],
  },
];

export const madeFields: readonly MadeField[] = madeGroups.flatMap(({ fields }) => fields);

/** A field of a record as it would be typed. */
export function madeText({ name, as }: MadeField, specimen: Specimen): string {
  const value = specimen[name];
  if (as === "wanted") return wantedText(specimen.wanted);
  if (Array.isArray(value)) return value.join(" ");
  if (typeof value !== "number") return typeof value === "string" ? value : "";
  if (as === "minutes") return String(value);
  return shownQuantity(value, as === "force" ? measures.force : measures.mm);
}

/** What was typed into a field as a change of the record; an empty one is taken away. */
export function madePatch(field: MadeField, text: string, specimen: Specimen): Result<Patch<"specimen">> {
  const typed = text.trim();
  const change = (value: unknown) => ok({ [field.name]: value } as Patch<"specimen">);
  if (field.as === "text" || field.as === "long") return change(typed);
  if (typed === "") return change(field.as === "picks" ? [] : null);
  switch (field.as) {
    case "wanted": {
      const wanted = readWanted(typed, specimen.wanted);
      return wanted.ok ? change(wanted.value) : wanted;
    }
    case "length":
    case "force": {
      const measure = field.as === "force" ? measures.force : measures.mm;
      const answer = typedQuantity(typed, measure, field.name);
      return answer.ok ? change(answer.value) : answer;
    }
    case "picks": {
      const picks = typed.split(/[\s,;]+/).map(Number);
      return picks.every((one) => Number.isInteger(one) && one >= 0)
        ? change(picks)
        : refuse(wrong(field, typed, "whole numbers such as 3 3 3 4"));
    }
    case "minutes": {
      const minutes = Number(typed.replace(",", ".").replace(/\s*min(utes)?$/i, ""));
      return minutes > 0 ? change(minutes) : refuse(wrong(field, typed, "minutes such as 25"));
    }
    default:
      return /^\d{4}-\d{2}-\d{2}$/.test(typed)
        ? change(typed)
        : refuse(wrong(field, typed, "a date such as 2026-03-14"));
  }
}

function wrong(field: MadeField, found: string, expected: string) {
  return {
    code: "INPUT_FIELD" as const,
    message: `${field.label} cannot be read.`,
    where: { field: field.name },
    found,
    expected,
  };
}
