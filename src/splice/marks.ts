import { ok, type Result } from "../problem/mod.ts";
import { type CutLength, cutLength } from "./cut-length.ts";
import { eyeRoundPin } from "./geometry.ts";
import { type ResolvedJob, resolveJob, type SpliceJob } from "./resolve-job.ts";
import type { Taper, TaperStep } from "./taper.ts";

export const markKinds = [
  "tip",
  "taper step",
  "taper start",
  "throat on the tail",
  "throat on the host",
  "crossing",
  "stitch end",
  "exit",
  "knot start",
  "knot end",
  "noose",
  "middle",
] as const;
export type MarkKind = (typeof markKinds)[number];

/** One mark on the rope. */
export type Mark = {
  readonly kind: MarkKind;
  readonly says: string;
  readonly fromEndMm: number;
  /** The same in picks, not rounded, where the rope's pick was measured. */
  readonly picks?: number;
  /** The pair that is cut out here, at a taper step. */
  readonly step?: TaperStep;
};

/** The marks of one end of the rope, from the end inward. */
export type MarkedEnd = {
  readonly end: "near" | "far";
  readonly says: string;
  readonly marks: readonly Mark[];
  /** The end's taper, for the drawing of its cross-section; none where nothing is buried. */
  readonly taper?: Taper;
};

export type MarkedCut = { readonly cut: CutLength; readonly ends: readonly [MarkedEnd, MarkedEnd] };

/**
 * Where to mark the rope, from each of its ends, for a finished length: taper steps with the strands to cut, where the
 * tail enters, crosses and comes out, where a knot begins and ends.
 *
 * Distances are on slack rope before anything is spliced, in mm, and in picks where `rope.pickLengthMm` is known.
 * The exit lies beyond where the tip comes to rest by as much as the host shortens, so that the tip slips in when the host
 * is stroked over it. Refused as `cutLength` refuses.
 *
 * @example
 * // src/splice/marks.test.ts walks through the marks of a loop worked by hand.
 */
export function markRope(job: SpliceJob, finishedMm: number): Result<MarkedCut> {
  const cut = cutLength(job, finishedMm);
  if (!cut.ok) return cut;
  const resolved = resolveJob(job);
  if (!resolved.ok) return resolved;
  const end = (which: "near" | "far"): MarkedEnd => endOf(resolved.value, cut.value, which);
  return ok({ cut: cut.value, ends: [end("near"), end("far")] }, cut.warnings);
}

function endOf(resolved: ResolvedJob, cut: CutLength, which: "near" | "far"): MarkedEnd {
  const { shape, buries, tapers, job } = resolved;
  const own = which === "near" ? 0 : 1;
  const taper = buries.length === 0 ? undefined : tapers[own];
  const marks = [
    ...tailMarks(resolved, own),
    ...(shape.knots > 0
      ? shackleMarks(resolved, cut, own)
      : shape.form === "two eyes"
        ? eyeMarks(resolved, own)
        : crossedMarks(resolved, own)),
  ].sort((a, b) => a.fromEndMm - b.fromEndMm || markKinds.indexOf(a.kind) - markKinds.indexOf(b.kind));
  const { pickLengthMm } = job.rope;
  return {
    end: which,
    says: endName(resolved, which),
    marks: marks.map((mark) =>
      pickLengthMm === undefined ? mark : { ...mark, picks: mark.fromEndMm / pickLengthMm },
    ),
    ...(taper === undefined ? {} : { taper }),
  };
}

function endName({ shape }: ResolvedJob, which: "near" | "far"): string {
  if (shape.form === "two eyes") return `${which} eye`;
  if (shape.form === "joined line") return which === "near" ? "first piece" : "second piece";
  return which === "near" ? "one end" : "other end";
}

/** Tip and taper, the same wherever the tail goes; from the end of the rope, without what is cut off. */
function tailMarks({ buries, tapers, numbers, d }: ResolvedJob, own: number): Mark[] {
  const bury = buries[own];
  const taper = tapers[own];
  const off = numbers.tail.value * d;
  if (bury === undefined || taper === undefined) return [];
  return [
    { kind: "tip", says: "tip of the tail", fromEndMm: off },
    ...taper.steps.map(
      (step): Mark => ({
        kind: "taper step",
        says: `cut out ${step.left} and ${step.right}; ${step.strandsAfter} strands go on`,
        fromEndMm: off + step.fromTipMm,
        step,
      }),
    ),
    { kind: "taper start", says: "full thickness ends here", fromEndMm: off + bury.taperMm },
  ];
}

