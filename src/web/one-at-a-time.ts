import { useRef, useState } from "preact/hooks";

/**
 * Work of which one run is under way at a time: a second press, sooner than the page could draw a button as busy, does
 * nothing. The same is sent once, however fast the hand and however slow the book.
 *
 * @example
 * const [busy, once] = useOneAtATime();
 * <button disabled={busy} onClick={() => once(publish)}>Publish</button>
 */
export function useOneAtATime(): readonly [
  busy: boolean,
  once: (work: () => Promise<unknown>) => Promise<void>,
] {
  const [busy, setBusy] = useState(false);
  const underWay = useRef(false);
  async function once(work: () => Promise<unknown>): Promise<void> {
    if (underWay.current) return;
    underWay.current = true;
    setBusy(true);
    try {
      await work();
    } finally {
      underWay.current = false;
      setBusy(false);
    }
  }
  return [busy, once];
}
