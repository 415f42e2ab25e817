/** One point of a load cell's certificate: a known force, and what the cell showed of it. */
export type CalibrationPoint = { readonly appliedN: number; readonly indicatedN: number };

/** What is known of a load cell when a recording is read. Correction is applied at reading; raw data stay untouched. */
export type CellCalibration = {
  readonly points: readonly CalibrationPoint[];
  /** Accuracy class in per cent of the reading, as in ISO 7500-1: class 1 means ±1 %. */
  readonly accuracyClass?: number;
  /** ISO date of the calibration. */
  readonly calibratedOn?: string;
  readonly capacityN?: number;
  readonly resolutionN?: number;
};

/** What is known beside the recording itself; all of it may be absent. */
export type ReadingContext = {
  readonly calibration?: CellCalibration;
  /** The day of the reading, ISO, to tell whether a calibration is out of date. */
  readonly today?: string;
};
