import { createRandom } from "../../src/stats/mod.ts";
import { drawing } from "./draw.ts";
import { type Law, laws } from "./laws.ts";
import { subjects, type Verdict } from "./subjects.ts";

export const sizes = [3, 5, 8, 12, 20, 30] as const;
export const shares = [0, 0.2, 0.4] as const;

/** One law, one n, one share of stopped pulls, for one statement. */
export type Cell = {
  readonly subject: string;
  readonly law: string;
  readonly n: number;
  readonly share: number;
  readonly draws: number;
  readonly seed: number;
};

/** What came of a cell, for one of the subject's targets. */
export type Row = Omit<Cell, "seed"> & {
  readonly target: string;
  readonly nominal: number;
  readonly covered: number;
  readonly refused: number;
};

/** All cells of the statements named (all, where none is), the costly ones first so that two threads end together. */
export function cellsOf(options: {
  readonly seed: number;
  readonly only?: string | undefined;
  readonly draws?: number | undefined;
}): Cell[] {
  const cells = subjects
    .filter(({ name }) => options.only === undefined || name === options.only)
    .flatMap((subject) =>
      laws
        .filter((law) => subject.looksAt(law) && !(subject.twins && isTwin(law)))
        .flatMap((law) =>
          sizes.flatMap((n, i) =>
            shares
              .filter((share) => share === 0 || !subject.completeOnly)
              .map((share, j) => ({
                subject: subject.name,
                law: law.name,
                n,
                share,
                draws: options.draws ?? subject.draws,
                // The same pulls for every statement: what differs between them is then no chance of the draw.
                seed: options.seed * 1000 + laws.indexOf(law) * 100 + i * 10 + j,
              })),
          ),
        ),
    );
  return cells.sort((a, b) => cost(b) - cost(a));
}

/** The law that stands for the Weibull laws of other shapes, where the shape falls out. */
const standsForTwins = "Weibull 20";
const isTwin = ({ family, name }: Law) => family === "weibull" && name !== standsForTwins;

/** Microseconds, roughly. */
function cost({ subject, share, n, draws }: Cell): number {
  const each =
    subject === "weibull"
      ? 30
      : share > 0 && (subject === "normal" || subject === "lognormal")
        ? 100 + 10 * n
        : subject.startsWith("fit") || subject.startsWith("bootstrap")
          ? 2000
          : 3;
  return draws * each;
}

/** Draws the cell's pulls and counts how often the statement held. A throw is a fault, told of and counted as refused. */
export function runCell(cell: Cell, tellFault: (fault: string) => void): Row[] {
  const { seed, ...named } = cell;
  const subject = subjects.find(({ name }) => name === cell.subject);
  const law = laws.find(({ name }) => name === cell.law);
  if (subject === undefined || law === undefined) throw new Error(`no such cell: ${JSON.stringify(cell)}`);
  const random = createRandom(seed);
  const draw = drawing(law, cell.n, cell.share);
  const judge = subject.judge(law, cell.n, cell.share);
  const covered = subject.targets.map(() => 0);
  const refused = subject.targets.map(() => 0);
  for (let i = 0; i < cell.draws; i++) {
    const pulls = Array.from({ length: subject.groups }, () => draw(random));
    let verdicts: readonly Verdict[] = subject.targets.map(() => undefined);
    try {
      verdicts = judge(pulls);
    } catch (error) {
      tellFault(
        `${cell.subject}: ${error instanceof Error ? error.message : error} on ${JSON.stringify(pulls)}`,
      );
    }
    for (const [j, verdict] of verdicts.entries()) {
      if (verdict === undefined) refused[j] = (refused[j] as number) + 1;
      else if (verdict) covered[j] = (covered[j] as number) + 1;
    }
  }
  const sameAs = subject.twins && cell.law === standsForTwins ? laws.filter(isTwin) : [];
  return [law, ...sameAs].flatMap(({ name }) =>
    subject.targets.map((target, j) => ({
      ...named,
      law: name,
      target: target.name,
      nominal: target.nominal(cell.n),
      covered: covered[j] as number,
      refused: refused[j] as number,
    })),
  );
}
