import { ok, type Problem, type Result, refuse, type Warning } from "../problem/mod.ts";
import { lowerBound } from "../stats/mod.ts";
import { type ChancePart, customaryCv, type PulledPopulation, weakestPart } from "./chance/weakest-part.ts";
import { inFigures } from "./in-figures.ts";
import type { RigFields, RigPart } from "./rig.ts";
import { type ForceRange, type RigForces, rangeWords, rigForces } from "./rig-forces.ts";
import { worseLoss } from "./sharing/worse-loss.ts";
import { wraps as wrapsHold } from "./sharing/wraps.ts";

/** The pulls of one cell of a series, as the book has them. */
export type PullsOfCell = {
  readonly seriesId: string;
  readonly cell: string;
  readonly pullsN: readonly number[];
  readonly stopped: readonly boolean[];
  /** Made by a program: it permits nothing. */
  readonly simulated: boolean;
};

export type AssessedPart = {
  readonly name: string;
  /** Force on one of those side by side. */
  readonly force: ForceRange;
  /** What may be stated of its strength as it sits in the rig: a lower bound of pulls, or the rating less what it means. */
  readonly statedN?: number;
  readonly statedBy: string;
  readonly n?: number;
  /** Stated strength over the highest force. */
  readonly margin?: number;
  readonly chanceFails?: number;
  readonly chanceFirst?: number;
  /** By how much the load at the chance asked for would rise if this part were a tenth stronger. */
  readonly gain?: number;
};

export type AssessedRig = {
  readonly forces: RigForces;
  readonly parts: readonly AssessedPart[];
  /** P(any part fails) at the highest force; absent with the reason among the warnings. */
  readonly chanceAny?: number;
  /** How many times the rig's load brings that chance to 1 in 1000. */
  readonly timesLoadAtChance?: number;
  /** What it comes to, each with its numbers. */
  readonly sentences: readonly string[];
  /** What is not in these numbers. */
  readonly notConsidered: readonly string[];
};

const chance = 0.001;

/**
 * In this rig, which part is the weakest, and with what margin?
 *
 * Forces by statics at both ends of what is not known; strengths from the book's pulls (95/95 normal tolerance bound as the
 * stated figure, predictive law for the chance) or from ratings. Termination and bend are not multiplied: a bend that the
 * pulls did not have counts where it leaves less. Wraps hold between an uneven and an even share; the low end counts. Refused:
 * a rig without parts, a place that its load does not have, a part whose strength nobody knows, fewer than three pulls.
 * Nothing here is called safe, and nothing is for people.
 * Source: docs/methods/weakest-part.md, line-point-load.md, wraps.md, worse-loss.md.
 *
 * @example
 * const answer = assessRig(rig, pullsOfCells);
 * answer.ok && answer.value.sentences[0] // "The weakest part is “loop” (first to fail with 92 %)."
 */
export function assessRig(rig: RigFields, book: readonly PullsOfCell[]): Result<AssessedRig> {
  const forces = rigForces(rig.load);
  if (!forces.ok) return forces;
  const problems = problemsOf(rig, forces.value, book);
  const [problem, ...others] = problems;
  if (problem !== undefined) return refuse(problem, ...others);
  const doubts: Warning[] = [...forces.warnings];
  const sited = rig.parts.map((part) => site(part, forces.value, book));
  const loadN = Math.max(...sited.map(({ force }) => force.highN));
  if (!(loadN > 0))
    return refuse({
      code: "RIG_IMPOSSIBLE",
      message: "Nothing pulls on this rig.",
      where: { field: "load" },
      found: "0 N",
      expected: "a load above 0",
    });
  // Parts of the same cell share its unknown mean and scatter: one population for all of them.
  const populations = new Map(
    sited.flatMap(({ population }) => (population === undefined ? [] : [[population.name, population]])),
  );
  const weakest = weakestPart({
    loadN,
    chance,
    populations: [...populations.values()],
    parts: sited.map(({ part, force, population, retention, times }): ChancePart => {
      // A part that keeps only some of its strength, or holds by several turns, carries that much more, or less, of the load.
      const share = force.highN / loadN / (retention * times);
      const common = { name: part.name, share, count: part.count * part.sideBySide * legsOf(rig, part) };
      if (population !== undefined) return { ...common, population: population.name };
      const { strength } = part;
      if (strength.from !== "rating") return common;
      const { ratedN, ratingMeans, cv } = strength;
      return { ...common, ratedN, ratingMeans, ...(cv === undefined ? {} : { cv }) };
    }),
  });
  if (!weakest.ok)
    return { ok: false, problems: weakest.problems.map(inWordsOf(sited, [...populations.keys()])) };
  doubts.push(...weakest.warnings);
  const parts = sited.map((one, i): AssessedPart => {
    const told = weakest.value.parts[i];
    const stated = stateStrength(one);
    return {
      name: one.part.name,
      force: one.force,
      ...stated,
      ...(stated.statedN === undefined ? {} : { margin: stated.statedN / one.force.highN }),
      ...(told === undefined
        ? {}
        : { chanceFails: told.chanceFails, chanceFirst: told.chanceFirst, gain: told.gain }),
    };
  });
  if (sited.some(({ simulated }) => simulated))
    doubts.push({
      code: "RIG_SIMULATED",
      message: "Pulls in this rig were made by a program. They permit nothing at all.",
      where: { field: "parts" },
    });
  const timesLoadAtChance = weakest.value.loadAtChanceN / loadN;
  return ok(
    {
      forces: forces.value,
      parts,
      chanceAny: weakest.value.chanceAny,
      timesLoadAtChance,
      sentences: sentencesOf(rig, parts, forces.value, weakest.value.chanceAny, timesLoadAtChance),
      notConsidered: notConsidered(rig),
    },
    doubts,
  );
}

