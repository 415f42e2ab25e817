import type { App } from "../../app/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { openBook } from "../book.ts";
import {
  type ExitCode,
  exitCodes,
  formatTable,
  plain,
  refuseAloud,
  type Terminal,
  toJson,
} from "../terminal.ts";

export type PlanOptions = {
  readonly seed?: number;
  readonly difference?: number;
  readonly power?: number;
  readonly cv?: number;
  readonly spool?: readonly string[];
  readonly maker?: readonly string[];
  readonly recipe?: string;
  readonly rope?: string;
  readonly length?: number;
  readonly minutes?: number;
  readonly make?: boolean;
  readonly book?: string;
  readonly json?: boolean;
};

type SeriesPlan = Extract<Awaited<ReturnType<App["plan"]>>, { ok: true }>["value"];

/** Prints what the plan of a series needs and can tell; with `make` its specimens are made. */
export async function showPlan(
  seriesId: string,
  options: PlanOptions,
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    const plan = await app.plan(seriesId, { ...askedOf(options), ...specimensOf(options) });
    if (!plan.ok) return refuseAloud(terminal, `Cannot plan ${seriesId}`, plan.problems, options);
    const made = options.make ? await app.makePlanned(seriesId, specimensOf(options)) : undefined;
    if (made !== undefined && !made.ok)
      return refuseAloud(terminal, "No specimen was made", made.problems, options);
    if (options.json)
      terminal.out(toJson({ ...plan.value, ...(made === undefined ? {} : { specimens: made.value }) }));
    else {
      const names = new Map((await app.list("spool")).map(({ id, name }) => [id, name]));
      for (const line of [...sentences(plan.value), "", ...orderTable(plan.value, names)])
        terminal.out(plain(line));
      if (made !== undefined) terminal.out(`${made.value.length} specimens made`);
    }
    return exitCodes.done;
  } finally {
    await close();
  }
}

function askedOf({ difference, power, cv, minutes }: PlanOptions): object {
  return {
    ...(difference === undefined ? {} : { difference: difference / 100 }),
    ...(power === undefined ? {} : { power: power / 100 }),
    ...(cv === undefined ? {} : { cv: cv / 100 }),
    ...(minutes === undefined ? {} : { minutes }),
  };
}

function specimensOf({ seed, spool, maker, recipe, rope, length }: PlanOptions): object {
  return {
    spoolIds: spool ?? [],
    makers: maker ?? [],
    ...(seed === undefined ? {} : { seed }),
    ...(recipe === undefined ? {} : { recipeId: recipe }),
    ...(rope === undefined ? {} : { ropeId: rope }),
    ...(length === undefined ? {} : { lengthMm: length }),
  };
}

function sentences({ title, scatter, howMany, bounds, bury, budget, time, changes }: SeriesPlan): string[] {
  const { planned } = howMany;
  const own = planned === undefined ? undefined : bounds.rows.find(({ n }) => n === planned.pullsPerCell);
  return [
    title,
    `Scatter within a cell: ${percent(scatter.cv)} (${scatter.says}).`,
    `A difference of ${percent(howMany.difference)} between two cells, found ${percent(howMany.power)} of the time: ${said(howMany.pullsPerCell, (n) => `${n} pulls in each`)}${howMany.pairs > 1 ? `; where all ${howMany.pairs} pairs are compared ${said(howMany.forAllPairs, String)}` : ""}.`,
    ...(planned === undefined
      ? []
      : [
          `With ${planned.pullsPerCell} in each the plan finds it ${said(planned.power, percent)} of the time, and ${percent(planned.difference)} as often as asked.`,
        ]),
    ...(own === undefined
      ? []
      : [
          `A ${bounds.content * 100}/${bounds.confidence * 100} bound from ${own.n} pulls lies ${own.factor.toFixed(2)} SD, ${percent(own.below)} of the mean, below it.`,
        ]),
    ...(bury === undefined
      ? []
      : [
          `Buries ${bury.levels.join(", ")} d: if half slip at ${bury.truth.turn} d, the bury at ${percent(bury.chance)} would be placed to ${bury.standardError === undefined ? "nothing" : said(bury.standardError, (value) => `± ${value.toFixed(1)} d`)}; ${said(bury.proposed, ({ levels, standardError }) => `at ${levels.join(", ")} d to ± ${standardError.toFixed(1)} d`)} (one standard error). Assumed, where nothing is said: ${bury.truthSays}.`,
        ]),
    ...(budget === undefined
      ? []
      : [
          `Rope: ${said(budget, ({ ropeM, massG, cost }) => [`${ropeM.toFixed(2)} m`, massG === undefined ? "" : `${massG.toFixed(0)} g`, cost === undefined ? "" : `${cost.value.toFixed(2)} ${cost.currency}`].filter(Boolean).join(", "))}.`,
        ]),
    ...(time === undefined
      ? []
      : [`Time: ${(time.totalMinutes / 60).toFixed(1)} h at ${time.minutesEach} min each (${time.says}).`]),
    ...changes.flatMap(({ at, pullsThen, changed, inference }) => [
      `! Changed on ${at.slice(0, 10)}, after ${pullsThen} pulls: ${changed.join("; ")}.`,
      ...inference.map((one) => `  ${one}`),
    ]),
  ];
}

function orderTable({ order, factors }: SeriesPlan, names: ReadonlyMap<string, string>): readonly string[] {
  if (!order.ok) return order.problems.map(({ message }) => `No order: ${message}`);
  const head = [
    "pull",
    "round",
    ...factors.map(({ name, unit }) => (unit === "" ? name : `${name}, ${unit}`)),
    "spool",
    "maker",
  ];
  const rows = order.value.map(({ order: place, block, levels, spool, maker }) => [
    String(place),
    String(block),
    ...factors.map(({ name }) => String(levels[name] ?? "-")),
    spool === undefined ? "-" : (names.get(spool) ?? spool),
    maker ?? "-",
  ]);
  return formatTable([head, ...rows], `rr${"r".repeat(factors.length)}ll`);
}

function said<T>(result: Result<T>, words: (value: T) => string): string {
  return result.ok
    ? words(result.value)
    : `no figure (${result.problems.map(({ message }) => message).join(" ")})`;
}

function percent(share: number): string {
  return `${Number((share * 100).toPrecision(3))} %`;
}
