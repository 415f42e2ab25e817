import { boundaryNames } from "./boundaries.ts";
import type { JudgedPull } from "./judge-pull.ts";
import { outcomes, quantities } from "./judge-pull.ts";
import type { JudgedRecording } from "./judge-recording.ts";

/** One line of the table: what was to be reached, and what was. */
export type Line = {
  readonly what: string;
  readonly target?: { readonly least?: number; readonly most?: number };
  /** A part of `of`; absent where the reading does not give it. */
  readonly share?: number;
  readonly of: number;
  /** Absent where there is no target. */
  readonly met?: boolean;
  /** Seeds of recordings in which it failed. */
  readonly failed: readonly number[];
};

export type Tally = {
  readonly lines: readonly Line[];
  readonly boundaries: readonly Line[];
  readonly quantities: readonly Line[];
  readonly faults: readonly Line[];
  readonly alarms: Readonly<Record<string, number>>;
  readonly brier?: number;
  readonly reliability: readonly Bin[];
  /** Errors of the peak over their standard uncertainty: near 0 and near 1 where the budget is right. */
  readonly z?: { readonly mean: number; readonly deviation: number };
};

/** Probabilities from one bound to the next: what was said on average, and how often it was so. */
export type Bin = {
  readonly from: number;
  readonly to: number;
  readonly count: number;
  readonly said: number;
  readonly was: number;
};

/** Sums up judged recordings. Each target is the one that docs/accuracy.md states. */
export function tally(recordings: readonly JudgedRecording[]): Tally {
  const pulls: Case<JudgedPull>[] = recordings.flatMap(({ seed, pulls: read }) =>
    (read?.each ?? []).map((one) => ({ seed, one })),
  );
  const files = recordings.map((one) => ({ seed: one.seed, one }));
  const points = pulls.filter(({ one }) => one.peak?.kind === "point");
  const bounds = pulls.filter(({ one }) => one.peak?.kind === "lower bound");
  const deep = pulls.some(({ one }) => one.falseSlips !== undefined);
  const settled = pulls.filter(({ one }) => one.settling !== undefined);
  const byHand = pulls.filter(({ one }) => one.byHand);
  const judgedEnds = pulls.filter(({ one }) => one.outcome !== undefined);
  const boundaries = pulls.flatMap(({ seed, one }) =>
    (one.boundaries ?? []).map((boundary) => ({ seed, one: boundary })),
  );
  const said = pulls.flatMap(({ seed, one }) =>
    (one.quantities ?? []).map((quantity) => ({ seed, one: quantity })),
  );
  const faults = files.flatMap(({ seed, one }) => one.faults.map((fault) => ({ seed, one: fault })));
  const givenPeak = pulls.some(({ one }) => one.peak?.given === true);
  const lines = [
    line(
      "pulls counted exactly",
      files.filter(({ one }) => one.pulls !== undefined),
      {
        passes: (one) => one.pulls?.exact === true,
        target: { least: 0.995 },
      },
    ),
    line("true peak inside the expanded uncertainty", points, {
      passes: (one) => one.peak?.right === true,
      target: { least: 0.95, most: 0.995 },
      given: givenPeak,
    }),
    line("  a peak that was cut off is told as a lower bound, and is one", bounds, {
      passes: (one) => one.peak?.right === true,
      given: givenPeak,
    }),
    line("phase boundaries within max(0.1 s, 2 samples)", boundaries, {
      passes: (one) => one.right,
      target: { least: 0.98 },
      given: deep,
    }),
    line(
      "settling per decade inside its 95 % interval",
      settled.filter(({ one }) => one.settling?.given === true),
      { passes: (one) => one.settling?.inside === true, target: { least: 0.93, most: 0.97 } },
    ),
    line("  holds for which settling is given", settled, {
      passes: (one) => one.settling?.given === true,
      given: deep,
    }),
    line(
      "slips found, each and no other",
      pulls.filter(({ one }) => one.slips !== undefined),
      {
        passes: (one) => one.slips?.exact === true,
        target: { least: 0.97 },
        given: deep,
      },
    ),
    line("pulls by hand jack with a false slip", byHand, {
      passes: (one) => one.falseSlips === 0,
      counts: "failures",
      target: { most: 0.01 },
      given: deep,
    }),
    line(
      "  steady pulls with a false slip",
      pulls.filter(({ one }) => !one.byHand),
      {
        passes: (one) => one.falseSlips === 0,
        counts: "failures",
        given: deep,
      },
    ),
    line("likeliest outcome right", judgedEnds, {
      passes: ({ outcome }) => outcome?.likeliest === outcome?.truth,
      target: { least: 0.97 },
      given: judgedEnds.some(({ one }) => one.outcome?.likeliest !== undefined),
    }),
    line("planted faults told", faults, { passes: (one) => one.told, target: { least: 0.99 } }),
    line("recordings with a false alarm", files, {
      passes: (one) => one.alarms.length === 0,
      counts: "failures",
      target: { most: 0.01 },
    }),
    line(
      "  recordings refused that hold a force",
      files.filter(({ one }) => one.pulls !== undefined),
      {
        passes: (one) => one.refused === undefined,
        counts: "failures",
      },
    ),
  ];
  const kinds = [...new Set(faults.map(({ one }) => one.kind))].sort();
  const alarms: Record<string, number> = {};
  for (const code of recordings.flatMap((one) => one.alarms)) alarms[code] = (alarms[code] ?? 0) + 1;
  return {
    lines,
    boundaries: boundaryNames.map((name) =>
      line(
        name,
        boundaries.filter(({ one }) => one.name === name),
        { passes: (one) => one.right, given: deep },
      ),
    ),
    quantities: quantities.map((name) =>
      line(
        name,
        said.filter(({ one }) => one.name === name),
        { passes: (one) => one.right },
      ),
    ),
    faults: kinds.map((kind) =>
      line(
        kind,
        faults.filter(({ one }) => one.kind === kind),
        { passes: (one) => one.told },
      ),
    ),
    alarms,
    ...scores(judgedEnds.map(({ one }) => one)),
    ...errors(points.map(({ one }) => one)),
  };
}

