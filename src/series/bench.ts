import { z } from "zod";
import { cellPlacements, drives, hardwareForms } from "./words.ts";

/** A pin, shackle or ring that holds the specimen, with its own strength where it is known. */
export const hardwareFields = z.object({
  name: z.string().trim().min(1).max(200),
  form: z.enum(hardwareForms).default("pin"),
  diameterMm: z.number().positive().max(1000).optional(),
  ownStrengthN: z.number().positive().max(1e9).optional(),
  notes: z.string().max(100_000).default(""),
});
export type HardwareFields = z.infer<typeof hardwareFields>;

/** A load cell with what is known of its calibration. */
export const loadCellFields = z.object({
  name: z.string().trim().min(1).max(200),
  capacityN: z.number().positive().max(1e9).optional(),
  resolutionN: z.number().positive().max(1e9).optional(),
  calibratedOn: z.iso.date().optional(),
  /** Points of the certificate: a known force, and what the cell showed of it. They need not be in order. */
  calibrationPoints: z
    .array(
      z.object({
        appliedN: z.number().min(-1e9).max(1e9),
        indicatedN: z.number().min(-1e9).max(1e9),
      }),
    )
    .max(1000)
    .default([]),
  /** In per cent of the reading, as in ISO 7500-1: class 1 means ±1 %. */
  accuracyClass: z.number().positive().max(100).optional(),
  calibrationNote: z.string().trim().max(2000).default(""),
  notes: z.string().max(100_000).default(""),
});
export type LoadCellFields = z.infer<typeof loadCellFields>;

/** Load cell, drive, mechanical advantage, and both ends' hardware. */
export const benchFields = z.object({
  name: z.string().trim().min(1).max(200),
  loadCellId: z.string().optional(),
  drive: z.enum(drives).default("hand pump"),
  cellPlacement: z.enum(cellPlacements).default("in line with the specimen"),
  /** Specimen force over cell force when the cell sits on the drive's side; friction makes the true figure smaller. */
  mechanicalAdvantage: z.number().positive().max(1000).default(1),
  nearHardwareId: z.string().optional(),
  farHardwareId: z.string().optional(),
  notes: z.string().max(100_000).default(""),
});
export type BenchFields = z.infer<typeof benchFields>;
