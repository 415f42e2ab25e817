import table from "../../../docs/methods/coverage.json";
import type { LowerBoundMethod } from "../../stats/mod.ts";

/** How often one method's bounds held, out of a hundred, in draws whose truth is known. */
export type CoverageOfMethod = {
  /** The share of the specimens that the bounds were to lie below. */
  readonly target: string;
  readonly sizes: readonly number[];
  /** How many of a hundred should hold, for each n. */
  readonly should: readonly number[];
  readonly rows: readonly CoverageOfScatter[];
};

export type CoverageOfScatter = {
  /** The scatter in words, with the share of stopped pulls where there are any. */
  readonly scatter: string;
  readonly assumed: boolean;
  /** For each n; undefined where no bound is given from so few pulls. */
  readonly held: readonly (number | undefined)[];
};

type Row = {
  readonly target: string;
  readonly law: string;
  readonly n: number;
  readonly share: number;
  readonly nominal: number;
  readonly judged: number;
  readonly covered: number;
};

/** One Weibull law stands for all: what one shape shows, the others do. */
const scatters: Readonly<Record<string, { readonly words: string; readonly assumedBy: readonly string[] }>> =
  {
    normal: {
      words: "normal",
      assumedBy: ["lowest", "distribution-free", "hanson-koopmans", "mean-3sd", "normal"],
    },
    "log-normal": {
      words: "log-normal",
      assumedBy: ["lowest", "distribution-free", "hanson-koopmans", "lognormal"],
    },
    "Weibull 20": {
      words: "Weibull",
      assumedBy: ["lowest", "distribution-free", "hanson-koopmans", "weibull"],
    },
    "two modes": { words: "two-mode", assumedBy: ["lowest", "distribution-free"] },
  };

const stoppedWords: Readonly<Record<string, string>> = {
  "0.2": ", 1 pull in 5 stopped",
  "0.4": ", 2 pulls in 5 stopped",
};

/**
 * The coverage table of docs/methods, for one method: complete pulls of every scatter, and stopped ones where the method is
 * made for it. Bounds for 95 % of the specimens, or for 90 % where no size drawn allows the stricter one.
 */
export function coverageOf(method: LowerBoundMethod): CoverageOfMethod {
  const all = rowsOf(method);
  const targets = [...new Set(all.map(({ target }) => target))];
  const target = targets.find((name) => all.some((row) => row.target === name && row.judged > 0)) ?? "";
  const own = all.filter((row) => row.target === target);
  const sizes = [...new Set(own.map(({ n }) => n))];
  const rows = Object.entries(scatters).flatMap(([law, { words, assumedBy }]) =>
    [0, 0.2, 0.4].flatMap((share) => {
      const of = own.filter((row) => row.law === law && row.share === share);
      const assumed = assumedBy.includes(method);
      if (of.length === 0 || (share > 0 && !assumed)) return [];
      const held = sizes.map((n) => {
        const row = of.find((one) => one.n === n);
        return row === undefined || row.judged === 0 ? undefined : (100 * row.covered) / row.judged;
      });
      return [{ scatter: `${words}${stoppedWords[share] ?? ""}`, assumed, held }];
    }),
  );
  const should = sizes.map((n) => 100 * (own.find((row) => row.n === n)?.nominal ?? 0));
  return { target: target.replace(" above", ""), sizes, should, rows };
}

/** In one or two sentences: what should hold, and where it held least often for what it says. */
export function coverageSentences(given: CoverageOfMethod): string {
  const { sizes, should, rows } = given;
  const least = Math.min(...should);
  const same = least === Math.max(...should);
  const claim = same
    ? `Of 100 such bounds ${inHundred(least)} should hold.`
    : `It claims what its n allows: of 100 such bounds ${inHundred(least)} should hold at n = ${sizes[0]} and ${inHundred(should.at(-1) ?? 0)} at n = ${sizes.at(-1)}.`;
  const cells = rows.flatMap((row) =>
    row.held.flatMap((held, i) =>
      held === undefined ? [] : [{ row, at: i, held, should: should[i] as number }],
    ),
  );
  const [first, ...others] = cells;
  if (first === undefined) return `${claim} So few pulls allow none.`;
  const worst = others.reduce((a, b) => (b.should - b.held > a.should - a.held ? b : a), first);
  if (!fallsShort(worst.held, worst.should))
    return `${claim} At every n and with every scatter tried they did.`;
  const handful = cells.find(({ row, at }) => row === worst.row && sizes[at] === 5);
  const told = [...new Set([handful, worst])].flatMap((cell) => {
    if (cell === undefined) return [];
    const where = same ? "" : ` where ${inHundred(cell.should)} should`;
    return [`${inHundred(cell.held)} did at n = ${sizes[cell.at]}${where}`];
  });
  return `${claim} With ${worst.row.scatter} scatter ${told.join(", and ")}.`;
}

/** Whether fewer held than should, by half a bound of a hundred and in the whole figures that are shown. */
export function fallsShort(held: number, should: number): boolean {
  return should - held > 0.5 && Math.round(held) < Math.round(should);
}

/** Whole bounds of a hundred; what is short of all is not all. */
export function inHundred(held: number): string {
  return held > 99.5 && held < 100 ? "over 99" : String(Math.round(held));
}

function rowsOf(method: LowerBoundMethod): Row[] {
  const column = (name: string) => table.fields.indexOf(name);
  const [target, law, n] = [column("target"), column("law"), column("n")];
  const [share, nominal] = [column("share"), column("nominal")];
  const [draws, covered, refused] = [column("draws"), column("covered"), column("refused")];
  return (table.rows as readonly (readonly (string | number)[])[])
    .filter((row) => row[column("subject")] === method)
    .map((row) => ({
      target: String(row[target]),
      law: String(row[law]),
      n: Number(row[n]),
      share: Number(row[share]),
      nominal: Number(row[nominal]),
      judged: Number(row[draws]) - Number(row[refused]),
      covered: Number(row[covered]),
    }));
}
