import { createRandom, type Random } from "../../stats/mod.ts";
import {
  type Layout,
  type PullSpec,
  type PullTruth,
  simulateRecording,
  writeRecording,
} from "../../trace/mod.ts";
import type { RecordFields } from "../records.ts";
import type { LatentStrengths } from "./latent-strengths.ts";
import {
  benches,
  benchLimitN,
  type DemoDay,
  type DemoRecord,
  days,
  hardware,
  layouts,
  loadCells,
  recipes,
  ropes,
  series,
  spools,
  weakPinYieldsAtN,
} from "./loft.ts";
import { type DemoSpecimen, makeSpecimens } from "./make-specimens.ts";
import { outcomeOf, pullNotes } from "./tell-outcome.ts";

/** The seed with which the demo is loaded: one that shows every outcome, with one pull stopped and one void. */
export const demoSeed = 175;

/** One pull of a demo recording, as its tester would enter it. */
export type DemoPull = {
  /** Which pull of the recording, from 1. */
  readonly recordingPull: number;
  readonly specimenId: string;
  readonly specimenLabel: string;
  readonly benchId: string;
  readonly order: number;
  readonly pulledAt: string;
  readonly operator: string;
  readonly outcome: NonNullable<RecordFields<"pull">["outcome"]>;
  readonly notes: string;
};

/** A logger's file with the pulls in it. */
export type DemoRecording = {
  readonly fileName: string;
  readonly bytes: Uint8Array;
  readonly layoutId: string;
  readonly layout: Layout;
  readonly pulls: readonly DemoPull[];
};

/** What really happened to one specimen: the two strengths that it had, and its pull. */
export type DemoTruth = {
  readonly specimenLabel: string;
  readonly latent: LatentStrengths;
  readonly pull: PullTruth;
};

/** The demo series and all that belongs to it. Records speak of each other by the ids given here. */
export type DemoScenario = {
  readonly ropes: readonly DemoRecord<"rope">[];
  readonly spools: readonly DemoRecord<"spool">[];
  readonly recipes: readonly DemoRecord<"recipe">[];
  readonly hardware: readonly DemoRecord<"hardware">[];
  readonly loadCells: readonly DemoRecord<"load-cell">[];
  readonly benches: readonly DemoRecord<"bench">[];
  readonly layouts: readonly DemoRecord<"layout">[];
  readonly series: DemoRecord<"series">;
  readonly specimens: readonly DemoRecord<"specimen">[];
  /** In the order in which they were made. */
  readonly recordings: readonly DemoRecording[];
  /** One for each pull, in the order of pulling. */
  readonly truth: readonly DemoTruth[];
};

/**
 * The demo series: a sailing school's loft, of our own invention, pulls eyes and loops in two rope sizes with four
 * lengths of bury. Everything in it is simulated. The same seed gives the same records and the same bytes.
 *
 * @param seed of all chance in it; left out, the seed with which a new book's demo is loaded.
 *
 * @example
 * demoScenario().series.fields.simulated // true
 */
export function demoScenario(seed: number = demoSeed): DemoScenario {
  const random = createRandom(seed);
  const specimens = makeSpecimens(seed + 1);
  const inOrder = random.shuffle(specimens);
  const state: LoftState = { pinIsWeak: true, pulled: 0 };
  const recordings: DemoRecording[] = [];
  const truth: DemoTruth[] = [];
  for (const day of days) {
    let startMs = Date.parse(`${day.date}T12:40:00Z`);
    for (const [index, count] of day.pullsByFile.entries()) {
      const startedAt = new Date(startMs).toISOString();
      const file = inOrder.slice(state.pulled, state.pulled + count);
      const made = recordFile(day, index, file, startedAt, state, random);
      recordings.push(made.recording);
      truth.push(...made.truth);
      // Some ten minutes to take a specimen off and hang the next one on.
      startMs += Math.round((550 + 250 * random.uniform()) * 1000) * count;
    }
  }
  const benchesUsed = new Set(recordings.flatMap((recording) => recording.pulls.map((pull) => pull.benchId)));
  return {
    ropes: ropes.map(recordOnly),
    spools,
    recipes: recipes.map(recordOnly),
    hardware,
    loadCells,
    benches: benches.filter((bench) => benchesUsed.has(bench.id)),
    layouts,
    series,
    specimens: specimens.map(recordOnly),
    recordings,
    truth,
  };
}

/** What changes at the loft as the series goes on. */
type LoftState = { pinIsWeak: boolean; pulled: number };

