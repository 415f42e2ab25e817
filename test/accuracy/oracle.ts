import { ok, type Result } from "../../src/problem/mod.ts";
import { createRandom } from "../../src/stats/mod.ts";
import type {
  DeepReading,
  DrawnPull,
  DrawnRecording,
  Phase,
  PhaseName,
  Reading,
} from "../../src/trace/mod.ts";
import type { DeepPull } from "./judge-pull.ts";
import { faultTelling } from "./telling.ts";

/**
 * A reader that knows the truth: it must meet every target, or the benchmark asks for what cannot be. Its peak is off by
 * a normal error of the standard uncertainty that it states, which k = 2 covers in 95.4 % of cases.
 */
export function readByTruth({ truth, layout, trueForce }: DrawnRecording): Result<Reading> {
  const random = createRandom(truth.seed);
  const pulls = truth.isForce ? truth.pulls : [];
  const codes = truth.faults.flatMap(({ kind, mild }) => (mild ? [] : faultTelling[kind].codes.slice(0, 1)));
  return ok({
    method: { name: "reading", version: "truth" },
    layout,
    rows: trueForce.timeS.length,
    missing: 0,
    pulls: pulls.map((pull, at) => pullOf(pull, at + 1, random.normal(), random.normal())),
    otherLoads: [],
    warnings: codes.map((code) => ({ code, message: code })),
  });
}

function pullOf(pull: DrawnPull, index: number, error: number, settled: number): DeepPull {
  const standardN = 0.001 * pull.peakN;
  const lowerBound = pull.clipped === "plainly" || pull.endCut;
  const r = pull.hold?.settlingPerDecade ?? 0;
  const estimate = r * (1 + 0.02 * settled);
  const interval = [estimate - 1.96 * 0.02 * r, estimate + 1.96 * 0.02 * r] as const;
  const { outcome } = pull;
  const likeliest = outcome === "void" ? "stopped" : outcome;
  const slip = (fall: { timeS: number; fromN: number; toN: number }) => ({ row: 1, ...fall });
  const deep: DeepReading = {
    phases: phasesOf(pull),
    strokes: pull.drive === "strokes" ? 1 : 0,
    energyToPeakJ: pull.workToPeakJ,
    ...(pull.beddingCycles === 0 ? {} : { bedding: { cycles: pull.beddingCycles, lowestN: 0, highestN: 1 } }),
    ...(pull.residualN === undefined ? {} : { residualN: pull.residualN }),
    slips: pull.slips.map(slip),
    peak: {
      valueN: pull.peakN * (lowerBound ? 0.8 : 1) + standardN * error,
      standardN,
      expandedN: 2 * standardN,
      parts: [],
      lowerBound,
    },
    outcome: {
      probabilities: {
        broke: Number(likeliest === "broke"),
        slipped: Number(likeliest === "slipped"),
        stopped: Number(likeliest === "stopped"),
      },
      likeliest,
      reasons: [],
    },
    ...(pull.hold === undefined
      ? {}
      : {
          hold: {
            fromRow: 1,
            toRow: 2,
            startN: pull.hold.forceN,
            endN: pull.hold.forceN,
            settling: {
              perDecade: { value: estimate, interval },
              perDecadeAicc: 0,
              exponent: { value: estimate, interval },
              exponentAicc: 0,
              preferred: "log-time" as const,
            },
          },
        }),
  };
  return {
    index,
    startRow: 1,
    endRow: 2,
    startS: pull.startS,
    endS: pull.endS,
    peakN: pull.peakN,
    peakRow: 1,
    peakTimeS: pull.peakTimeS,
    drops: [],
    end: "collapse",
    noiseN: 1,
    warnings: [],
    deep,
  };
}

/** The phases of the truth in the words of a reading: slack is rest, a let-off is tail, falls among slips are slips. */
function phasesOf(pull: DrawnPull): Phase[] {
  const [first] = pull.slips;
  const slipsUntilS =
    pull.slips.length < 2 ? undefined : pull.phases.findLast(({ phase }) => phase === "slip")?.endS;
  const phases: Phase[] = [];
  for (const { phase, startS, endS } of pull.phases) {
    const among =
      first !== undefined && slipsUntilS !== undefined && startS >= first.timeS && endS <= slipsUntilS;
    const name: PhaseName = among
      ? "slip"
      : phase === "slack" || (phase === "handling" && startS < pull.startS)
        ? "rest"
        : phase === "release" || phase === "handling"
          ? "tail"
          : phase === "slip"
            ? "ramp"
            : phase;
    const last = phases.at(-1);
    if (last?.name === name) phases[phases.length - 1] = { ...last, toS: endS };
    else phases.push({ name, fromRow: 1, toRow: 2, fromS: startS, toS: endS });
  }
  return phases;
}
