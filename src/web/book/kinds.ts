import type { RecordKind } from "../../app/mod.ts";
import { cellPlacements, drives, hardwareForms } from "../../series/mod.ts";
import { spliceKinds, strengthBases, strengthEnds } from "../../splice/mod.ts";
import { capital } from "../words.ts";
import type { measures } from "./quantity.ts";

/** How one field of a record is asked for. */
export type FieldSpec = {
  readonly name: string;
  readonly label: string;
  readonly hint?: string;
  readonly required?: boolean;
  readonly beginsWith?: string;
} & (
  | { readonly as: "text" | "long" | "date" | "number" | "whole" }
  | { readonly as: "quantity"; readonly measure: keyof typeof measures }
  | { readonly as: "pick"; readonly words: readonly string[] }
  | { readonly as: "record"; readonly of: BookKind }
  | { readonly as: "calibration" }
);

/** The records that the bench book lists. */
export type BookKind = Extract<RecordKind, "rope" | "spool" | "recipe" | "hardware" | "load-cell" | "bench">;

export type KindSpec = {
  readonly one: string;
  readonly many: string;
  readonly why: string;
  readonly fields: readonly FieldSpec[];
};

const notes: FieldSpec = { name: "notes", label: "Notes", as: "long" };

export const bookKinds: Readonly<Record<BookKind, KindSpec>> = {
  rope: {
    one: "rope",
    many: "ropes",
    why: "What the specimens are made of. An efficiency can be given only where the rated strength is known, and it says of what.",
    fields: [
      { name: "name", label: "Name", hint: "As you call it on the bench.", as: "text", required: true },
      {
        name: "nominalDiameterMm",
        label: "Nominal diameter",
        hint: "In mm unless you say otherwise: 6 mm, 1/4 in.",
        as: "quantity",
        measure: "mm",
        required: true,
      },
      {
        name: "massPerLengthGPerM",
        label: "Mass per length",
        hint: "In g/m. On soft braid it tells more than the diameter.",
        as: "quantity",
        measure: "gPerM",
      },
      {
        name: "ratedStrengthN",
        label: "Rated strength",
        hint: "The published single-line strength. In kN unless you say otherwise: 34 kN, 7600 lbf.",
        as: "quantity",
        measure: "force",
      },
      {
        name: "ratedStrengthBasis",
        label: "Rated as",
        as: "pick",
        words: strengthBases,
        beginsWith: "not stated",
      },
      {
        name: "ratedStrengthEnds",
        label: "Rated with ends",
        as: "pick",
        words: strengthEnds,
        beginsWith: "not stated",
      },
      { name: "ratedStrengthSource", label: "Where the rating is published", as: "text" },
      { name: "construction", label: "Construction", as: "text", beginsWith: "12-strand braid" },
      { name: "fibre", label: "Fibre", as: "text", beginsWith: "HMPE" },
      { name: "coating", label: "Coating", as: "text" },
      notes,
    ],
  },
  spool: {
    one: "spool",
    many: "spools",
    why: "A length of one rope from one batch. Two batches of the same rope can differ more than two splices.",
    fields: [
      { name: "ropeId", label: "Rope", as: "record", of: "rope", required: true },
      { name: "name", label: "Name", hint: "What is written on it.", as: "text", required: true },
      { name: "batch", label: "Batch", as: "text" },
      { name: "lengthM", label: "Length", hint: "In m.", as: "quantity", measure: "m" },
      { name: "boughtOn", label: "Bought on", as: "date" },
      notes,
    ],
  },
  recipe: {
    one: "recipe",
    many: "recipes",
    why: "A splice with its numbers. Full bury and taper are kept apart, since people count them in two ways.",
    fields: [
      { name: "name", label: "Name", as: "text", required: true },
      {
        name: "kind",
        label: "Kind of splice",
        as: "pick",
        words: spliceKinds,
        beginsWith: "crossed-tail loop",
      },
      {
        name: "legs",
        label: "Legs that share the load",
        hint: "An eye in a single line 1, a loop 2, a doubled loop 4.",
        as: "whole",
        required: true,
        beginsWith: "2",
      },
      { name: "wraps", label: "Wraps", as: "whole", beginsWith: "1" },
      { name: "buryFullDiameters", label: "Full bury, in diameters", as: "number" },
      { name: "buryTaperDiameters", label: "Taper, in diameters", as: "number" },
      { name: "lockStitch", label: "Lock stitch", as: "text" },
      notes,
    ],
  },
  hardware: {
    one: "piece of hardware",
    many: "hardware",
    why: "Pins, shackles and rings that hold a specimen. Its own strength should be at least twice the expected peak.",
    fields: [
      { name: "name", label: "Name", as: "text", required: true },
      { name: "form", label: "Form", as: "pick", words: hardwareForms, beginsWith: "pin" },
      {
        name: "diameterMm",
        label: "Diameter where the rope lies",
        hint: "In mm unless you say otherwise.",
        as: "quantity",
        measure: "mm",
      },
      {
        name: "ownStrengthN",
        label: "Its own strength",
        hint: "In kN unless you say otherwise.",
        as: "quantity",
        measure: "force",
      },
      notes,
    ],
  },
  "load-cell": {
    one: "load cell",
    many: "load cells",
    why: "A cell checked at one weight is not calibrated above it. Say when and how it was checked.",
    fields: [
      { name: "name", label: "Name", as: "text", required: true },
      {
        name: "capacityN",
        label: "Capacity",
        hint: "In kN unless you say otherwise.",
        as: "quantity",
        measure: "force",
      },
      {
        name: "resolutionN",
        label: "Resolution",
        hint: "In kN unless you say otherwise: 10 N, 2 lbf.",
        as: "quantity",
        measure: "force",
      },
      { name: "calibratedOn", label: "Calibrated on", as: "date" },
      {
        name: "accuracyClass",
        label: "Accuracy class",
        hint: "In per cent of what is read: class 1 means ±1 %.",
        as: "number",
      },
      { name: "calibrationPoints", label: "Points of the certificate", as: "calibration" },
      { name: "calibrationNote", label: "How it was calibrated", as: "long" },
      notes,
    ],
  },
  bench: {
    one: "bench",
    many: "benches",
    why: "What pulls, what measures, and what holds both ends.",
    fields: [
      { name: "name", label: "Name", as: "text", required: true },
      { name: "loadCellId", label: "Load cell", as: "record", of: "load-cell" },
      { name: "drive", label: "Drive", as: "pick", words: drives, beginsWith: "hand pump" },
      {
        name: "cellPlacement",
        label: "Where the cell sits",
        as: "pick",
        words: cellPlacements,
        beginsWith: "in line with the specimen",
      },
      {
        name: "mechanicalAdvantage",
        label: "Mechanical advantage",
        hint: "Specimen's force over the cell's, where the cell sits on the drive side. Friction makes the true figure smaller.",
        as: "number",
        beginsWith: "1",
      },
      { name: "nearHardwareId", label: "Hardware at the near end", as: "record", of: "hardware" },
      { name: "farHardwareId", label: "Hardware at the far end", as: "record", of: "hardware" },
      notes,
    ],
  },
};

export const bookKindNames = Object.keys(bookKinds) as BookKind[];

/** "Make a rope", "Change this rope". */
export function titleOf(kind: BookKind, made: boolean): string {
  const { one } = bookKinds[kind];
  return made ? `Change this ${one}` : capital(`new ${one}`);
}
