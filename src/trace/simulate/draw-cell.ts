import type { Random } from "../../stats/mod.ts";
import type { CalibrationPoint, ReadingContext } from "../calibration.ts";
import { between } from "./bench-acts.ts";
import { oneOf } from "./chances.ts";
import { type CellError, shownBy } from "./spec.ts";

/** A load cell: how it errs, and what its owner knows of it. */
export type DrawnCell = { readonly error?: CellError; readonly context: ReadingContext };

/**
 * Half of all cells come with nothing and show true forces; some with their capacity alone; the others err in slope and
 * bow by up to some tenths of a per cent, and have a certificate, or by up to their accuracy class and have only that.
 */
export function drawCell(random: Random, capacityN: number, options: { capacityKnown: boolean }): DrawnCell {
  const known = oneOf(random, [
    [50, "nothing"],
    [14, "capacity"],
    [30, "certificate"],
    [6, "class"],
  ] as const);
  if (options.capacityKnown || known === "capacity")
    return { context: { calibration: { points: [], capacityN } } };
  if (known === "nothing") return { context: {} };
  if (known === "class") {
    const accuracyClass = oneOf(random, [
      [1, 0.5],
      [1, 1],
    ]);
    const error = { slope: (accuracyClass / 100) * between(random, -1, 1), bow: 0, rangeN: capacityN };
    return { error, context: { calibration: { points: [], accuracyClass, capacityN, ...dates } } };
  }
  const error = { slope: 0.003 * random.normal(), bow: 0.001 * random.normal(), rangeN: capacityN };
  const steps = 5 + random.below(6);
  const points = Array.from({ length: steps }, (_, at): CalibrationPoint => {
    const appliedN = (capacityN * (at + 1)) / steps;
    // The standard and the reading of it are good to about 0.03 % (common practice, no published source).
    return { appliedN, indicatedN: shownBy(error, appliedN) * (1 + 0.0003 * random.normal()) };
  });
  return { error, context: { calibration: { points, capacityN, ...dates }, today: "2026-01-15" } };
}

const dates = { calibratedOn: "2025-09-01" };
