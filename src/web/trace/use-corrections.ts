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
  /** True once the correction is kept. */
  make(correction: Correction): Promise<boolean>;
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
  // left, not what the page still shows.
  const answered = useRef(asLoaded);
  if (answered.current.id !== asLoaded.id || answered.current.revision < asLoaded.revision)
    answered.current = asLoaded;
  const pull = answered.current;
  const [taken, setTaken] = useState<readonly Override[]>([]);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, setBusy] = useState(false);
  const list = pull.overrides;
  const undoable = list.at(-1)?.what !== "pull" && list.length > 0;

  async function run(steps: readonly (() => Promise<Answer<StoredPull>>)[], said: string): Promise<boolean> {
    setBusy(true);
    setProblems([]);
    let failed: readonly Problem[] | undefined;
    for (const step of steps) {
      const answer = await step();
      if (answer.ok) continue;
      failed = answer.problems;
      break;
    }
    setBusy(false);
    setProblems(failed ?? []);
    announce(failed === undefined ? said : "The correction was not kept.");
    // Asked for anew also where it was refused: somebody else may have corrected the same pull.
    changes.value += 1;
    return failed === undefined;
  }

  const heard = (answer: Answer<StoredPull>): Answer<StoredPull> => {
    if (answer.ok) answered.current = answer.value;
    return answer;
  };
  const path = `/api/pulls/${pull.id}/overrides`;
  const quiet = { quiet: true };
  const add = (override: object) => async () =>
    heard(await ask<StoredPull>("POST", path, { revision: answered.current.revision, override }, quiet));
  const remove = (number: number) => async () =>
    heard(
      await ask<StoredPull>("DELETE", `${path}/${number}`, { revision: answered.current.revision }, quiet),
    );

  return {
    list,
    busy,
    problems,
    canUndo: undoable && !busy,
    canRedo: taken.length > 0 && !busy,
    async make(correction) {
      const kept = await run([add(correction)], "Correction kept.");
      if (kept) setTaken([]);
      return kept;
    },
    async undo() {
      const last = list.at(-1);
      if (last === undefined || !undoable || busy) return;
      if (await run([remove(list.length)], `Undone: ${correctionWords(last)}.`)) setTaken([...taken, last]);
    },
    async redo() {
      const next = taken.at(-1);
      if (next === undefined || busy) return;
      if (await run([add(asAsked(next))], `Done again: ${correctionWords(next)}.`))
        setTaken(taken.slice(0, -1));
    },
    async takeBack(numbers) {
      // From the last to the first, so that the numbers of the others stay what they are.
      const order = [...numbers].sort((a, b) => b - a);
      const lost = order.map((number) => list[number - 1]).filter((one) => one !== undefined);
      if (await run(order.map(remove), "Put back to what was read.")) setTaken([...taken, ...lost]);
    },
  };
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
