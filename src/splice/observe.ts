import { ok, type Result } from "../problem/mod.ts";
import { slackPath, withoutPath } from "./cut-length.ts";
import type { RecipeNumberName } from "./recipe.ts";
import { type ResolvedJob, resolveJob, type SpliceJob } from "./resolve-job.ts";

/** A splice as it was made and measured. `job.buries` holds the buries as made, `job.state` how it was measured. */
export type MadeSplice = {
  readonly job: SpliceJob;
  readonly cutLengthMm: number;
  /** Slack, as spliced. */
  readonly finishedLengthMm?: number | undefined;
  readonly finishedAtTensionMm?: number | undefined;
  readonly finishedTensionN?: number | undefined;
};

/** The numbers that the lengths of a single splice say something of. */
export const learnedNames = ["contraction", "knot", "beddingIn"] as const;
export type Observation = { readonly name: (typeof learnedNames)[number]; readonly value: number };
/** All that can be learned; what a crossing takes up only from several splices together. */
export type LearnedName = Observation["name"] | "crossing";

/**
 * What the lengths of one splice as made say of the numbers behind them.
 *
 * A buried splice without a knot says its contraction: what was cut, less path, tails and the other parts, over the
 * fattened length; its crossings count at the job's number, so that their error lies in it as well (`learnCrossing` tells
 * the two apart where it can). A soft shackle says its knot likewise. Lengths slack and at a tension together say the bedding-in, where the rope's stiffness is known.
 * Refused as `cutLength` refuses; a splice with no slack length says nothing.
 */
export function observeSplice(made: MadeSplice): Result<readonly Observation[]> {
  const { finishedLengthMm, cutLengthMm } = made;
  if (finishedLengthMm === undefined) return ok([]);
  const slack = resolveAs(made.job, {});
  if (!slack.ok) return slack;
  const path = slackPath(slack.value, finishedLengthMm);
  if (!path.ok) return path;
  const asked: Observation["name"] = slack.value.shape.knots > 0 ? "knot" : "contraction";
  const without = resolveAs(made.job, { [asked]: { value: 0, spread: 0, source: "" } });
  if (!without.ok) return without;
  const parts = withoutPath(without.value);
  if (!parts.ok) return parts;
  const rest =
    cutLengthMm -
    slack.value.shape.turns * path.value -
    parts.value.reduce((sum, { valueMm }) => sum + valueMm, 0);
  const per =
    asked === "knot" ? 2 * slack.value.d : slack.value.fattenedMm.reduce((sum, length) => sum + length, 0);
  const observed: Observation[] = per > 0 ? [{ name: asked, value: rest / per }] : [];
  return ok([...observed, ...beddingOf(made, path.value)]);
}

/** What one splice says of contraction and crossings together: contraction = `withCrossings` − crossing · `perCrossing`. */
export type CrossedObservation = {
  /** The contraction that would be, if its crossings took up nothing. */
  readonly withCrossings: number;
  /** What one diameter for each crossing is worth in it: crossings · d over the fattened length. */
  readonly perCrossing: number;
};

/**
 * The same lengths with what its crossings take up left open. Undefined where the splice has no crossing, no bury or a
 * knot, or where its lengths do not go together.
 */
export function observeCrossings(made: MadeSplice): CrossedObservation | undefined {
  const nothing = { crossing: { value: 0, spread: 0, source: "" } };
  const learned = { ...made.job.learned, ...nothing };
  const said = observeSplice({ ...made, job: { ...made.job, learned } });
  const resolved = resolveAs(made.job, nothing);
  if (!said.ok || !resolved.ok) return undefined;
  const contraction = said.value.find(({ name }) => name === "contraction");
  const { crossings, d, fattenedMm } = resolved.value;
  if (contraction === undefined || crossings === 0) return undefined;
  const fattened = fattenedMm.reduce((sum, length) => sum + length, 0);
  return { withCrossings: contraction.value, perCrossing: (crossings * d) / fattened };
}

/** The job slack and as spliced, with some numbers put in the place of others. */
function resolveAs(
  job: SpliceJob,
  learned: Partial<Record<RecipeNumberName, { value: number; spread: number; source: string }>>,
) {
  const { tensionN: _, bedded: __, ...state } = job.state;
  return resolveJob({ ...job, state, learned: { ...job.learned, ...learned } });
}

function beddingOf({ job, finishedAtTensionMm, finishedTensionN }: MadeSplice, slack: number): Observation[] {
  if (finishedAtTensionMm === undefined || finishedTensionN === undefined) return [];
  if (job.rope.stiffnessN === undefined) return [];
  const noBedding = { beddingIn: { value: 0, spread: 0, source: "" } };
  const loaded: Result<ResolvedJob> = resolveJob({
    ...job,
    state: { ...job.state, tensionN: finishedTensionN },
    learned: { ...job.learned, ...noBedding },
  });
  if (!loaded.ok) return [];
  // With no bedding-in counted, the path that is left without its stretch is the bedded one.
  const bedded = slackPath(loaded.value, finishedAtTensionMm);
  return bedded.ok ? [{ name: "beddingIn", value: bedded.value / slack - 1 }] : [];
}
