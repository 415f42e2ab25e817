import { z } from "zod";

export const hardwareForms = ["pin", "shackle", "ring", "hook", "other"] as const;

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
  calibrationNote: z.string().trim().max(2000).default(""),
  notes: z.string().max(100_000).default(""),
});
export type LoadCellFields = z.infer<typeof loadCellFields>;

export const drives = ["hand pump", "powered pump", "winch", "screw", "other"] as const;
/** Where the cell sits: in line with the specimen it shows the specimen's force; on the drive's side it shows its share. */
export const cellPlacements = ["in line with the specimen", "on the drive side"] as const;

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
