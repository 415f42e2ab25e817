import { useRef, useState } from "preact/hooks";
import type { StoredPull } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { Override } from "../../series/mod.ts";
import { announce } from "../announce.tsx";
import { type Answer, ask, changes } from "../server.ts";
import { correctionWords } from "./boundaries.ts";

/** What a person says of a reading; the book adds what was measured there, and when it was said. */
export type Correction =
  | { readonly what: "boundary"; readonly fromRow: number; readonly toRow: number }
  | { readonly what: "strike slip"; readonly fromRow: number }
  | { readonly what: "add slip"; readonly fromRow: number; readonly toRow: number }
  | { readonly what: "other load" };

export type Corrections = {
  readonly list: readonly Override[];
  readonly busy: boolean;
  readonly problems: readonly Problem[];
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /**
   * True once the correction is kept. `seen` is how many corrections the page showed when a boundary was taken up: where
   * one was kept since that moved the same boundary, it is moved on from there.
   */
  make(correction: Correction, seen?: number): Promise<boolean>;
  undo(): Promise<void>;
  redo(): Promise<void>;
  /** Takes these corrections back, by their numbers from 1. */
  takeBack(numbers: readonly number[]): Promise<void>;
};

/**
 * Corrections of one pull's reading, kept in the book at once. Undo takes the last one back, also one that was made
 * yesterday; redo makes it again as long as nothing else was corrected since.
 */
export function useCorrections(asLoaded: StoredPull): Corrections {
  // The page is asked for anew after each step; a key that is pressed before it has come must name what the last step
  // left, not what the page still shows. So what was heard last, what was undone and what is under way is kept beside
  // the page, where a key that was bound before the page was drawn anew finds it too.
  const answered = useRef(asLoaded);
  if (answered.current.id !== asLoaded.id || answered.current.revision < asLoaded.revision)
    answered.current = asLoaded;
  const taken = useRef<readonly Override[]>([]);
  const underWay = useRef(0);
  const queue = useRef<Promise<unknown>>(Promise.resolve());
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, setBusy] = useState(false);
  const list = answered.current.overrides;

  /** Steps in the order in which they were asked for: what is asked while others are under way waits for them. */
  function run(steps: readonly Step[], said: string, onKept: () => void): Promise<boolean> {
    underWay.current += 1;
    setBusy(true);
    setProblems([]);
    const mine = queue.current.then(() => runNow(steps, said, onKept));
    queue.current = mine;
    return mine;
  }

  async function runNow(steps: readonly Step[], said: string, onKept: () => void): Promise<boolean> {
    let failed: readonly Problem[] | undefined;
    for (const step of steps) {
      const answer = await persist(step, answered);
      if (answer.ok) continue;
      failed = answer.problems;
      break;
    }
    if (failed === undefined) onKept();
    underWay.current -= 1;
    setBusy(underWay.current > 0);
    setProblems(failed ?? []);
    announce(failed === undefined ? said : "The correction was not kept.");
    // Asked for anew also where it was refused: somebody else may have corrected the same pull.
    changes.value += 1;
    return failed === undefined;
  }

  const add =
    (override: object): Step =>
    ({ id, revision }) =>
      ask<StoredPull>("POST", `/api/pulls/${id}/overrides`, { revision, override }, { quiet: true });
  const remove =
    (number: number): Step =>
    ({ id, revision }) =>
      ask<StoredPull>("DELETE", `/api/pulls/${id}/overrides/${number}`, { revision }, { quiet: true });

  return {
    list,
    busy,
    problems,
    canUndo: isUndoable(list) && !busy,
    canRedo: taken.current.length > 0 && !busy,
    make(correction, seen = Number.POSITIVE_INFINITY) {
      const step: Step = (pull) => add(movedOn(correction, pull.overrides.slice(seen)))(pull);
      return run([step], "Correction kept.", () => {
        taken.current = [];
      });
    },
    async undo() {
      const now = answered.current.overrides;
      const last = now.at(-1);
      if (last === undefined || !isUndoable(now) || underWay.current > 0) return;
      await run([remove(now.length)], `Undone: ${correctionWords(last)}.`, () => {
        taken.current = [...taken.current, last];
      });
    },
    async redo() {
      const next = taken.current.at(-1);
      if (next === undefined || underWay.current > 0) return;
      await run([add(asAsked(next))], `Done again: ${correctionWords(next)}.`, () => {
        taken.current = taken.current.slice(0, -1);
      });
    },
    async takeBack(numbers) {
      if (underWay.current > 0) return;
      // From the last to the first, so that the numbers of the others stay what they are.
      const order = [...numbers].sort((a, b) => b - a);
      const lost = order
        .map((number) => answered.current.overrides[number - 1])
        .filter((one) => one !== undefined);
      await run(order.map(remove), "Put back to what was read.", () => {
        taken.current = [...taken.current, ...lost];
      });
    },
  };
}

/** One call of the book for a pull as it was heard of last. */
type Step = (pull: StoredPull) => Promise<Answer<StoredPull>>;

/** After so many other changes in a row somebody else is at work on this pull: then they are heard first. */
const tries = 3;

/**
 * Takes a step on the pull as it stands in the book. Where its outcome or notes were kept a moment ago the step is taken
 * on what is there now; where its corrections changed meanwhile, by another hand, it is refused as it was.
 */
async function persist(step: Step, answered: { current: StoredPull }): Promise<Answer<StoredPull>> {
  for (let left = tries; ; left -= 1) {
    const answer = await step(answered.current);
    if (answer.ok) {
      answered.current = answer.value;
      return answer;
    }
    if (answer.status !== 409 || left === 1) return answer;
    const fresh = await ask<StoredPull>("GET", `/api/pulls/${answered.current.id}`);
    if (!fresh.ok) return answer;
    const same = JSON.stringify(fresh.value.overrides) === JSON.stringify(answered.current.overrides);
    answered.current = fresh.value;
    if (!same) return answer;
  }
}

/** The rows that a person named as a pull are the pull itself; they are not undone. */
function isUndoable(list: readonly Override[]): boolean {
  return list.length > 0 && list.at(-1)?.what !== "pull";
}

/** The same correction of a boundary from where later corrections left it. */
function movedOn(correction: Correction, since: readonly Override[]): Correction {
  if (correction.what !== "boundary") return correction;
  let { fromRow } = correction;
  for (const one of since) if (one.what === "boundary" && one.fromRow === fromRow) fromRow = one.toRow;
  return { ...correction, fromRow };
}

/** A correction as it was asked for, without what the book had added. */
function asAsked(override: Override): object {
  const { by, why } = override;
  switch (override.what) {
    case "boundary":
      return { what: override.what, fromRow: override.fromRow, toRow: override.toRow, by, why };
    case "strike slip":
      return { what: override.what, fromRow: override.fromRow, by, why };
    case "add slip":
      return { what: override.what, fromRow: override.fromRow, toRow: override.toRow, by, why };
    default:
      return { what: override.what, by, why };
  }
}
