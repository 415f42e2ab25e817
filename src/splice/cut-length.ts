import { ok, type Problem, type Result, refuse, type Warning } from "../problem/mod.ts";
import { lengthOfPath, lengthPerPath, pathOfLength } from "./finished-path.ts";
import { eyeRoundPin, loopRoundPins } from "./geometry.ts";
import { lengthFault, type ResolvedJob, resolveJob, type SpliceJob, say } from "./resolve-job.ts";

export const lengthTermNames = [
  "path",
  "stretch",
  "bedding-in",
  "eyes",
  "tails",
  "contraction",
  "crossings",
  "knot",
  "noose",
  "cut off",
  "marking",
] as const;

/** One part of a cut length: what it adds, how far a single splice strays from it, and where it comes from. */
export type LengthTerm = {
  readonly name: (typeof lengthTermNames)[number];
  readonly says: string;
  readonly valueMm: number;
  /** Standard uncertainty. */
  readonly spreadMm: number;
  readonly source: string;
};

export type CutLength = {
  /** All rope for one specimen, and each piece of it: two equal ones for an end-to-end splice. */
  readonly cutLengthMm: number;
  readonly pieces: number;
  readonly pieceMm: number;
  /** The finished length as measured by the job, and the same splice slack, as spliced, measured likewise. */
  readonly finishedLengthMm: number;
  readonly slackLengthMm: number;
  /** Standard uncertainty of the cut length that gives the finished length, and of the finished length of this cut. */
  readonly cutUncertaintyMm: number;
  readonly finishedUncertaintyMm: number;
  readonly terms: readonly LengthTerm[];
  /** The shortest that the recipe allows, measured likewise, and the rope to spare beside the buried tails. */
  readonly shortestMm: number;
  readonly spareMm: number;
};

/**
 * How long to cut so that the finished piece comes out at a length: every part with its spread and source.
 *
 * finishedMm: measured as `job.state` says, slack or at a tension, over the given pins. Result in mm of slack rope.
 * At the edges: no bury, a taper of 0, and pins of 0 (a loop laid flat) are allowed. Without the rope's stiffness a length
 * at a tension leaves out its elastic stretch, with a warning.
 * Refused: tails that would meet or overlap, by how much; a pin too thin, a loop too short for its pins, an eye too short,
 * a rope with other strands than the recipe needs, a length of 0 or less; each with the number that must change.
 * Formula: L_cut = turns · path + Σ tails + contraction · Σ (full + share · taper) + crossings + knot + noose + cut off, with
 * the path brought back from its tension: path₀ = (path + s q)/((1 + s)(1 + b)), s = load share · T/EA.
 * Source: derived in docs/methods/cut-length.md; customary values carry their own source.
 *
 * @example
 * // docs/methods/cut-length.md works a loop of 600 mm by hand: src/splice/cut-length.test.ts
 */
export function cutLength(job: SpliceJob, finishedMm: number): Result<CutLength> {
  const resolved = resolveJob(job);
  if (!resolved.ok) return resolved;
  const path = pathOfLength(resolved.value, finishedMm);
  if (!path.ok) return path;
  const { grow, held } = stateFactors(resolved.value);
  const pathMm = (path.value + held) / grow;
  return outcome(resolved.value, pathMm, resolved.warnings, finishedMm);
}

/**
 * How long a piece comes out when it is cut to a length: the inverse of `cutLength`, with the same parts.
 *
 * cutMm: all rope of the specimen. Result, edges, refusals and source as for `cutLength`; a cut that its buries and knots
 * use up is refused.
 *
 * @example
 * // docs/methods/finished-length.md works a case by hand: src/splice/cut-length.test.ts
 */
export function finishedLength(job: SpliceJob, cutMm: number): Result<CutLength> {
  if (!(Number.isFinite(cutMm) && cutMm > 0))
    return refuse(lengthFault(cutMm, "cutLengthMm", "A cut length is more than 0.", "more than 0"));
  const resolved = resolveJob(job);
  if (!resolved.ok) return resolved;
  const fixed = fixedTerms(resolved.value);
  if (!fixed.ok) return fixed;
  const pathMm = (cutMm - sumOf(fixed.value)) / resolved.value.shape.turns;
  return outcome(resolved.value, pathMm, resolved.warnings);
}

