import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { centresOfLoop, loopRoundPins } from "./geometry.ts";
import { lengthFault, type ResolvedJob, say } from "./resolve-job.ts";

/** The path through the finished piece whose length is measured as the job says. */
export function pathOfLength(resolved: ResolvedJob, lengthMm: number): Result<number> {
  if (!(Number.isFinite(lengthMm) && lengthMm > 0))
    return refuse(lengthFault(lengthMm, "lengthMm", "A finished length is more than 0.", "more than 0"));
  const { shape, pins, job } = resolved;
  const { measure } = job.state;
  const halfPins = (pins.near + pins.far) / 2;
  if (shape.form !== "loop") {
    const path = measure === "pin centres" ? lengthMm + halfPins : lengthMm;
    return ok(path);
  }
  // Offsetting a closed convex line outward by half the rope's diameter lengthens it by π times that diameter (Steiner).
  if (measure === "circumference") {
    const path = lengthMm + Math.PI * pins.rope;
    return centresOfLoop(path, pins) === undefined ? refuse(tooShortForPins(resolved, lengthMm)) : ok(path);
  }
  const centres = measure === "pin centres" ? lengthMm : lengthMm - halfPins;
  // Two pins cannot lie within each other; bare folds may meet.
  if (!(centres >= halfPins)) return refuse(tooShortForPins(resolved, lengthMm));
  return ok(loopRoundPins(centres, pins));
}

/** The measured length of a piece with this path: the inverse of `pathOfLength`. */
export function lengthOfPath(resolved: ResolvedJob, path: number): Result<number> {
  const { shape, pins, job } = resolved;
  const { measure } = job.state;
  const halfPins = (pins.near + pins.far) / 2;
  if (shape.form !== "loop") {
    const length = measure === "pin centres" ? path - halfPins : path;
    return length > 0 ? ok(length) : refuse(noLengthLeft(path));
  }
  const centres = centresOfLoop(path, pins);
  if (centres === undefined || centres < halfPins) return refuse(noLengthLeft(path));
  const length =
    measure === "circumference"
      ? path - Math.PI * pins.rope
      : measure === "pin centres"
        ? centres
        : centres + halfPins;
  return length > 0 ? ok(length) : refuse(noLengthLeft(path));
}

/** How much the measured length grows for each millimetre of path: one half for a loop laid flat. */
export function lengthPerPath(resolved: ResolvedJob, path: number): number {
  const { shape, pins, job } = resolved;
  if (shape.form !== "loop" || job.state.measure === "circumference") return 1;
  const centres = centresOfLoop(path, pins);
  const e = Math.abs(pins.near - pins.far) / 2;
  if (centres === undefined || centres <= e) return 0.5;
  return 0.5 / Math.sqrt(1 - (e / centres) ** 2);
}

function tooShortForPins({ pins, job }: ResolvedJob, lengthMm: number): Problem {
  const halfPins = (pins.near + pins.far) / 2;
  const { measure } = job.state;
  const least =
    measure === "pin centres"
      ? halfPins
      : measure === "inside"
        ? 2 * halfPins
        : loopRoundPins(halfPins, pins) - Math.PI * pins.rope;
  return {
    code: "SPLICE_LENGTH",
    message: `A loop of ${say(lengthMm)} mm is too short to go round both pins.`,
    where: { field: "lengthMm" },
    found: `${say(lengthMm)} mm`,
    expected: `more than ${say(least)} mm`,
    wayOut: `Make the loop longer than ${say(least)} mm, or take thinner pins.`,
  };
}

function noLengthLeft(path: number): Problem {
  return {
    code: "SPLICE_LENGTH",
    message:
      "The rope is too short: its buries, crossings and knots leave nothing for a loop or line round the pins.",
    where: { field: "cutLengthMm" },
    found: `${say(path)} mm left`,
    expected: "a longer cut length, or shorter buries",
  };
}
