import { useLocation } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import { type Growth, type SeriesFindings, type SeriesSlipOrBreak, variesBury } from "../../findings/mod.ts";
import { PickField } from "../parts/field.tsx";
import { FoldedSection } from "../parts/fold.tsx";
import { Note } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { gistOfBury } from "./gists.ts";
import { SlipOrBreakAnswer } from "./slip-or-break-answer.tsx";
import { type SlipOrBreakState, useSlipOrBreak } from "./use-slip-or-break.ts";

const chances = [0.5, 0.1, 0.05, 0.01];
const confidences = [0.75, 0.9, 0.95, 0.99];
const laws: Readonly<Record<Growth | "auto", string>> = {
  auto: "as the pulls can tell",
  exponential: "ever faster (exponential)",
  linear: "in a straight line (linear)",
};

type Asked = { readonly chance: number; readonly confidence: number; readonly growth: Growth | "auto" };

/**
 * Whether the bury is long enough: the bury to state at a chance and a confidence that the reader chooses, worked out by the
 * server with its progress shown. The choice stands in the address, so that it can be handed on.
 */
export function SlipOrBreak(props: { readonly overview: SeriesOverview; readonly findings: SeriesFindings }) {
  const { series } = props.overview;
  const { path, query, route } = useLocation();
  const asked = askedIn(query);
  const set = (change: Partial<Asked>): void => {
    const next = { ...asked, ...change };
    const words = new URLSearchParams({
      ...query,
      "slip-chance": String(next.chance),
      "bury-confidence": String(next.confidence),
      growth: next.growth,
    });
    route(`${path}?${words}`, true);
  };
  const words = new URLSearchParams({
    chance: String(asked.chance),
    confidence: String(asked.confidence),
    growth: asked.growth,
  });
  const { state, stop, again } = useSlipOrBreak(`/api/series/${series.id}/slip-or-break?${words}`);
  // A series without any bury has no such question.
  if (state.is === "answered" && !state.answer.ok && state.answer.problems[0]?.code === "FINDING_NO_BURY")
    if (!series.factors.some(({ name }) => /\bbury\b/i.test(name))) return null;
  const found = answerOf(state);
  return (
    <FoldedSection
      title="Is the bury long enough?"
      id="slip-or-break"
      open={variesBury(series.factors)}
      gist={found === undefined ? "" : gistOfBury(found)}
      margin={
        <>
          <Note>
            Each specimen has two strengths: that of its bury and that of its rope. It shows the smaller.
            Short buries slip, long ones break, and in between either may come first.
          </Note>
          <Note>
            <b>The bury to state</b> is an upper bound: in so many of a hundred series worked out so, the true
            length lies below it. The best estimate alone is too short half of the time.
          </Note>
          <Note>It holds for splices made like these, in rope like this, pulled once and fast.</Note>
        </>
      }
    >
      <div class="bound-choice">
        <PickField
          label="At most so many slip first"
          value={String(asked.chance)}
          options={shares(chances, asked.chance)}
          onInput={(chance) => set({ chance: Number(chance) })}
        />
        <PickField
          label="With confidence"
          value={String(asked.confidence)}
          options={shares(confidences, asked.confidence)}
          onInput={(confidence) => set({ confidence: Number(confidence) })}
        />
        <PickField
          label="Slip strength grows with bury"
          value={asked.growth}
          options={Object.entries(laws).map(([value, label]) => ({ value, label }))}
          onInput={(growth) => set({ growth: growth as Growth | "auto" })}
        />
      </div>
      <Work state={state} onStop={stop} onAgain={again} />
      <Answered state={state} {...props} />
    </FoldedSection>
  );
}

/** How far the work is, with the way to stop it and to begin it again; always as high, so that nothing jumps. */
function Work(props: {
  readonly state: SlipOrBreakState;
  readonly onStop: () => void;
  readonly onAgain: () => void;
}) {
  const { state } = props;
  if (state.is === "answered") return null;
  if (state.is === "stopped")
    return (
      <div class="work">
        <p role="status">
          Stopped.{" "}
          {state.before === undefined ? "Nothing was worked out." : "What stands below is from before."}
        </p>
        <button type="button" onClick={props.onAgain}>
          Work it out
        </button>
      </div>
    );
  return (
    <div class="work">
      <label>
        Pulling these specimens thousands of times over, in numbers
        <progress value={state.done} max={1}>
          {Math.round(100 * state.done)} %
        </progress>
      </label>
      <button type="button" onClick={props.onStop}>
        Stop
      </button>
    </div>
  );
}

function Answered(props: {
  readonly state: SlipOrBreakState;
  readonly overview: SeriesOverview;
  readonly findings: SeriesFindings;
}) {
  const { state } = props;
  if (state.is === "answered" && !state.answer.ok)
    return <Problems heading="Nothing can be said of the bury" problems={state.answer.problems} />;
  const shown = answerOf(state);
  return shown === undefined ? (
    // The place of what is on its way, so that little jumps when it comes.
    <div class="on-its-way" />
  ) : (
    <SlipOrBreakAnswer of={shown} overview={props.overview} findings={props.findings} />
  );
}

/** The answer that stands, of before where it is worked out anew. */
function answerOf(state: SlipOrBreakState): SeriesSlipOrBreak | undefined {
  if (state.is !== "answered") return state.before;
  return state.answer.ok ? state.answer.value : undefined;
}

function askedIn(query: Readonly<Record<string, string>>): Asked {
  const growth = query["growth"];
  return {
    chance: shareIn(query["slip-chance"], 0.001, 0.5) ?? 0.05,
    confidence: shareIn(query["bury-confidence"], 0.5, 0.99) ?? 0.95,
    growth: growth === "exponential" || growth === "linear" ? growth : "auto",
  };
}

function shareIn(text: string | undefined, least: number, most: number): number | undefined {
  const value = Number(text);
  return value >= least && value <= most ? value : undefined;
}

/** The customary shares, and the one that the address names. */
function shares(customary: readonly number[], named: number) {
  return [...new Set([...customary, named])]
    .sort((a, b) => a - b)
    .map((share) => ({ value: String(share), label: `${Number((share * 100).toPrecision(6))} %` }));
}