/** The parts of a cut length that do not depend on the finished length. */
export function withoutPath(resolved: ResolvedJob): Result<readonly LengthTerm[]> {
  return fixedTerms(resolved);
}

/** The path, slack as spliced, of a piece that measures so much in its state. */
export function slackPath(resolved: ResolvedJob, finishedMm: number): Result<number> {
  const path = pathOfLength(resolved, finishedMm);
  if (!path.ok) return path;
  const { grow, held } = stateFactors(resolved);
  return ok((path.value + held) / grow, path.warnings);
}

/** How the slack path becomes the path in its state: path = grow · slack − held. */
function stateFactors(resolved: ResolvedJob) {
  const { stretch, bedding } = strains(resolved);
  return { grow: (1 + stretch) * (1 + bedding), held: stretch * stiffPart(resolved) };
}

function strains({ job, shape, tensionN, bedded, numbers }: ResolvedJob) {
  const { stiffnessN } = job.rope;
  return {
    stretch: stiffnessN === undefined ? 0 : (tensionN * shape.loadShare) / stiffnessN,
    bedding: bedded ? numbers.beddingIn.value : 0,
  };
}

/** Path that stretches by nothing when the rest is counted whole: half of what lies twice, in a bury or an eye. */
function stiffPart({ shape, buries, eyes }: ResolvedJob): number {
  const doubled = buries.reduce((sum, { fullMm, taperMm }) => sum + fullMm + taperMm, 0);
  const inEyes = shape.form === "two eyes" ? eyes.near + eyes.far : 0;
  return (doubled + inEyes) / 2 / shape.turns;
}

function outcome(
  resolved: ResolvedJob,
  slackPathMm: number,
  warnings: readonly Warning[],
  askedMm?: number,
): Result<CutLength> {
  const fixed = fixedTerms(resolved);
  if (!fixed.ok) return fixed;
  const { shape } = resolved;
  const room = roomFor(resolved, slackPathMm);
  const { grow, held } = stateFactors(resolved);
  const needed = pathNeeded(resolved);
  const shortest = lengthOfPath(resolved, grow * needed - held);
  if (!(slackPathMm > 0) || room.clearMm < room.clearWantedMm - 1e-9)
    return refuse(tooShort(resolved, room, shortest));
  const finished = lengthOfPath(resolved, grow * slackPathMm - held);
  if (!finished.ok) return finished;
  const slack = lengthOfPath(resolved, slackPathMm);
  if (!slack.ok) return slack;
  if (!shortest.ok) return shortest;
  const terms = [...pathTerms(resolved, slackPathMm), ...fixed.value];
  const cutLengthMm = sumOf(terms);
  const cutUncertaintyMm = Math.sqrt(terms.reduce((sum, { spreadMm }) => sum + spreadMm ** 2, 0));
  const perPath = lengthPerPath(resolved, grow * slackPathMm - held);
  return ok(
    {
      cutLengthMm,
      pieces: shape.pieces,
      pieceMm: cutLengthMm / shape.pieces,
      finishedLengthMm: askedMm ?? finished.value,
      slackLengthMm: slack.value,
      cutUncertaintyMm,
      finishedUncertaintyMm: (cutUncertaintyMm / shape.turns) * grow * perPath,
      terms,
      shortestMm: shortest.value,
      spareMm: room.clearMm - room.clearWantedMm,
    },
    warnings,
  );
}

function sumOf(terms: readonly LengthTerm[]): number {
  return terms.reduce((sum, { valueMm }) => sum + valueMm, 0);
}

