import { extensionAt, forceAt, type ToeCurve, workAt } from "./toe-curve.ts";
import type { ForceFall, TruthPhase } from "./truth.ts";

/** A stretch of time in which force and position follow one formula; `sinceS` counts from its start. */
export type Segment = {
  readonly phase: TruthPhase;
  readonly startS: number;
  readonly endS: number;
  readonly forceAfter: (sinceS: number) => number;
  readonly positionAfter: (sinceS: number) => number;
};

/**
 * How the drive moves over a stretch: at a constant rate, easing in and out as a hand stroke does, or giving way ever
 * faster as a jack's ram does.
 */
export type Motion = "steady" | "eased" | "giving";

/**
 * The bench's history, built stretch by stretch. The specimen is a spring on its toe curve; what force loses while the
 * drive stands still (settling, a slip, a broken strand) comes back as length: the point of no force moves along, so that
 * position and force always agree and the work done is exact.
 */
export class History {
  readonly segments: Segment[] = [];
  timeS: number;
  forceN = 0;
  positionM = 0;
  curve: ToeCurve;
  /** Where the drive stands when the specimen just goes slack. */
  private zeroM: number;
  private workJ = 0;
  loadedAtS: number | undefined;
  peakN = 0;
  peakTimeS: number;
  workToPeakJ = 0;
  /** Falls of force because the jack was reset. */
  readonly restrokes: ForceFall[] = [];

  constructor(start: { timeS: number; slackM: number; curve: ToeCurve }) {
    this.timeS = start.timeS;
    this.peakTimeS = start.timeS;
    this.zeroM = start.slackM;
    this.curve = start.curve;
  }

  /** Extension beyond the point of no force; negative while slack. */
  get extensionM(): number {
    return this.positionM - this.zeroM;
  }

  /** How far the drive has to go until `forceN` is reached; negative where it has to go back. */
  distanceTo(forceN: number): number {
    return extensionAt(this.curve, forceN) - this.extensionM;
  }

  /** The drive stands still and force stays. */
  wait(phase: TruthPhase, durationS: number): void {
    const { forceN } = this;
    this.lose(phase, durationS, forceN, () => forceN);
  }

  /** The drive moves to the place where `forceN` is reached (0: where the specimen just goes slack). */
  moveToForce(phase: TruthPhase, forceN: number, durationS: number, motion: Motion): void {
    const distanceM = this.distanceTo(forceN);
    this.travel(phase, { distanceM, durationS, motion }, distanceM, forceN);
  }

  /** The drive moves by a distance, broken off where `upToN` is reached; true where it was. */
  moveBy(phase: TruthPhase, distanceM: number, durationS: number, motion: Motion, upToN: number): boolean {
    const neededM = this.distanceTo(upToN);
    const reached = distanceM >= neededM;
    const travelM = reached ? neededM : distanceM;
    const toN = reached ? upToN : forceAt(this.curve, this.extensionM + distanceM);
    this.travel(phase, { distanceM, durationS, motion }, travelM, toN);
    return reached;
  }

  /** The drive stands still while the specimen loses force by a formula that ends at `toN`. */
  lose(phase: TruthPhase, durationS: number, toN: number, forceAfter: (sinceS: number) => number): void {
    const { positionM } = this;
    this.push(phase, durationS, forceAfter, () => positionM);
    if (toN !== this.forceN) this.zeroM = positionM - extensionAt(this.curve, toN);
    this.forceN = toN;
  }

  /**
   * The drive creeps on by a distance while force follows a formula of its own, below the peak: a pin that bends, a tail
   * that runs out. Comes after the peak, so its work is not counted.
   */
  yieldBy(
    phase: TruthPhase,
    distanceM: number,
    durationS: number,
    toN: number,
    forceAfter: (sinceS: number) => number,
  ): void {
    const { positionM } = this;
    this.push(phase, durationS, forceAfter, (sinceS) => positionM + (distanceM * sinceS) / durationS);
    this.positionM = positionM + distanceM;
    this.zeroM = this.positionM - extensionAt(this.curve, toN);
    this.forceN = toN;
  }

  /** The toe shortens once a load has been on: at the same force and place, unloading then leaves a lasting extension. */
  bedIn(toeM: number): void {
    this.curve = { ...this.curve, toeM };
    this.zeroM = this.positionM - extensionAt(this.curve, this.forceN);
  }

  /** A force that is not the specimen's: somebody handles the line between pulls. */
  handle(phase: TruthPhase, durationS: number, forceAfter: (sinceS: number) => number): void {
    const { positionM } = this;
    this.push(phase, durationS, forceAfter, () => positionM);
  }

  /** Travels the first `travelM` of a movement, to where the force is `toN`. */
  private travel(phase: TruthPhase, whole: Movement, travelM: number, toN: number): void {
    const { curve, zeroM, timeS: startS, extensionM: fromM } = this;
    const { distanceM, durationS } = whole;
    const { partAt, timeOf } = easings[whole.motion];
    const extensionAfter = (sinceS: number): number =>
      fromM + distanceM * partAt(Math.min(1, sinceS / durationS));
    const timeTo = (distance: number): number =>
      distanceM === 0 ? 0 : durationS * timeOf(distance / distanceM);

    if (toN > 0 && this.loadedAtS === undefined) this.loadedAtS = startS + timeTo(Math.max(0, -fromM));
    this.workJ += workAt(curve, fromM + travelM) - workAt(curve, fromM);
    this.push(
      phase,
      timeTo(travelM),
      (sinceS) => forceAt(curve, extensionAfter(sinceS)),
      (sinceS) => zeroM + extensionAfter(sinceS),
    );
    this.positionM = zeroM + fromM + travelM;
    this.forceN = toN;
    if (toN > this.peakN) {
      this.peakN = toN;
      this.peakTimeS = this.timeS;
      this.workToPeakJ = this.workJ;
    }
  }

  private push(
    phase: TruthPhase,
    durationS: number,
    forceAfter: (sinceS: number) => number,
    positionAfter: (sinceS: number) => number,
  ): void {
    const startS = this.timeS;
    this.timeS = startS + durationS;
    if (durationS > 0) this.segments.push({ phase, startS, endS: this.timeS, forceAfter, positionAfter });
  }
}

type Movement = { readonly distanceM: number; readonly durationS: number; readonly motion: Motion };

/** The part of the way that is done at a part of the time, and back. */
const easings: Record<Motion, { partAt: (time: number) => number; timeOf: (part: number) => number }> = {
  steady: { partAt: (time) => time, timeOf: (part) => part },
  eased: {
    partAt: (time) => (1 - Math.cos(Math.PI * time)) / 2,
    timeOf: (part) => Math.acos(1 - 2 * Math.min(1, Math.max(0, part))) / Math.PI,
  },
  giving: { partAt: (time) => time ** 2, timeOf: (part) => Math.sqrt(Math.max(0, part)) },
};