type Case<T> = { readonly seed: number; readonly one: T };

function line<T>(
  what: string,
  cases: readonly Case<T>[],
  how: {
    readonly passes: (one: T) => boolean;
    readonly target?: { readonly least?: number; readonly most?: number };
    /** What the share counts; left out: what passed. */
    readonly counts?: "failures";
    readonly given?: boolean;
  },
): Line {
  const { target } = how;
  const failing = cases.filter(({ one }) => !how.passes(one));
  const failed = [...new Set(failing.map(({ seed }) => seed))];
  const given = (how.given ?? true) && cases.length > 0;
  if (!given) return { what, of: cases.length, failed: [], ...(target ? { target, met: false } : {}) };
  const part = failing.length / cases.length;
  const share = how.counts === "failures" ? part : 1 - part;
  const met = target && share >= (target.least ?? 0) && share <= (target.most ?? 1);
  return {
    what,
    share,
    of: cases.length,
    failed,
    ...(target === undefined ? {} : { target, met: met === true }),
  };
}

/** Brier's score over the three kinds, and how often what was said with a probability was so. */
function scores(pulls: readonly JudgedPull[]): Pick<Tally, "brier" | "reliability"> {
  let sum = 0;
  let count = 0;
  const bins = Array.from({ length: 10 }, () => ({ count: 0, said: 0, was: 0 }));
  for (const { outcome } of pulls) {
    if (outcome?.probabilities === undefined) continue;
    count++;
    for (const kind of outcomes) {
      const said = outcome.probabilities[kind];
      const was = kind === outcome.truth ? 1 : 0;
      sum += (said - was) ** 2;
      const bin = bins[Math.min(9, Math.floor(10 * said))];
      if (bin === undefined) continue;
      bin.count++;
      bin.said += said;
      bin.was += was;
    }
  }
  if (count === 0) return { reliability: [] };
  return {
    brier: sum / count,
    reliability: bins.flatMap((bin, at) =>
      bin.count === 0
        ? []
        : [
            {
              from: at / 10,
              to: (at + 1) / 10,
              count: bin.count,
              said: bin.said / bin.count,
              was: bin.was / bin.count,
            },
          ],
    ),
  };
}

function errors(pulls: readonly JudgedPull[]): Pick<Tally, "z"> {
  const z = pulls.flatMap(({ peak }) => (peak?.z === undefined ? [] : [peak.z]));
  if (z.length < 2) return {};
  const mean = z.reduce((sum, value) => sum + value, 0) / z.length;
  const square = z.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (z.length - 1);
  return { z: { mean, deviation: Math.sqrt(square) } };
}