function pathTerms(resolved: ResolvedJob, slackPathMm: number): LengthTerm[] {
  const { shape, numbers, job, bedded, tensionN } = resolved;
  const { grow, held } = stateFactors(resolved);
  const { bedding } = strains(resolved);
  const whole = grow * slackPathMm - held;
  const beddedPath = slackPathMm * (1 + bedding);
  const stretched = whole - beddedPath;
  const { stiffnessN, stiffnessSpreadN = 0 } = job.rope;
  const says =
    shape.form === "loop"
      ? `${shape.turns === 1 ? "once" : `${shape.turns} times`} round the loop, along the rope's middle`
      : shape.form === "two eyes"
        ? "from crown to crown"
        : "from end to end";
  const terms: LengthTerm[] = [
    {
      name: "path",
      says,
      valueMm: shape.turns * whole,
      spreadMm: 0,
      source: "geometry of rope and pins: docs/methods/cut-length.md",
    },
  ];
  if (tensionN > 0 && stiffnessN !== undefined)
    terms.push({
      name: "stretch",
      says: `elastic stretch at ${say(tensionN)} N, not there when slack`,
      valueMm: -shape.turns * stretched,
      spreadMm: shape.turns * Math.abs(stretched) * (stiffnessSpreadN / stiffnessN),
      source: `the rope's stiffness, ${say(stiffnessN / 1000)} kN`,
    });
  if (bedded)
    terms.push({
      name: "bedding-in",
      says: "what the splice lengthens for good in its first loadings",
      valueMm: -shape.turns * (beddedPath - slackPathMm),
      spreadMm: (shape.turns * slackPathMm * numbers.beddingIn.spread) / (1 + bedding),
      source: numbers.beddingIn.source,
    });
  return terms;
}

function fixedTerms(resolved: ResolvedJob): Result<LengthTerm[]> {
  const { shape, d, numbers, buries, fattenedMm, crossings, pins, eyes } = resolved;
  const terms: LengthTerm[] = [];
  if (shape.form === "two eyes") {
    const near = eyeRoundPin(eyes.near, pins.near, d);
    const far = eyeRoundPin(eyes.far, pins.far, d);
    if (near === undefined || far === undefined)
      return refuse(eyeTooShort(near === undefined ? "near" : "far", resolved));
    terms.push({
      name: "eyes",
      says: "both ways round each eye, less its inside length",
      valueMm: near + far - eyes.near - eyes.far,
      spreadMm: 0,
      source: "geometry of rope and pins: docs/methods/cut-length.md",
    });
  }
  if (buries.length > 0) {
    const fattened = fattenedMm.reduce((sum, length) => sum + length, 0);
    terms.push(
      {
        name: "tails",
        says: "buried tails, full thickness and taper",
        valueMm: buries.reduce((sum, { fullMm, taperMm }) => sum + fullMm + taperMm, 0),
        spreadMm: 0,
        source: "the recipe's bury, or as it was made",
      },
      {
        name: "contraction",
        says: "what the host shortens over the buries",
        valueMm: numbers.contraction.value * fattened,
        spreadMm: numbers.contraction.spread * fattened,
        source: numbers.contraction.source,
      },
    );
  }
  const counted = [
    ["crossings", "rope taken up where one passes through another", crossings, "crossing"],
    ["knot", "the stopper knot, of doubled line", 2 * shape.knots, "knot"],
    ["noose", "the noose's grip under the knot, of doubled line", 2 * shape.knots, "noose"],
    ["cut off", "left to pull on at both ends, and cut off", 2, "tail"],
  ] as const;
  for (const [name, says, times, number] of counted) {
    const { value, spread, source } = numbers[number];
    if (times * value === 0 && times * spread === 0) continue;
    terms.push({ name, says, valueMm: times * value * d, spreadMm: times * spread * d, source });
  }
  const { value, spread, source } = numbers.marking;
  if (value !== 0 || spread !== 0)
    terms.push({
      name: "marking",
      says: "measuring, marking and cutting",
      valueMm: value,
      spreadMm: spread,
      source,
    });
  return ok(terms);
}

type Room = {
  /** Rope along which the tails lie. */
  readonly roomMm: number;
  readonly tailsMm: number;
  readonly clearMm: number;
  readonly clearWantedMm: number;
};