function eyeMarks(resolved: ResolvedJob, own: number): Mark[] {
  const { buries, numbers, d, eyes, pins, job } = resolved;
  const bury = buries[own];
  const end = own === 0 ? "near" : "far";
  const around = eyeRoundPin(eyes[end], pins[end], d);
  if (bury === undefined || around === undefined) return [];
  const tail = numbers.tail.value * d + bury.fullMm + bury.taperMm;
  // Each crossing's allowance lies half on either rope.
  const crossed = (job.recipe.crossings * numbers.crossing.value * d) / 2;
  const host = tail + crossed + around;
  const stitch = job.recipe.stitchDiameters;
  return [
    { kind: "throat on the tail", says: "the bury begins and the eye ends here", fromEndMm: tail + crossed },
    { kind: "throat on the host", says: "the tail goes in here", fromEndMm: host },
    ...(stitch === undefined || stitch === 0
      ? []
      : [
          {
            kind: "stitch end" as const,
            says: "stitch from the throat to here",
            fromEndMm: host + stitch * d,
          },
        ]),
    { kind: "exit", says: "the tail comes out here", fromEndMm: host + crossed + hostOver(resolved, own) },
  ];
}

function crossedMarks(resolved: ResolvedJob, own: number): Mark[] {
  const { buries, numbers, d, crossings, job } = resolved;
  const bury = buries[own];
  if (bury === undefined) return [];
  const crossing =
    numbers.tail.value * d + bury.fullMm + bury.taperMm + (crossings * numbers.crossing.value * d) / 2;
  const stitch = job.recipe.stitchDiameters;
  return [
    { kind: "crossing", says: "the other end goes through here", fromEndMm: crossing },
    ...(stitch === undefined || stitch === 0
      ? []
      : [
          {
            kind: "stitch end" as const,
            says: "stitch from the crossing to here",
            fromEndMm: crossing + stitch * d,
          },
        ]),
    {
      kind: "exit",
      says: "the other end's tail comes out here",
      fromEndMm: crossing + hostOver(resolved, 1 - own),
    },
  ];
}

function shackleMarks(resolved: ResolvedJob, cut: CutLength, own: number): Mark[] {
  const { buries, numbers, d } = resolved;
  const bury = buries[own];
  const tail = numbers.tail.value * d + (bury === undefined ? 0 : bury.fullMm + bury.taperMm);
  const knotEnd = tail + numbers.knot.value * d;
  const middle = cut.cutLengthMm / 2;
  return [
    { kind: "knot start", says: "the knot's outer side", fromEndMm: tail },
    { kind: "knot end", says: "the knot's inner side: where the noose grips", fromEndMm: knotEnd },
    ...(bury === undefined
      ? []
      : [
          {
            kind: "exit" as const,
            says: "the tail comes out of its leg here",
            fromEndMm: knotEnd + hostOver(resolved, own),
          },
        ]),
    {
      kind: "noose",
      says: "the noose's eye ends here: one leg goes through the other",
      fromEndMm: middle - nooseEye(resolved),
    },
    { kind: "middle", says: "middle of the rope: crown of the noose", fromEndMm: middle },
  ];
}

/**
 * From the crown to the crossing, along one leg: opened, the noose must pass over the knot. A knot some 5 d across has
 * half a girth of 8 d, and the rope itself bends round it (own estimate, no published source).
 */
function nooseEye({ d }: ResolvedJob): number {
  return 9 * d;
}

/** Slack host that covers a bury: as long as the tail, and what it shortens. */
function hostOver({ buries, fattenedMm, numbers }: ResolvedJob, index: number): number {
  const bury = buries[index];
  const fattened = fattenedMm[index];
  if (bury === undefined || fattened === undefined) return 0;
  return bury.fullMm + bury.taperMm + numbers.contraction.value * fattened;
}
