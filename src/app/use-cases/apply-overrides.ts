import type { Warning } from "../../problem/mod.ts";
import type { Override } from "../../series/mod.ts";
import type { CellFit, DeepReading, Hold, Phase, PullReading, Slip } from "../../trace/mod.ts";

/** A reading with a person's corrections in it, and those that no longer fit it. */
export type Corrected = { readonly reading: PullReading; readonly lost: readonly Override[] };

type Of<What extends Override["what"]> = Extract<Override, { readonly what: What }>;

/**
 * Lays a person's corrections over what the machine read, in the order in which they were made; the machine's reading
 * stays what it was, and is returned itself where nothing is corrected.
 *
 * A moved boundary moves the phases that meet there; where it is an end of the hold, the hold's force there is the one
 * that was read from the samples when it was moved, and its settling, which was fitted to other samples, is not given.
 * The time to the peak follows where the load begins; the loading rate does not, since R-RATE takes its window by force.
 * Slips are struck out or added, and the first slip follows. What the machine reads anew elsewhere than before may leave
 * a correction without its object: then it is skipped, listed as lost, and a warning says so. What was read from the
 * samples for a correction is a net force as recorded; `cell` is what the reading's own forces were corrected by.
 *
 * @example
 * applyOverrides(reading, [{ what: "strike slip", fromRow: 812, by: "", at: "2024-05-01T08:00:00Z", why: "" }])
 */
export function applyOverrides(
  machine: PullReading,
  overrides: readonly Override[],
  cell?: CellFit,
): Corrected {
  const lost: Override[] = [];
  let deep = machine.deep;
  for (const override of overrides) {
    if (override.what === "other load" || override.what === "pull") continue;
    const next = deep === undefined ? undefined : correct(deep, atCell(override, cell), machine);
    if (next === undefined) lost.push(override);
    else deep = next;
  }
  if (lost.length === 0 && deep === machine.deep) return { reading: machine, lost };
  const warnings = [...machine.warnings, ...lost.map(lostWarning)];
  if (deep === undefined || deep === machine.deep) return { reading: { ...machine, warnings }, lost };
  if (machine.deep?.hold?.settling !== undefined && deep.hold?.settling === undefined)
    warnings.push(noSettling);
  return { reading: { ...machine, deep, warnings }, lost };
}

type Correction = Exclude<Override, Of<"other load"> | Of<"pull">>;

/** A correction with the forces in it as the cell's certificate has them. */
function atCell(override: Correction, cell: CellFit | undefined): Correction {
  if (cell === undefined) return override;
  if (override.what === "add slip")
    return { ...override, fromN: cell.correct(override.fromN), toN: cell.correct(override.toN) };
  return override.what === "boundary" && override.forceN !== undefined
    ? { ...override, forceN: cell.correct(override.forceN) }
    : override;
}

function correct(deep: DeepReading, override: Correction, machine: PullReading): DeepReading | undefined {
  switch (override.what) {
    case "boundary":
      return moveBoundary(deep, override);
    case "strike slip": {
      const struck = nearest(deep.slips, override.fromRow, ({ row }) => row, machine);
      return struck === undefined
        ? undefined
        : withSlips(
            deep,
            deep.slips.filter((slip) => slip !== struck),
          );
    }
    case "add slip": {
      const { fromRow, fromS, fromN, toN } = override;
      const slip: Slip = { row: fromRow, fromN, toN, ...(fromS === undefined ? {} : { timeS: fromS }) };
      return withSlips(
        deep,
        [...deep.slips, slip].sort((a, b) => a.row - b.row),
      );
    }
  }
}