function roomFor(resolved: ResolvedJob, slackPathMm: number): Room {
  const { shape, buries, eyes, numbers, d } = resolved;
  const tails = buries.map(({ fullMm, taperMm }) => fullMm + taperMm);
  if (tails.length === 0) return { roomMm: slackPathMm, tailsMm: 0, clearMm: slackPathMm, clearWantedMm: 0 };
  const clearWantedMm = numbers.clear.value * d;
  // The tails of a soft shackle lie in a leg each; all others share one stretch of rope.
  const roomMm =
    shape.form === "two eyes"
      ? slackPathMm - eyes.near - eyes.far
      : shape.knots > 0
        ? slackPathMm
        : shape.turns * slackPathMm;
  const tailsMm = shape.knots > 0 ? Math.max(...tails) : tails.reduce((sum, tail) => sum + tail, 0);
  return { roomMm, tailsMm, clearMm: roomMm - tailsMm, clearWantedMm };
}

/** The shortest slack path: room for the tails and what stays clear between them, and for both pins. */
function pathNeeded(resolved: ResolvedJob): number {
  const { shape, pins } = resolved;
  const { clearWantedMm, tailsMm } = roomFor(resolved, 0);
  const eyes = shape.form === "two eyes" ? resolved.eyes.near + resolved.eyes.far : 0;
  const forTails = (tailsMm + clearWantedMm) / (shape.knots > 0 ? 1 : shape.turns) + eyes;
  if (shape.form !== "loop") return forTails;
  // It must go over the pins slack. A breath more than touching, for rounding's sake.
  return Math.max(forTails, loopRoundPins((pins.near + pins.far) / 2, pins) * (1 + 1e-12));
}

function tooShort(resolved: ResolvedJob, room: Room, shortest: Result<number>): Problem {
  const { shape, buries, d } = resolved;
  const gap = room.clearMm;
  const overlap =
    gap < 0
      ? `would overlap by ${say(-gap)} mm`
      : `would end ${say(gap)} mm apart, ${say(room.clearWantedMm - gap)} mm less than the recipe leaves clear`;
  const sharing = shape.knots > 0 ? 1 : buries.length;
  const tapers = buries.slice(0, sharing).reduce((sum, { taperMm }) => sum + taperMm, 0);
  const fullMm = (room.roomMm - room.clearWantedMm - tapers) / sharing;
  const half =
    shape.form === "loop" && shape.knots === 0 && shape.turns === 1
      ? " (half the loop is the most that one tail can take)"
      : "";
  const shorter =
    fullMm > 0
      ? `, or the full bury at most ${say(Math.floor((fullMm / d) * 10) / 10)} d (${say(fullMm)} mm)`
      : ", with a shorter bury and taper";
  const least = shortest.ok
    ? `Make the finished length at least ${say(Math.ceil(shortest.value * 10) / 10)} mm`
    : "Make it longer";
  return {
    code: "SPLICE_TOO_SHORT",
    message:
      shape.knots > 0
        ? `The buried tails take ${say(room.tailsMm)} mm of each leg, and a leg has ${say(room.roomMm)} mm${half}.`
        : `The buried tails ${overlap}: together they take ${say(room.tailsMm)} mm of the ${say(room.roomMm)} mm that there are${half}.`,
    where: { field: "lengthMm" },
    found: `${say(room.roomMm)} mm of rope for ${say(room.tailsMm)} mm of buried tails`,
    expected: `at least ${say(room.tailsMm + room.clearWantedMm)} mm`,
    wayOut: `${least}${shorter}.`,
  };
}

function eyeTooShort(end: "near" | "far", { eyes, pins, d }: ResolvedJob): Problem {
  // The throat must lie beyond the bend: inside length over pin plus half the rope.
  const least = pins[end] + d / 2;
  return {
    code: "SPLICE_LENGTH",
    message: `An eye of ${say(eyes[end])} mm is too short for its pin: the throat would lie within the bend.`,
    where: { field: `${end}EyeMm` },
    found: `${say(eyes[end])} mm`,
    expected: `more than ${say(least)} mm`,
    wayOut: `Make the eye longer than ${say(least)} mm; three times the pin is usual.`,
  };
}