/** A part in each leg is there as often as legs carry. */
const legsOf = ({ load }: RigFields, { place }: RigPart): number => {
  if (place !== "in each leg") return 1;
  if (load.kind === "lift") return load.legsCounted ?? load.legs;
  // Both legs of a basket are one sling, and its tighter leg counts.
  return load.kind === "basket" || load.kind === "choke" ? load.slings : 1;
};

type Sited = {
  readonly part: RigPart;
  readonly force: ForceRange;
  readonly population?: PulledPopulation;
  readonly simulated: boolean;
  /** Share of strength that a bend leaves, and how many single strengths the turns hold at worst. */
  readonly retention: number;
  readonly times: number;
};

function site(part: RigPart, { places }: RigForces, book: readonly PullsOfCell[]): Sited {
  const { strength, sideBySide, largestShare = 1 / sideBySide } = part;
  const whole = places[part.place] as ForceRange;
  const force = { lowN: whole.lowN * largestShare, highN: whole.highN * largestShare };
  const pulls = pullsOf(part, book);
  const loss = worseLoss({ termination: 1, bend: part.bendRetention ?? 1 });
  const held = wrapsHold({ legN: 1, wraps: part.wraps });
  return {
    part,
    force,
    ...(pulls === undefined || strength.from !== "pulls"
      ? {}
      : {
          population: {
            name: `${strength.seriesId} ${strength.cell}`,
            pullsN: pulls.pullsN,
            stopped: pulls.stopped,
          },
        }),
    simulated: pulls?.simulated ?? false,
    retention: loss.ok ? loss.value.retention : 1,
    // One turn was pulled: it held two legs' worth.
    times: part.wraps === 1 || !held.ok ? 1 : held.value.lowLegs / 2,
  };
}

/** A problem of a population or a part in the rig's own words: which part it is about. */
function inWordsOf(sited: readonly Sited[], names: readonly string[]): (problem: Problem) => Problem {
  return (problem) => {
    const [, list, number] = /^(populations|parts)\[(\d+)\]/.exec(problem.where?.field ?? "") ?? [];
    if (number === undefined) return problem;
    const at =
      list === "parts"
        ? Number(number)
        : sited.findIndex(({ population }) => population?.name === names[Number(number)]);
    const name = sited[at]?.part.name ?? "";
    return {
      ...problem,
      message: `“${name}”: ${problem.message}`,
      where: { field: `parts[${at}].strength` },
    };
  };
}

const pullsOf = ({ strength }: RigPart, book: readonly PullsOfCell[]) =>
  strength.from === "pulls"
    ? book.find(({ seriesId, cell }) => seriesId === strength.seriesId && cell === strength.cell)
    : undefined;

function stateStrength({ part, population, retention, times }: Sited): {
  readonly statedN?: number;
  readonly statedBy: string;
  readonly n?: number;
} {
  const { strength } = part;
  if (strength.from === "rating") {
    const { ratedN, ratingMeans, cv = customaryCv } = strength;
    const leastN = ratingMeans === "mean" ? ratedN * (1 - 3 * cv) : ratedN;
    return {
      statedN: leastN * retention * times,
      statedBy: ratingMeans === "mean" ? "rating, a mean, less three standard deviations" : "rating",
    };
  }
  if (population === undefined) return { statedBy: "not known" };
  const { pullsN, stopped = [] } = population;
  const bound = lowerBound({ values: pullsN, censored: stopped, method: "normal" });
  const n = pullsN.length;
  if (!bound.ok || !(bound.value.bound > 0))
    return { statedBy: `too few of ${n} pulls to state a strength`, n };
  return {
    statedN: bound.value.bound * retention * times,
    statedBy: `95/95 lower tolerance bound of ${n} pulls`,
    n,
  };
}

