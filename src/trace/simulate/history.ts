import { extensionAt, forceAt, type ToeCurve, workAt } from "./toe-curve.ts";
import type { PhaseName } from "./truth.ts";

/** A stretch of time in which force and position follow one formula; `sinceS` counts from its start. */
export type Segment = {
  readonly phase: PhaseName;
  readonly startS: number;
  readonly endS: number;
  readonly forceAfter: (sinceS: number) => number;
  readonly positionAfter: (sinceS: number) => number;
};

/** How the drive moves over a stretch: at a constant rate, or easing in and out as a hand stroke does. */
export type Motion = "steady" | "eased";

/**
 * The bench's history, built stretch by stretch. The specimen is a spring on its toe curve; what force loses while the
 * drive stands still (settling, a slip, a broken strand) comes back as length: the point of no force moves along, so that
 * position and force always agree and the work done is exact.
 */
export class History {
  readonly segments: Segment[] = [];
  timeS: number;
  forceN = 0;
  positionM: number;
  curve: ToeCurve;
  /** Where the drive stands when the specimen just goes slack. */
  private zeroM: number;
  private workJ = 0;
  loadedAtS: number | undefined;
  peakN = 0;
  peakTimeS: number;
  workToPeakJ = 0;

  constructor(start: { timeS: number; positionM: number; slackM: number; curve: ToeCurve }) {
    this.timeS = start.timeS;
    this.peakTimeS = start.timeS;
    this.positionM = start.positionM;
    this.zeroM = start.positionM + start.slackM;
    this.curve = start.curve;
  }

  /** Extension beyond the point of no force; negative while slack. */
  get extensionM(): number {
    return this.positionM - this.zeroM;
  }

  /** The drive stands still and force stays. */
  wait(phase: PhaseName, durationS: number): void {
    const { forceN } = this;
    this.lose(phase, durationS, forceN, () => forceN);
  }

  /** The drive moves to the place where `forceN` is reached (0: where the specimen just goes slack), and arrives there. */
  moveToForce(phase: PhaseName, forceN: number, durationS: number, motion: Motion): void {
    this.moveBy(phase, extensionAt(this.curve, forceN) - this.extensionM, durationS, motion);
    this.forceN = forceN;
    this.notePeak();
  }

  /** The drive moves by a distance. With `upToN`, it is broken off where that force is reached; true where it was. */
  moveBy(phase: PhaseName, distanceM: number, durationS: number, motion: Motion, upToN = Infinity): boolean {
    const fromM = this.extensionM;
    const { curve, zeroM, timeS: startS } = this;
    const travelled = (sinceS: number): number =>
      durationS <= 0 ? distanceM : distanceM * easing[motion].part(Math.min(1, sinceS / durationS));
    const timeAt = (extensionM: number): number =>
      durationS * easing[motion].whenPart((extensionM - fromM) / distanceM);

    const limitM = upToN === Infinity ? Infinity : extensionAt(curve, upToN);
    const reached = fromM + distanceM >= limitM;
    const lastS = reached ? timeAt(limitM) : durationS;
    const toM = reached ? limitM : fromM + distanceM;
    if (fromM <= 0 && toM > 0 && this.loadedAtS === undefined) this.loadedAtS = startS + timeAt(0);
    this.workJ += workAt(curve, toM) - workAt(curve, fromM);
    this.push(
      phase,
      lastS,
      (sinceS) => forceAt(curve, fromM + travelled(sinceS)),
      (sinceS) => zeroM + fromM + travelled(sinceS),
    );
    this.positionM = zeroM + toM;
    this.forceN = reached ? upToN : forceAt(curve, toM);
    this.notePeak();
    return reached;
  }

  /** The drive stands still while the specimen loses force by a formula that ends at `toN`. */
  lose(phase: PhaseName, durationS: number, toN: number, forceAfter: (sinceS: number) => number): void {
    const { positionM } = this;
    this.push(phase, durationS, forceAfter, () => positionM);
    if (toN !== this.forceN) this.zeroM = positionM - extensionAt(this.curve, toN);
    this.forceN = toN;
  }

  /** The drive creeps on by a distance while force follows a formula of its own: a pin that bends, a tail that runs out. */
  yieldBy(distanceM: number, durationS: number, toN: number, forceAfter: (sinceS: number) => number): void {
    const { positionM } = this;
    // By the trapezium rule over the formula's ends: near enough for a stretch in which force hardly changes.
    this.workJ += (distanceM * (this.forceN + toN)) / 2;
    this.push("end", durationS, forceAfter, (sinceS) => positionM + (distanceM * sinceS) / durationS);
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
  handle(phase: PhaseName, durationS: number, forceAfter: (sinceS: number) => number): void {
    const { positionM } = this;
    this.push(phase, durationS, forceAfter, () => positionM);
  }

  private push(
    phase: PhaseName,
    durationS: number,
    forceAfter: (sinceS: number) => number,
    positionAfter: (sinceS: number) => number,
  ): void {
    const startS = this.timeS;
    this.timeS = startS + durationS;
    if (durationS > 0) this.segments.push({ phase, startS, endS: this.timeS, forceAfter, positionAfter });
  }

  private notePeak(): void {
    if (this.forceN <= this.peakN) return;
    this.peakN = this.forceN;
    this.peakTimeS = this.timeS;
    this.workToPeakJ = this.workJ;
  }
}

const easing: Record<Motion, { part: (time: number) => number; whenPart: (part: number) => number }> = {
  steady: { part: (time) => time, whenPart: (part) => part },
  eased: {
    part: (time) => (1 - Math.cos(Math.PI * time)) / 2,
    whenPart: (part) => Math.acos(1 - 2 * Math.min(1, Math.max(0, part))) / Math.PI,
  },
};
