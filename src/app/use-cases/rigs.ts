import { z } from "zod";
import { cellsOfPlan, type JudgedPull, judgePull } from "../../findings/mod.ts";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import { type AssessedRig, assessRig, chooseConnectors, type PullsOfCell } from "../../rig/mod.ts";
import { checkInput } from "../check-input.ts";
import type { CellForUse, ConnectorChoices, Effects } from "../contract.ts";
import type { StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";
import { byId, present, pullToJudge } from "./judge.ts";
import { holdingsOf, type SeriesHoldings } from "./overview.ts";
import { notFound, orTrouble } from "./transact.ts";

/** What is asked of the book's connectors. */
export const choiceFields = z.object({
  loadN: z.number().positive().max(1e9),
  factor: z.number().min(1).max(100),
  pinDiameterMm: z.number().positive().max(10_000).exactOptional(),
  mostWraps: z.number().int().min(1).max(16).default(4),
});

/** A rig with the strengths of the cells that its parts name, as the book has them now. */
export async function assessStoredRig({ store }: Effects, rigId: string): Promise<Result<AssessedRig>> {
  return orTrouble(async () => {
    const rig = await store.read.get("rig", rigId);
    if (rig === undefined) return refuse(notFound("rig", rigId));
    const named = new Set(
      rig.parts.flatMap(({ strength }) => (strength.from === "pulls" ? [strength.seriesId] : [])),
    );
    const cells: PullsOfCell[] = [];
    // A series that was taken out leaves its part without pulls, which the assessment says.
    for (const seriesId of named) cells.push(...(await cellsOfSeries(store.read, seriesId)));
    return assessRig(rig, cells);
  });
}

/** Every cell of every series that has a strength in it: what a part of a rig can rest on. */
export async function cellsForUse({ store }: Effects): Promise<Result<readonly CellForUse[]>> {
  return orTrouble(async () => {
    const cells: CellForUse[] = [];
    for (const { id } of await store.read.list("series"))
      cells.push(...(await cellsOfSeries(store.read, id)));
    return ok(cells);
  });
}

/** Which cells of the book reach a factor under a load, and which do not. */
export async function chooseFromBook(effects: Effects, input: unknown): Promise<Result<ConnectorChoices>> {
  const checked = checkInput(choiceFields, input);
  if (!checked.ok) return checked;
  const cells = await cellsForUse(effects);
  if (!cells.ok) return cells;
  const candidates = cells.value.map((cell) => ({ ...cell, name: `${cell.seriesTitle}: ${cell.cell}` }));
  const chosen = chooseConnectors({ ...checked.value, candidates });
  if (!chosen.ok) return chosen;
  const choices = chosen.value.map(({ candidate, ...choice }) => {
    const { seriesId, cell, simulated } = candidate;
    return { ...choice, seriesId, cell, simulated };
  });
  const shown = new Set(chosen.value.map(({ candidate }) => candidate));
  const leftOut = candidates
    .filter((candidate) => !shown.has(candidate))
    .map(({ seriesId, cell, name, pullsN }) => ({ seriesId, cell, name, n: pullsN.length }));
  return ok({ choices, leftOut }, chosen.warnings);
}

type Book = Pick<
  StoreWork,
  "get" | "list" | "recipeVersions" | "listRecordings" | "listPictures" | "listReports"
>;

async function cellsOfSeries(book: Book, seriesId: string): Promise<CellForUse[]> {
  const held = await holdingsOf(book, seriesId);
  if (!held.ok) return [];
  const { series, pulls } = held.value;
  const judged = pulls.map((pull) => judgePull(pullToJudge(pull, held.value)));
  return cellsOfPlan(series.factors, judged).flatMap(({ label, pulls: all }): CellForUse[] => {
    const used = all.filter(({ use, strengthN }) => use !== "left out" && strengthN !== undefined);
    if (used.length === 0) return [];
    const stopped = used.map(({ use }) => use === "lower bound");
    return [
      {
        seriesId,
        seriesTitle: series.title,
        cell: label,
        simulated: series.simulated,
        pullsN: used.map(({ strengthN }) => strengthN as number),
        stopped,
        ...asMade(used, held.value),
        pins: pinsOf(used, held.value),
      },
    ];
  });
}

/** What the specimens of a cell took of rope, where all of them say so: means of what was made. */
function asMade(used: readonly JudgedPull[], held: SeriesHoldings) {
  const made = specimensOf(used, held).map((specimen) => {
    const spool = byId(held.spools, specimen?.spoolId);
    const rope = byId(held.ropes, specimen?.ropeId ?? spool?.ropeId);
    const ropeM = specimen?.cutLengthMm === undefined ? undefined : specimen.cutLengthMm / 1000;
    const diameterMm = rope?.nominalDiameterMm;
    const bury = specimen?.buryFullMm;
    return {
      ropeM,
      diameterMm,
      massG:
        ropeM === undefined || rope?.massPerLengthGPerM === undefined
          ? undefined
          : ropeM * rope.massPerLengthGPerM,
      buryDiameters: bury === undefined || diameterMm === undefined ? undefined : bury / diameterMm,
    };
  });
  const diameters = new Set(made.map(({ diameterMm }) => diameterMm));
  return present({
    massG: meanOf(made.map(({ massG }) => massG)),
    ropeM: meanOf(made.map(({ ropeM }) => ropeM)),
    buryDiameters: meanOf(made.map(({ buryDiameters }) => buryDiameters)),
    diameterMm: diameters.size === 1 ? [...diameters][0] : undefined,
  });
}

/** On which pins a cell was pulled: the thinner end of each bench, with how many pulls that ended and their mean. */
function pinsOf(used: readonly JudgedPull[], held: SeriesHoldings): CellForUse["pins"] {
  const byDiameter = new Map<number, number[]>();
  for (const { pullId, use, strengthN } of used) {
    const bench = byId(held.benches, byId(held.pulls, pullId)?.benchId);
    const ends = [bench?.nearHardwareId, bench?.farHardwareId].flatMap(
      (id) => byId(held.hardware, id)?.diameterMm ?? [],
    );
    if (ends.length === 0 || use !== "counted" || strengthN === undefined) continue;
    const diameterMm = Math.min(...ends);
    byDiameter.set(diameterMm, [...(byDiameter.get(diameterMm) ?? []), strengthN]);
  }
  return [...byDiameter]
    .sort(([a], [b]) => a - b)
    .map(([diameterMm, forces]) => ({ diameterMm, n: forces.length, meanN: meanOf(forces) as number }));
}

function specimensOf(
  used: readonly JudgedPull[],
  held: SeriesHoldings,
): (StoredRecord<"specimen"> | undefined)[] {
  return used.map(({ pullId }) => byId(held.specimens, byId(held.pulls, pullId)?.specimenId));
}

/** The mean where every value is there: a mean of some would speak for all. */
function meanOf(values: readonly (number | undefined)[]): number | undefined {
  const known = values.filter((value) => value !== undefined);
  return known.length < values.length || known.length === 0
    ? undefined
    : known.reduce((sum, value) => sum + value, 0) / known.length;
}
