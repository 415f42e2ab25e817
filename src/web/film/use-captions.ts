import { useEffect, useState } from "preact/hooks";

/** The address of a pull's captions for a film that shows the break at this second; undefined until they are there. */
export function useCaptions(
  pullId: string,
  breakS: number | undefined,
  unit: "kN" | "lbf",
): string | undefined {
  const [address, setAddress] = useState<string>();
  useEffect(() => {
    setAddress(undefined);
    if (breakS === undefined) return;
    const stop = new AbortController();
    let made: string | undefined;
    fetch(
      `/api/pulls/${encodeURIComponent(pullId)}/captions.vtt?filmMomentS=${breakS}&moment=break&ratePerS=10&unit=${unit}`,
      { signal: stop.signal },
    )
      .then(async (answer) => {
        if (!answer.ok || stop.signal.aborted) return;
        made = URL.createObjectURL(new Blob([await answer.text()], { type: "text/vtt" }));
        setAddress(made);
      })
      // Without captions the film plays all the same.
      .catch(() => undefined);
    return () => {
      stop.abort();
      if (made !== undefined) URL.revokeObjectURL(made);
    };
  }, [pullId, breakS, unit]);
  return address;
}
