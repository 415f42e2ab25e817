import { useEffect, useState } from "preact/hooks";
import type { SeriesSlipOrBreak } from "../../findings/mod.ts";
import { type Answer, changes } from "../server.ts";
import { askWithProgress } from "./ask-with-progress.ts";

/** How far the work is: from 0 to 1, stopped by the reader, or answered. */
export type SlipOrBreakState =
  | { readonly is: "running"; readonly done: number; readonly before?: SeriesSlipOrBreak }
  | { readonly is: "stopped"; readonly before?: SeriesSlipOrBreak }
  | { readonly is: "answered"; readonly answer: Answer<SeriesSlipOrBreak> };

/**
 * The server's answer to what is asked of the bury, worked out again when the question or the book changes. While it is
 * worked out again the answer before stands, where it was to the same question.
 */
export function useSlipOrBreak(path: string) {
  const [round, setRound] = useState(0);
  const [held, setHeld] = useState<{ readonly path: string; readonly state: SlipOrBreakState }>();
  const [stop, setStop] = useState<AbortController>();
  const change = changes.value;
  // A change of the book and a new round ask again.
  useEffect(() => {
    const control = new AbortController();
    const put = (next: (before?: SeriesSlipOrBreak) => SlipOrBreakState) =>
      setHeld((now) => ({ path, state: next(now?.path === path ? answerIn(now.state) : undefined) }));
    const running = (done: number) => put((before) => ({ is: "running", done, ...(before && { before }) }));
    setStop(control);
    running(0);
    askWithProgress<SeriesSlipOrBreak>(path, { signal: control.signal, onProgress: running }).then(
      (answer) => !control.signal.aborted && put(() => ({ is: "answered", answer })),
      // Only where it was stopped: by the reader, who is told so, or because the question is another.
      () =>
        control.signal.reason === "reader" && put((before) => ({ is: "stopped", ...(before && { before }) })),
    );
    return () => control.abort("left");
  }, [path, change, round]);
  return {
    state: held?.path === path ? held.state : ({ is: "running", done: 0 } as const),
    stop: () => stop?.abort("reader"),
    again: () => setRound((now) => now + 1),
  };
}

function answerIn(state: SlipOrBreakState): SeriesSlipOrBreak | undefined {
  if (state.is !== "answered") return state.before;
  return state.answer.ok ? state.answer.value : undefined;
}