/** Where the phases meet is told by the phase: read anew, it may begin a few rows from where it was corrected. */
function moveBoundary(deep: DeepReading, override: Of<"boundary">): DeepReading | undefined {
  const { phase: name, edge, fromRow, toRow } = override;
  const row = (phase: Phase) => (edge === "start" ? phase.fromRow : phase.toRow);
  const found = deep.phases
    .map((phase, place) => ({ phase, place, off: Math.abs(row(phase) - fromRow) }))
    .filter(({ phase }) => phase.name === name)
    .sort((a, b) => a.off - b.off)[0];
  if (found === undefined) return undefined;
  const { phase, place } = found;
  const before = edge === "start" ? deep.phases[place - 1] : phase;
  const after = edge === "start" ? phase : deep.phases[place + 1];
  // Neighbours share the row at which they meet or lie side by side, and go on doing so; a gap is no boundary of both.
  const step = before === undefined || after === undefined ? 0 : after.fromRow - before.toRow;
  const outside =
    step > 1 ||
    (before !== undefined && toRow - step < before.fromRow) ||
    (after !== undefined && toRow > after.toRow);
  if (outside) return undefined;
  const phases = deep.phases.map((one) => {
    if (one === before) return ending(one, toRow - step, override.toS);
    return one === after ? beginning(one, toRow, override.toS) : one;
  });
  return withHold(withTimeToPeak(deep, { ...deep, phases }), override);
}

/** The time to the peak counts from where the load begins: the first phase that is no rest. */
function withTimeToPeak(before: DeepReading, after: DeepReading): DeepReading {
  const [was, is] = [before, after].map(({ phases }) => phases.find(({ name }) => name !== "rest")?.fromS);
  if (before.timeToPeakS === undefined || was === undefined || is === undefined || was === is) return after;
  return { ...after, timeToPeakS: before.timeToPeakS - (is - was) };
}

function beginning(phase: Phase, fromRow: number, fromS: number | undefined): Phase {
  const { fromS: _, ...rest } = phase;
  return { ...rest, fromRow, ...(fromS === undefined ? {} : { fromS }) };
}

function ending(phase: Phase, toRow: number, toS: number | undefined): Phase {
  const { toS: _, ...rest } = phase;
  return { ...rest, toRow, ...(toS === undefined ? {} : { toS }) };
}

/** The hold follows its phase; what was fitted to its samples as they were is not given for others. */
function withHold(deep: DeepReading, { forceN }: Of<"boundary">): DeepReading {
  const { hold } = deep;
  if (hold === undefined) return deep;
  const phase = deep.phases.find(
    ({ name, fromRow, toRow }) => name === "hold" && fromRow <= hold.toRow && toRow >= hold.fromRow,
  );
  if (phase === undefined || (phase.fromRow === hold.fromRow && phase.toRow === hold.toRow)) return deep;
  const { settling: _, fromS: __, toS: ___, ...rest } = hold;
  const changed: Hold = {
    ...rest,
    fromRow: phase.fromRow,
    toRow: phase.toRow,
    startN: phase.fromRow === hold.fromRow ? hold.startN : (forceN ?? hold.startN),
    endN: phase.toRow === hold.toRow ? hold.endN : (forceN ?? hold.endN),
    ...(phase.fromS === undefined ? {} : { fromS: phase.fromS }),
    ...(phase.toS === undefined ? {} : { toS: phase.toS }),
  };
  return { ...deep, hold: changed };
}

function withSlips(deep: DeepReading, slips: readonly Slip[]): DeepReading {
  const { firstSlipN: _, ...rest } = deep;
  const first = slips[0];
  return { ...rest, slips, ...(first === undefined ? {} : { firstSlipN: first.fromN }) };
}

/** The object nearest to a row, within a hundredth of the pull: read anew, it may have moved a little. */
function nearest<T>(
  objects: readonly T[],
  row: number,
  rowOf: (object: T) => number,
  { startRow, endRow }: PullReading,
): T | undefined {
  const reach = Math.max(2, (endRow - startRow) / 100);
  return objects
    .filter((object) => Math.abs(rowOf(object) - row) <= reach)
    .sort((a, b) => Math.abs(rowOf(a) - row) - Math.abs(rowOf(b) - row))[0];
}

function lostWarning(override: Override): Warning {
  return {
    code: "READING_CORRECTION_LOST",
    message: "A correction by hand no longer fits what was read and is left out.",
    found: `${override.what}${"fromRow" in override ? ` at row ${override.fromRow}` : ""}, ${override.at}`,
    wayOut: "Look at the trace, and correct it anew or take the correction back.",
  };
}

const noSettling: Warning = {
  code: "READING_CORRECTED",
  message:
    "The hold's start or end was moved by hand; its settling was fitted to other samples and is not given.",
};
