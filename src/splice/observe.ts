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

/** The numbers that can be learned from lengths alone. */
export const learnedNames = ["contraction", "knot", "beddingIn"] as const;
export type LearnedName = (typeof learnedNames)[number];
export type Observation = { readonly name: LearnedName; readonly value: number };

/**
 * What the lengths of one splice as made say of the numbers behind them.
 *
 * A buried splice without a knot says its contraction: what was cut, less path, tails and the other parts, over the
 * fattened length; its crossings count at the recipe's number, so that their error lies in it as well. A soft shackle
 * says its knot likewise. Lengths slack and at a tension together say the bedding-in, where the rope's stiffness is known.
 * Refused as `cutLength` refuses; a splice with no slack length says nothing.
 */
export function observeSplice(made: MadeSplice): Result<readonly Observation[]> {
  const { finishedLengthMm, cutLengthMm } = made;
  if (finishedLengthMm === undefined) return ok([]);
  const slack = resolveAs(made.job, {});
  if (!slack.ok) return slack;
  const path = slackPath(slack.value, finishedLengthMm);
  if (!path.ok) return path;
  const asked: LearnedName = slack.value.shape.knots > 0 ? "knot" : "contraction";
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
