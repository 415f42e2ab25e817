import { type Row, shares, sizes } from "./cells.ts";
import { laws } from "./laws.ts";
import { confidence, type Subject, subjects } from "./subjects.ts";

const order = (row: Row) =>
  [
    subjects.findIndex(({ name }) => name === row.subject),
    subjects.find(({ name }) => name === row.subject)?.targets.findIndex(({ name }) => name === row.target) ??
      0,
    laws.findIndex(({ name }) => name === row.law),
    row.share,
    row.n,
  ] as const;

function inOrder(rows: readonly Row[]): Row[] {
  return rows.toSorted((a, b) => {
    const [x, y] = [order(a), order(b)];
    const at = x.findIndex((value, i) => value !== y[i]);
    return at < 0 ? 0 : (x[at] as number) - (y[at] as number);
  });
}

const fields = ["subject", "target", "law", "n", "share", "nominal", "draws", "covered", "refused"] as const;

/** One line for each row, so that a change is seen as the change of a line. */
export function writeTable(rows: readonly Row[]): string {
  const lines = inOrder(rows).map((row) => JSON.stringify(fields.map((field) => row[field])));
  return `{"fields":${JSON.stringify(fields)},\n"rows":[\n${lines.join(",\n")}\n]}\n`;
}

export function readTable(text: string): Row[] {
  const { rows } = JSON.parse(text) as { rows: (string | number)[][] };
  return rows.map((row) => Object.fromEntries(fields.map((field, i) => [field, row[i]])) as unknown as Row);
}

/** The page for readers: one table for each statement. */
export function writePage(rows: readonly Row[], seed: number): string {
  const known = inOrder(rows);
  const parts = subjects.flatMap((subject) => {
    const own = known.filter((row) => row.subject === subject.name);
    return own.length === 0 ? [] : [section(subject, own)];
  });
  return `${opening(seed)}\n${parts.join("\n")}`;
}

function opening(seed: number): string {
  return `# Coverage

Written by \`npm run coverage\` from seed ${seed}; do not edit. The figures are beside it in coverage.json.

How often does a statement hold that claims a confidence? Pulls are drawn from a population whose truth is known, the
statement is worked out from them, and it is seen whether the truth lies where it says. For a lower bound: whether the bound
lies at or below the value that the stated share of the population exceeds. Each figure is the share of draws in per cent
± its Monte Carlo standard error. "refused": of all draws, the share in which no statement was made because the pulls did
not allow it (too few that broke, no scatter); the figure is of the others. "-": refused in every draw.

Populations: ${laws.map(({ described }) => described).join("; ")}.

Stopped pulls ("20 %" is the average over draws): something else fails first, whose strength is drawn anew for each pull
from the rope's own law, made stronger or weaker (log-normal, Weibull: by a factor; else: by an amount) so that the share
comes out. The pull then counts as "at least". Each statement meets the same pulls.

A method is exact only under its own law: rows marked * are those where its assumption holds (for hanson-koopmans it then
promises at least its confidence). The others show what it costs to be wrong about the law.

In words: "as claimed" where every figure of the row lies within four of its Monte Carlo standard errors of what is claimed;
else by how many points, and at which n, the row falls short most, and is cautious most (holds more often than it says).

The Weibull bound, and the normal and log-normal ones with stopped pulls, take a search for each draw. Here it is asked
instead with what confidence the bound would pass the truth, by sums of their own; the bound lies below the truth where that
is at most the confidence claimed. Draws too close for the sums to place are given to the calculation itself, and of the first
draw and every 25,000th after it the calculation's bound is held against them. No draw is weighted, none is used twice.
`;
}

function section(subject: Subject, rows: readonly Row[]): string {
  const targets = subject.targets.flatMap((target) => {
    const own = rows.filter((row) => row.target === target.name);
    return own.length === 0 ? [] : [tableOf(subject, target.name, own)];
  });
  const notes = [
    ...(subject.completeOnly && subject.targets.some(({ name }) => name.endsWith("above"))
      ? ["Refuses pulls that were stopped, so only complete draws are shown."]
      : []),
    ...(subject.twins && rows.some((row) => row.law === "Weibull 20") ? [twinsNote] : []),
  ];
  return [
    `## ${subject.name}\n`,
    `${verdict(subject, rows)}\n`,
    ...notes.map((note) => `${note}\n`),
    ...targets,
  ].join("\n");
}

const twinsNote =
  "Of the Weibull laws shape 20 was drawn: 10 and 40 give the same, draw by draw, since the calculation moves and stretches with the logarithms.";

function tableOf(subject: Subject, target: string, rows: readonly Row[]): string {
  const nominal = sizes.map((n) => rows.find((row) => row.n === n)?.nominal);
  const same = nominal.every((value) => value === nominal[0]);
  const head = [
    `**${target}**${same ? `, claims ${percent(nominal[0] ?? confidence)} %` : ""}\n`,
    `| population | stopped | draws | ${sizes.map((n) => `n = ${n}`).join(" | ")} | in words |`,
    `|---|---|---|${sizes.map(() => "---|").join("")}---|`,
    ...(same
      ? []
      : [
          `| claims | | | ${nominal.map((value) => (value === undefined ? "" : percent(value))).join(" | ")} | |`,
        ]),
  ];
  const lines = laws.flatMap((law) =>
    shares.flatMap((share) => {
      const own = rows.filter((row) => row.law === law.name && row.share === share);
      if (own.length === 0) return [];
      const star = subject.holds(law, share, target) ? " *" : "";
      const cells = sizes.map((n) => cellOf(own.find((row) => row.n === n)));
      return [
        `| ${law.name}${star} | ${100 * share} % | ${drawsOf(own)} | ${cells.join(" | ")} | ${inWords(own)} |`,
      ];
    }),
  );
  return `${[...head, ...lines].join("\n")}\n`;
}

