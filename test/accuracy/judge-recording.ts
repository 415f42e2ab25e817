import { ok, type Result } from "../../src/problem/mod.ts";
import {
  completeLayout,
  type DrawnPull,
  type DrawnRecording,
  drawRecording,
  type Fault,
  type FaultKind,
  type Layout,
  type LayoutHints,
  layoutHeadBytes,
  proposeLayout,
  type Reading,
  readRecording,
} from "../../src/trace/mod.ts";
import { type DeepPull, type JudgedPull, judgePull } from "./judge-pull.ts";
import { faultTelling } from "./telling.ts";

/** What came of one drawn recording. */
export type JudgedRecording = {
  readonly seed: number;
  readonly rows: number;
  /** The codes of a refusal, where the file was not read. */
  readonly refused?: readonly string[];
  /** Absent for a column that holds no force. */
  readonly pulls?: {
    readonly wanted: number;
    readonly read: number;
    readonly exact: boolean;
    readonly each: readonly JudgedPull[];
  };
  /** Faults that had to be told. */
  readonly faults: readonly { readonly kind: FaultKind; readonly told: boolean }[];
  /** Codes of faults that are not there. */
  readonly alarms: readonly string[];
  readonly readS: number;
};

/** Draws a recording, reads it from its bytes as a user's file is read, and judges the reading against the truth. */
export function judgeSeed(seed: number, now: () => number): JudgedRecording {
  const drawn = drawRecording(seed);
  const startedS = now();
  const read = readAsUser(drawn);
  return judgeRecording(drawn, read, now() - startedS);
}

/**
 * Looks at a file, answers what is asked about it and nothing else, and reads it with what is known of the cell. Where
 * the look at it ends in the question what is what, the answer is which column is the force and what parts the cells.
 */
export function readAsUser({
  bytes,
  layout,
  context,
}: Pick<DrawnRecording, "bytes" | "layout" | "context">): Result<Reading> {
  const propose = (hints: LayoutHints) =>
    proposeLayout(bytes.subarray(0, layoutHeadBytes), { totalBytes: bytes.length, hints });
  let hints: LayoutHints = {};
  let proposal = propose(hints);
  if (!proposal.ok && proposal.problems.some(({ code }) => whatIsWhat.has(code))) {
    const { force, separator, decimal } = layout;
    hints = { forceColumn: String(force.column), separator, decimal };
    proposal = propose(hints);
  }
  if (!proposal.ok) return proposal;
  const asked = answers(
    proposal.value.questions.map(({ about }) => about),
    layout,
  );
  if (Object.keys(asked).length > 0) {
    hints = { ...hints, ...asked };
    proposal = propose(hints);
    if (!proposal.ok) return proposal;
  }
  const complete = completeLayout(proposal.value.layout, hints);
  if (!complete.ok) return complete;
  const read = readRecording(bytes, complete.value, context);
  return read.ok ? ok(read.value.reading, read.warnings) : read;
}

const whatIsWhat: ReadonlySet<string> = new Set(["TRACE_FORCE_ASKED", "TRACE_AMBIGUOUS"]);

function answers(questions: readonly string[], { force, time }: Layout): LayoutHints {
  const format = time.kind === "column" ? time.format : "";
  const unit = (["s", "ms", "us"] as const).find((one) => format.endsWith(`-${one}`));
  return {
    ...(questions.includes("force") ? { forceColumn: String(force.column) } : {}),
    ...(questions.includes("force-unit") ? { forceUnit: force.unit } : {}),
    ...(questions.includes("time") && time.kind === "column" ? { timeColumn: String(time.column) } : {}),
    ...(questions.includes("time") && unit !== undefined ? { timeUnit: unit } : {}),
  };
}

/** Judges a reading by the rules of docs/accuracy.md. */
export function judgeRecording(
  { truth, trueForce, layout }: Pick<DrawnRecording, "truth" | "trueForce" | "layout">,
  read: Result<Reading>,
  readS = 0,
): JudgedRecording {
  const pulls: readonly DeepPull[] = read.ok ? read.value.pulls : [];
  const codes = codesOf(read);
  const forceIsTrue = !truth.faults.some(({ kind }) => kind === "unit-label");
  const matched = matchPulls(truth.pulls, pulls);
  return {
    seed: truth.seed,
    rows: trueForce.timeS.length,
    ...(read.ok ? {} : { refused: [...codes] }),
    ...(truth.isForce
      ? {
          pulls: {
            wanted: truth.pulls.length,
            read: pulls.length,
            exact: pulls.length === truth.pulls.length && matched.every((pull) => pull !== undefined),
            each: truth.pulls.map((pull, index) =>
              judgePull(pull, matched[index], {
                logger: truth.logger,
                force: trueForce,
                forceIsTrue,
                position: layout.displacement !== undefined,
              }),
            ),
          },
        }
      : {}),
    ...judgeFaults(truth.faults, codes, !read.ok),
    readS,
  };
}

/** To each true pull the pull whose peak was read within it; where several were, the one nearest to the true peak. */
export function matchPulls<P extends Pick<DeepPull, "peakTimeS">>(
  truths: readonly Pick<DrawnPull, "startS" | "endS" | "peakTimeS">[],
  pulls: readonly P[],
): (P | undefined)[] {
  const slackS = 0.5;
  return truths.map(({ startS, endS, peakTimeS }) => {
    const away = (pull: P) => Math.abs((pull.peakTimeS ?? Number.POSITIVE_INFINITY) - peakTimeS);
    return pulls
      .filter(({ peakTimeS: atS }) => atS !== undefined && atS >= startS - slackS && atS <= endS + slackS)
      .toSorted((a, b) => away(a) - away(b))[0];
  });
}

function codesOf(read: Result<Reading>): Set<string> {
  if (!read.ok) return new Set(read.problems.map(({ code }) => code));
  const { warnings, pulls, layout } = read.value;
  const said = [...warnings, ...pulls.flatMap((pull) => pull.warnings)].map(({ code }): string => code);
  // A layout that turns the sign round has told the user so.
  return new Set([...said, ...(layout.force.inverted ? ["READING_INVERTED"] : [])]);
}

/** Faults told, and alarms where none is. */
export function judgeFaults(
  faults: readonly Fault[],
  codes: ReadonlySet<string>,
  refused: boolean,
): Pick<JudgedRecording, "faults" | "alarms"> {
  const wanted = faults.filter(({ mild }) => mild !== true);
  const told = (kind: FaultKind) =>
    faultTelling[kind].codes.some((code) => codes.has(code)) || (kind === "position" && refused);
  const excused = new Set<string>(
    faults.flatMap(({ kind }) =>
      [kind, ...(faultTelling[kind].looksLike ?? [])].flatMap((one) => faultTelling[one].codes),
    ),
  );
  const known = new Set<string>(Object.values(faultTelling).flatMap((telling) => telling.codes));
  const judged = !faults.some(({ kind }) => kind === "position" || kind === "unit-label");
  return {
    faults: wanted.map(({ kind }) => ({ kind, told: told(kind) })),
    alarms: judged ? [...codes].filter((code) => known.has(code) && !excused.has(code)) : [],
  };
}