function sentencesOf(
  rig: RigFields,
  parts: readonly AssessedPart[],
  forces: RigForces,
  chanceAny: number,
  timesLoad: number,
): string[] {
  const first = [...parts].sort((a, b) => (b.chanceFirst ?? 0) - (a.chanceFirst ?? 0))[0];
  const least = [...parts]
    .filter(({ margin }) => margin !== undefined)
    .sort((a, b) => (a.margin ?? 0) - (b.margin ?? 0))[0];
  const best = [...parts].sort((a, b) => (b.gain ?? 0) - (a.gain ?? 0))[0];
  const per = (share = 0) => `${inFigures(100 * share, 2)} %`;
  const sentences = [...forces.because];
  if (first !== undefined && parts.length > 1)
    sentences.push(
      `As the load grows, “${first.name}” is the likeliest to give way first: ${Math.round(100 * (first.chanceFirst ?? 0))} of 100 times.`,
    );
  if (least?.margin !== undefined)
    sentences.push(
      `The least margin is that of “${least.name}”: ${inFigures((least.statedN ?? 0) / 1000, 3)} kN stated (${least.statedBy}) over ${rangeWords({ ...least.force, lowN: least.force.highN })}, a factor of ${inFigures(least.margin, 2)}.`,
    );
  sentences.push(
    `That anything gives way at this load has a chance of ${chanceAny < 1e-6 ? "less than 1 in a million" : chanceAny < 0.01 ? `1 in ${Number((1 / chanceAny).toPrecision(2))}` : per(chanceAny)}, with the scatter of these few pulls carried through; at ${inFigures(timesLoad, 2)} times the load it would be 1 in 1000.`,
  );
  if (best?.gain !== undefined && parts.length > 1)
    sentences.push(
      `Most is won at “${best.name}”: a tenth more strength there raises that load by ${per(best.gain)}.`,
    );
  if (rig.wantedFactor !== undefined && least?.margin !== undefined)
    sentences.push(
      least.margin >= rig.wantedFactor
        ? `The factor of ${rig.wantedFactor} that you ask for is met by every part with a stated strength.`
        : `The factor of ${rig.wantedFactor} that you ask for is not met by ${parts
            .filter(({ margin }) => margin !== undefined && margin < (rig.wantedFactor ?? 0))
            .map(({ name }) => `“${name}”`)
            .join(", ")}.`,
    );
  return sentences;
}

function notConsidered(rig: RigFields): string[] {
  const always = [
    "Shock, swing, wind and ice beyond the load that was given.",
    "Edges, crossed or twisted parts, knots, wear, cuts, knocks and age.",
    "What the anchors are fastened to.",
    "Long-held load: HMPE creeps under load for days and months, more so when warm.",
    "Sun and heat: HMPE loses strength when warm and is not for lasting use above about 65 to 70 °C (from memory).",
    "People: for their lives only certified equipment, the code that holds where you are, and licensed practice.",
  ];
  return [...always, ...notConsideredOf[rig.load.kind]];
}

const notConsideredOf: Readonly<Record<RigFields["load"]["kind"], readonly string[]>> = {
  "straight pull": [],
  "long line": [],
  lift: [],
  redirect: [],
  basket: [
    "Whether the load slides, rolls or tilts out of its basket: nothing here holds it in.",
    "The load’s edges: the rope is taken to lie on something round and smooth.",
  ],
  choke: [
    "What the choke takes from the rope where it bends over its own body, unless a part says so.",
    "A load that slips or turns in its choke, and a noose that opens when it goes slack.",
  ],
  fall: [
    "Damping, and whatever else gives way a little: the true peak is usually lower, and never one number.",
  ],
};

function problemsOf(rig: RigFields, { places }: RigForces, book: readonly PullsOfCell[]): Problem[] {
  if (rig.parts.length === 0)
    return [
      {
        code: "RIG_IMPOSSIBLE",
        message: "A rig without parts has no weakest one.",
        where: { field: "parts" },
        found: "no parts",
        expected: "every part from the one end to the other",
      },
    ];
  return rig.parts.flatMap((part, i): Problem[] => {
    const problems: Problem[] = [];
    const field = (name: string) => `parts[${i}].${name}`;
    if (places[part.place] === undefined)
      problems.push({
        code: "RIG_IMPOSSIBLE",
        message: `A rig under a ${rig.load.kind} has no part “${part.place}”.`,
        where: { field: field("place") },
        found: part.place,
        expected: Object.keys(places).join(" or "),
      });
    if (part.largestShare !== undefined && part.largestShare < 1 / part.sideBySide - 1e-12)
      problems.push({
        code: "RIG_IMPOSSIBLE",
        message: "The part that takes most takes at least an even share.",
        where: { field: field("largestShare") },
        found: String(part.largestShare),
        expected: `from ${(1 / part.sideBySide).toPrecision(3)} to 1`,
      });
    if (part.strength.from === "nobody knows")
      problems.push({
        code: "RIG_IMPOSSIBLE",
        message: `Nobody knows the strength of “${part.name}”, so nobody knows that of the rig.`,
        where: { field: field("strength") },
        found: "no strength",
        expected: "its rating with what it means, or pulls",
        wayOut: "Find its rating, pull some like it, or put a part in its place that has one.",
      });
    if (part.strength.from === "pulls" && pullsOf(part, book) === undefined)
      problems.push({
        code: "RIG_IMPOSSIBLE",
        message: `The pulls on which “${part.name}” rests are not in the book.`,
        where: { field: field("strength") },
        found: part.strength.cell,
        expected: "a cell of a series that has pulls",
      });
    return problems;
  });
}