function drawsOf(rows: readonly Row[]): string {
  return [...new Set(rows.map(({ draws }) => draws.toLocaleString("en")))].join(" to ");
}

/** What a row of figures comes to. */
function inWords(rows: readonly Row[]): string {
  const judged = rows.filter((row) => row.draws > row.refused);
  if (judged.length === 0) return "refused: too few pulls";
  const beyond = judged.filter((row) => Math.abs(offOf(row)) > 4 * coverage(row).error);
  if (beyond.length === 0) return "as claimed";
  const lowest = beyond.reduce((a, b) => (offOf(b) < offOf(a) ? b : a));
  const highest = beyond.reduce((a, b) => (offOf(b) > offOf(a) ? b : a));
  const points = (row: Row) => `by up to ${(100 * Math.abs(offOf(row))).toFixed(1)} points (n = ${row.n})`;
  return [
    ...(offOf(lowest) < 0 ? [`falls short ${points(lowest)}`] : ["holds"]),
    ...(offOf(highest) > 0 ? [`cautious ${points(highest)}`] : []),
  ].join(", ");
}

function offOf(row: Row): number {
  return coverage(row).share - row.nominal;
}

function cellOf(row: Row | undefined): string {
  if (row === undefined) return "";
  const judged = row.draws - row.refused;
  if (judged === 0) return "-";
  const { share, error } = coverage(row);
  const refused = row.refused === 0 ? "" : ` (${percent(row.refused / row.draws)} % refused)`;
  return `${(100 * share).toFixed(1)} ± ${(100 * error).toFixed(2)}${refused}`;
}

/** The share covered of the draws judged, and its standard error, which is never quite 0. */
export function coverage({ covered, draws, refused }: Row): {
  readonly share: number;
  readonly error: number;
} {
  const judged = draws - refused;
  const share = covered / judged;
  const safe = (covered + 1) / (judged + 2);
  return { share, error: Math.sqrt((safe * (1 - safe)) / judged) };
}

/** In one or two sentences: how far off where the assumption holds, and where it does not. */
function verdict(subject: Subject, rows: readonly Row[]): string {
  const judged = rows.filter((row) => row.draws > row.refused);
  const isOwn = (row: Row) => {
    const law = laws.find(({ name }) => name === row.law);
    return law !== undefined && subject.holds(law, row.share, row.target);
  };
  const atLeast = subject.name === "hanson-koopmans" || subject.name === "distribution-free";
  const own = judged.filter(isOwn);
  const complete = own.filter((row) => row.share === 0);
  const stopped = own.filter((row) => row.share > 0);
  const other = judged.filter((row) => !isOwn(row));
  return [
    ...(complete.length === 0
      ? []
      : [`Where it assumes rightly, of complete draws: ${offBy(complete, atLeast)}.`]),
    ...(stopped.length === 0 ? [] : [`With stopped pulls: ${offBy(stopped, atLeast)}.`]),
    ...(other.length === 0 ? [] : [`Elsewhere: ${worst(other)}.`]),
  ].join(" ");
}

function offBy(rows: readonly Row[], atLeast: boolean): string {
  const beyond = rows.filter((row) => {
    const { share, error } = coverage(row);
    const below = row.nominal - share;
    return (atLeast ? below : Math.abs(below)) > 4 * error;
  });
  const most = Math.max(...rows.map((row) => coverage(row).error));
  if (beyond.length === 0)
    return `${atLeast ? "never below" : "as"} claimed, within four Monte Carlo standard errors (at most ${(100 * most).toFixed(2)} points each)`;
  const sentences = [worst(beyond, "low"), worst(beyond, "high")].filter((text) => text !== "");
  return `${beyond.length} of ${rows.length} figures are off by more than four Monte Carlo standard errors; ${sentences.join("; ")}`;
}

function worst(rows: readonly Row[], side?: "low" | "high"): string {
  if (side === "high") {
    const top = rows.reduce((a, b) => (offOf(b) > offOf(a) ? b : a));
    return offOf(top) > 0 ? `the most cautious covers ${stated(top)}` : "";
  }
  const low = rows.reduce((a, b) => (offOf(b) < offOf(a) ? b : a));
  if (offOf(low) >= 0) return side === "low" ? "" : "it covers at least as often as claimed";
  return `the worst covers ${stated(low)}`;
}

function stated(row: Row): string {
  const { share, error } = coverage(row);
  const stop = row.share > 0 ? `, ${100 * row.share} % stopped` : "";
  return `${(100 * share).toFixed(1)} ± ${(100 * error).toFixed(2)} % where ${percent(row.nominal)} % is claimed (${row.target}; ${row.law}, n = ${row.n}${stop})`;
}

function percent(share: number): string {
  return String(Number((100 * share).toFixed(1)));
}
