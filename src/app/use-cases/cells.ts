import type { CellCalibration } from "../../trace/mod.ts";
import type { RecordFields, StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";

/** The benches and load cells of a book: what a reading needs to know of a pull's cell. */
export type Cells = {
  readonly benches: readonly Pick<StoredRecord<"bench">, "id" | "loadCellId">[];
  readonly loadCells: readonly Pick<StoredRecord<"load-cell">, "id" | keyof Known>[];
};

type Known = Pick<
  RecordFields<"load-cell">,
  "calibrationPoints" | "accuracyClass" | "calibratedOn" | "capacityN" | "resolutionN"
>;

export async function cellsOf(book: Pick<StoreWork, "list">) {
  return { benches: await book.list("bench"), loadCells: await book.list("load-cell") };
}

/** What is known of the cell of this bench; absent where the bench, its cell or all knowledge of it is. */
export function calibrationOf(
  benchId: string | undefined,
  { benches, loadCells }: Cells,
): CellCalibration | undefined {
  const bench = benches.find(({ id }) => id === benchId);
  const cell = loadCells.find(({ id }) => id === bench?.loadCellId);
  if (cell === undefined) return undefined;
  const { accuracyClass, calibratedOn, capacityN, resolutionN } = cell;
  const points = cell.calibrationPoints.map(({ appliedN, indicatedN }) => ({ appliedN, indicatedN }));
  const known = {
    ...(accuracyClass === undefined ? {} : { accuracyClass }),
    ...(calibratedOn === undefined ? {} : { calibratedOn }),
    ...(capacityN === undefined ? {} : { capacityN }),
    ...(resolutionN === undefined ? {} : { resolutionN }),
  };
  return points.length === 0 && Object.keys(known).length === 0 ? undefined : { points, ...known };
}

/** A calibration as text, equal for equal calibrations: by it the book knows with which one a reading was made. */
export function calibrationKey(calibration: CellCalibration | undefined): string {
  if (calibration === undefined) return "none";
  const { points, accuracyClass, calibratedOn, capacityN, resolutionN } = calibration;
  return JSON.stringify([
    points.map(({ appliedN, indicatedN }) => [appliedN, indicatedN]),
    accuracyClass ?? null,
    calibratedOn ?? null,
    capacityN ?? null,
    resolutionN ?? null,
  ]);
}