function recordFile(
  day: DemoDay,
  fileIndex: number,
  specimens: readonly DemoSpecimen[],
  startedAt: string,
  state: LoftState,
  random: Random,
): { readonly recording: DemoRecording; readonly truth: readonly DemoTruth[] } {
  const benchIds: string[] = [];
  const specs = specimens.map((specimen) => {
    benchIds.push(`demo-bench-${day.drive}-${state.pinIsWeak ? 12 : 16}`);
    const spec = pullOf(specimen, day, state.pinIsWeak, random);
    const holdsN = Math.min(specimen.latent.slipN, specimen.latent.breakN);
    if (holdsN > weakPinYieldsAtN) state.pinIsWeak = false;
    return spec;
  });
  const [first, ...others] = specs;
  if (first === undefined) throw new Error("the demo's days ask for more pulls than there are specimens");
  const recorded = simulateRecording(
    { pulls: [first, ...others], logger: day.logger, gapS: 25, handlingN: 350 },
    Math.floor(random.uniform() * 2 ** 32),
  );
  // The loft's specs are the program's own: one that cannot be simulated is a bug.
  if (!recorded.ok) throw new Error(recorded.problems.map((problem) => problem.message).join("; "));
  const truth = specimens.map((specimen, index) => ({
    specimenLabel: specimen.label,
    latent: specimen.latent,
    pull: recorded.value.truth[index] as PullTruth,
  }));
  const pulls = specimens.map((specimen, index) => {
    const { pull } = truth[index] as DemoTruth;
    state.pulled += 1;
    return {
      recordingPull: index + 1,
      specimenId: specimen.id,
      specimenLabel: specimen.label,
      benchId: benchIds[index] as string,
      order: state.pulled,
      pulledAt: new Date(Date.parse(startedAt) + Math.round(pull.startS) * 1000).toISOString(),
      operator: day.drive === "hand" ? "maker B" : "maker A",
      outcome: outcomeOf(specimen, pull, random),
      notes: pullNotes(pull),
    };
  });
  return {
    recording: {
      fileName: day.fileName(fileIndex),
      bytes: writeRecording(recorded.value, day.dialect, startedAt),
      layoutId: day.layoutId,
      layout: (layouts.find((layout) => layout.id === day.layoutId) as DemoRecord<"layout">).fields.layout,
      pulls,
    },
    truth,
  };
}

/** HMPE parts at some 3 to 4 % of fibre strain, of which half as much again goes into the braid (from memory). */
const breakingStrain = 0.05;

function pullOf(specimen: DemoSpecimen, day: DemoDay, pinIsWeak: boolean, random: Random): PullSpec {
  const { latent, lineTogetherN, ratedTogetherN, fields } = specimen;
  const lengthM = (fields.finishedLengthMm ?? 1000) / 1000;
  const between = (lowest: number, highest: number): number => lowest + (highest - lowest) * random.uniform();
  return {
    specimen: {
      breakN: latent.breakN,
      slip: {
        strengthN: latent.slipN,
        firstPart: between(0.82, 0.97),
        teeth: 2 + Math.floor(6 * random.uniform()),
      },
      stiffnessNPerM: lineTogetherN / (breakingStrain * lengthM),
      // A soft toe of about a hundredth of the length, from seating splices and strands (common practice, no published source).
      toeM: lengthM * between(0.008, 0.016),
      slackM: between(0.006, 0.02),
      strandBreaks: random.uniform() < 0.5 ? 0 : 1 + Math.floor(2 * random.uniform()),
      partsInTwoSteps: random.uniform() < 0.15,
    },
    drive:
      day.drive === "hand"
        ? {
            kind: "strokes",
            strokeM: 0.0042,
            riseS: between(0.6, 0.9),
            pauseS: between(0.35, 0.6),
            pauseLoss: 0.011,
          }
        : { kind: "steady", speedMPerS: 0.0035 },
    set: {
      forceN: 0.15 * ratedTogetherN * between(0.93, 1.07),
      holdS: between(12, 16),
      settlingPerDecade: between(0.014, 0.026),
    },
    stopAtN: benchLimitN,
    ...(pinIsWeak ? { yieldAtN: weakPinYieldsAtN } : {}),
    restS: between(1.5, 3.5),
    tailS: between(3, 6),
  };
}

function recordOnly<Fields>({ id, fields }: { readonly id: string; readonly fields: Fields }) {
  return { id, fields };
}
