import type { CellFindings, JudgedPull, SeriesFindings } from "../../findings/mod.ts";
import type { Factor } from "../../series/mod.ts";

/** What the height of a mark says. */
export const stripMeasures = ["strength", "leg efficiency", "line efficiency"] as const;
export type StripMeasure = (typeof stripMeasures)[number];

/** Leg efficiency where the pulls' ropes or legs differ and each has one; otherwise strength. */
export function chooseMeasure({ pulls }: SeriesFindings): StripMeasure {
  const used = pulls.filter(({ use }) => use !== "left out");
  const differ = used.some(
    ({ ratedStrengthN, legs }) => ratedStrengthN !== used[0]?.ratedStrengthN || legs !== used[0]?.legs,
  );
  return differ && used.every(({ legEfficiency }) => legEfficiency !== undefined)
    ? "leg efficiency"
    : "strength";
}

/** One cell in its panel: where along it stands, and what is written under it. */
export type Slot = { readonly cell: CellFindings; readonly x: number; readonly text: string };
/** Cells that share all levels but those of the factor that is drawn along. */
export type Panel = { readonly label: string; readonly slots: readonly Slot[]; readonly numeric: boolean };

/** The factor to draw along: the one with the most levels among those of numbers, or else the first of all. */
export function factorAlong(factors: readonly Factor[]): Factor | undefined {
  const numeric = factors.filter(
    ({ levels }) => levels.length > 1 && levels.every((level) => typeof level === "number"),
  );
  const [first, ...others] = numeric;
  if (first === undefined) return factors[0];
  return others.reduce((most, factor) => (factor.levels.length > most.levels.length ? factor : most), first);
}

/**
 * Sorts the cells into panels. Where the levels are words a panel holds at most so many, so that each word has room; the
 * rest go on in a further panel of the same name.
 */
export function makePanels(
  factors: readonly Factor[],
  along: Factor | undefined,
  findings: SeriesFindings,
  mostWords: number,
): Panel[] {
  const others = factors.filter((factor) => factor !== along);
  const groups = new Map<string, CellFindings[]>();
  const loose: CellFindings[] = [];
  for (const cell of findings.cells) {
    if (cell.kind === "level missing" || cell.kind === "no specimen") {
      loose.push(cell);
      continue;
    }
    const name = others
      .map(({ name, unit }) => `${name} ${cell.levels[name]}${unit === "" ? "" : `\u00a0${unit}`}`)
      .join(", ");
    groups.set(name, [...(groups.get(name) ?? []), cell]);
  }
  const panels = [...groups]
    .filter(([, cells]) => groups.size === 1 || cells.some(({ pulls }) => pulls.length > 0))
    .map(([name, cells]): Panel => {
      const numeric =
        along !== undefined &&
        cells.length > 1 &&
        cells.every((cell) => typeof cell.levels[along.name] === "number");
      const slots = cells.map((cell, index) => {
        const level = along === undefined ? undefined : cell.levels[along.name];
        return {
          cell,
          x: numeric ? Number(level) : index,
          text: level === undefined ? cell.label : String(level),
        };
      });
      return { label: name, slots: numeric ? slots.sort((a, b) => a.x - b.x) : slots, numeric };
    });
  if (loose.length > 0)
    panels.push({
      label: notPlaced,
      slots: loose.map((cell, x) => ({ cell, x, text: cell.label })),
      numeric: false,
    });
  return panels.flatMap((panel) => (panel.numeric ? [panel] : splitPanel(panel, mostWords)));
}

/** The name of the panel for pulls that lack a level or a specimen. */
export const notPlaced = "not placed in the plan";

function splitPanel(panel: Panel, most: number): Panel[] {
  const count = Math.ceil(panel.slots.length / most);
  const each = Math.ceil(panel.slots.length / count);
  return Array.from({ length: count }, (_, index) => ({
    ...panel,
    label: index === 0 ? panel.label : `${panel.label} (continued)`.trim(),
    slots: panel.slots.slice(index * each, (index + 1) * each),
  }));
}

/** The height of a mark; a void pull has one only where its force was read, and no efficiency at all. */
export function heightOf(pull: JudgedPull, measure: StripMeasure): number | undefined {
  if (pull.outcome === undefined) return undefined;
  if (measure === "leg efficiency" || measure === "line efficiency") {
    const known = measure === "leg efficiency" ? pull.legEfficiency : pull.lineEfficiency;
    if (known !== undefined || pull.outcome.kind !== "void") return known;
    const value = (pull.strengthN ?? Number.NaN) / baseOf(pull, measure);
    return Number.isFinite(value) ? value : undefined;
  }
  return pull.strengthN !== undefined && Number.isFinite(pull.strengthN) ? pull.strengthN : undefined;
}

/** The mean of a cell in the measure that is drawn, where it could be given. */
export function meanOf(cell: CellFindings, measure: StripMeasure): number | undefined {
  const mean =
    measure === "strength"
      ? cell.meanN
      : measure === "leg efficiency"
        ? cell.meanLegEfficiency
        : cell.meanLineEfficiency;
  return mean.ok ? mean.value : undefined;
}

/** The 95 % confidence interval of that mean, where it could be given. */
export function intervalOf(cell: CellFindings, measure: StripMeasure): readonly [number, number] | undefined {
  const interval =
    measure === "strength"
      ? cell.meanIntervalN
      : measure === "leg efficiency"
        ? cell.meanLegEfficiencyInterval
        : cell.meanLineEfficiencyInterval;
  return interval.ok ? interval.value : undefined;
}

/**
 * The bound that is stated of a cell, in the measure that is drawn: as a share only where one rated strength and one count
 * of legs stand under all its pulls. Nothing where it could not be given or lies below zero.
 */
export function boundOf(
  cell: CellFindings,
  measure: StripMeasure,
  pulls: readonly JudgedPull[],
): number | undefined {
  if (!cell.bound.ok || cell.bound.value.boundN <= 0) return undefined;
  const { boundN } = cell.bound.value;
  if (measure === "strength") return boundN;
  const ids = new Set(cell.pulls);
  const its = pulls.filter(({ pullId, use }) => ids.has(pullId) && use !== "left out");
  const [base, ...others] = new Set(its.map((pull) => baseOf(pull, measure)));
  return base !== undefined && others.length === 0 && Number.isFinite(base) ? boundN / base : undefined;
}

/** What an efficiency is of. */
function baseOf(
  { ratedStrengthN = Number.NaN, legs = Number.NaN }: JudgedPull,
  measure: StripMeasure,
): number {
  return measure === "leg efficiency" ? legs * ratedStrengthN : ratedStrengthN;
}
