import type { Problem, Result } from "../../problem/mod.ts";
import { type Store, type StoreRefusal, StoreTrouble, type StoreWork } from "../store.ts";

/**
 * Runs work as one transaction that a refusal undoes: what the work wrote before it refused is not kept. A store that
 * cannot work through no fault of the program is a refusal too.
 */
export async function transact<T>(
  store: Store,
  work: (book: StoreWork) => Promise<Result<T>>,
): Promise<Result<T>> {
  return orTrouble(async () => {
    try {
      return await store.transaction(async (book) => {
        const result = await work(book);
        if (!result.ok) throw new Undone(result);
        return result;
      });
    } catch (error) {
      if (error instanceof Undone) return error.result;
      throw error;
    }
  });
}

/** Work that reads outside a transaction, with the store's trouble as a refusal. */
export async function orTrouble<T>(work: () => Promise<Result<T>>): Promise<Result<T>> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof StoreTrouble) return { ok: false, problems: [error.problem] };
    throw error;
  }
}

/** Carries a refusal out of a transaction, which is undone by a throw only. */
class Undone extends Error {
  readonly result: { readonly ok: false; readonly problems: readonly Problem[] };

  constructor(result: { readonly ok: false; readonly problems: readonly Problem[] }) {
    super("undone");
    this.result = result;
  }
}

/** What the store refused, in words. */
export function refusalProblem(refusal: StoreRefusal): Problem {
  switch (refusal.kind) {
    case "missing":
      return refusal.field === undefined
        ? notFound(refusal.what, refusal.id)
        : {
            code: "INPUT_FIELD",
            message: `The book holds no ${refusal.what} with this id.`,
            where: { field: refusal.field },
            found: refusal.id,
            expected: `the id of a ${refusal.what} in the book`,
          };
    case "changed-meanwhile":
      return {
        code: "BOOK_CHANGED",
        message: "Somebody changed this meanwhile; nothing was overwritten.",
        found: `revision ${refusal.revision}`,
        wayOut: "Load it again, look at what changed, and enter your change once more.",
      };
    case "in-use":
      return {
        code: "BOOK_IN_USE",
        message: `This is in use and stays: ${refusal.by}.`,
        found: refusal.by,
        wayOut: "Remove what uses it first, or let that use something else.",
      };
    case "taken":
      return {
        code: "BOOK_TAKEN",
        message: `This ${refusal.field === "recordingPull" ? "pull of the recording" : refusal.field} is used already.`,
        where: { field: refusal.field },
        found: refusal.value,
        expected: "one that is not used yet",
      };
  }
}

export function notFound(what: string, id: string): Problem {
  return { code: "BOOK_NOT_FOUND", message: `The book holds no ${what} with this id.`, found: id };
}
