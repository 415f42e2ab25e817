import { type Signal, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { type Answer, ask, changes } from "./server.ts";

/** What was last heard for each address. It stays on the page while it is asked for again, so that nothing jumps. */
const heard = new Map<string, Signal<Answer<unknown> | undefined>>();
/** At which change an address was last asked for: two places on a page that show the same ask once. */
const underWay = new Map<string, number>();

/** The answer of an address, kept up to date with every change made from this page; undefined until the first. */
export function useResource<T>(path: string): Answer<T> | undefined {
  const answer = answerOf(path);
  const change = changes.value;
  useEffect(() => {
    if (underWay.get(path) === change) return;
    underWay.set(path, change);
    ask("GET", path).then((said) => {
      // A later change may have asked again meanwhile; the older answer is then not shown.
      if (underWay.get(path) !== change) return;
      underWay.delete(path);
      answer.value = said;
    });
  }, [path, change, answer]);
  return answer.value as Answer<T> | undefined;
}

function answerOf(path: string): Signal<Answer<unknown> | undefined> {
  const known = heard.get(path);
  if (known !== undefined) return known;
  const fresh = signal<Answer<unknown> | undefined>(undefined);
  heard.set(path, fresh);
  return fresh;
}
