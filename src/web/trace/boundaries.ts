import type { Override } from "../../series/mod.ts";
import type { DeepReading, Phase, PullReading } from "../../trace/mod.ts";

/** A row where one phase ends and the next begins, or where the first begins or the last ends. */
export type Boundary = {
  /** Its place among the boundaries of the pull, from 0. */
  readonly at: number;
  readonly phase: Phase["name"];
  readonly edge: "start" | "end";
  readonly name: string;
  readonly row: number;
  /** The rows between which it may lie without turning a phase around. */
  readonly least: number;
  readonly most: number;
};

/**
 * The boundaries of a pull's phases in the order of the rows; each may be moved between its neighbours.
 *
 * @example
 * boundariesOf(deep.phases)[1]?.name // "start of the ramp"
 */
export function boundariesOf(phases: readonly Phase[], rows: number): readonly Boundary[] {
  const found = phases.map((phase, at) => {
    const before = phases[at - 1];
    return {
      at,
      phase: phase.name,
      edge: "start" as const,
      name: `start of the ${phase.name}`,
      row: phase.fromRow,
      least: before === undefined ? 1 : before.fromRow + 1,
      most: phase.toRow - 1,
    };
  });
  const last = phases.at(-1);
  const end =
    last === undefined
      ? []
      : [
          {
            at: phases.length,
            phase: last.name,
            edge: "end" as const,
            name: `end of the ${last.name}`,
            row: last.toRow,
            least: last.fromRow + 1,
            most: rows,
          },
        ];
  return [...found, ...end].filter(({ least, most }) => least <= most);
}

/** The phases with one boundary elsewhere: what is shown while a hand moves it. */
export function withBoundary(reading: PullReading, boundary: Boundary, row: number): PullReading {
  const { deep } = reading;
  if (deep === undefined) return reading;
  const phases = deep.phases.map((phase, at): Phase => {
    const from = at === boundary.at ? row : phase.fromRow;
    const next = deep.phases[at + 1];
    const ends = at === boundary.at - 1;
    // Neighbours share the row at which they meet, or lie side by side; that stays as it is.
    const to = !ends ? phase.toRow : next === undefined ? row : row - (next.fromRow - phase.toRow);
    return { ...phase, fromRow: from, toRow: to };
  });
  return { ...reading, deep: { ...deep, phases, ...holdWithin(deep, phases) } };
}

/**
 * Which corrections brought a boundary to where it is, by their numbers from 1, the last first: taking them back in this
 * order puts it where it was read.
 */
export function correctionsOf(boundary: Boundary, overrides: readonly Override[]): readonly number[] {
  const numbers: number[] = [];
  let { row } = boundary;
  for (let at = overrides.length - 1; at >= 0; at--) {
    const one = overrides[at];
    if (one?.what !== "boundary" || one.toRow !== row) continue;
    if (one.phase !== boundary.phase || one.edge !== boundary.edge) continue;
    numbers.push(at + 1);
    row = one.fromRow;
  }
  return numbers;
}

/** A correction in a few words. */
export function correctionWords(override: Override): string {
  switch (override.what) {
    case "boundary":
      return `${override.edge} of the ${override.phase} moved from row ${override.fromRow} to row ${override.toRow}`;
    case "strike slip":
      return `slip at row ${override.fromRow} struck out`;
    case "add slip":
      return `slip added from row ${override.fromRow} to row ${override.toRow}`;
    case "other load":
      return "said to be no pull";
    case "pull":
      return `rows ${override.fromRow} to ${override.toRow} named as a pull`;
  }
}

function holdWithin({ hold }: DeepReading, phases: readonly Phase[]): Pick<DeepReading, "hold"> {
  if (hold === undefined) return {};
  const phase = phases.find(
    ({ name, fromRow, toRow }) => name === "hold" && fromRow <= hold.toRow && toRow >= hold.fromRow,
  );
  return { hold: phase === undefined ? hold : { ...hold, fromRow: phase.fromRow, toRow: phase.toRow } };
}
