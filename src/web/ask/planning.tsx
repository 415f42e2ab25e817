import { useState } from "preact/hooks";
import type { SeriesOverview, SeriesPlan } from "../../app/mod.ts";
import { Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { forceUnit } from "../shown-units.ts";
import { count, whenText } from "../words.ts";
import { nothingTyped, type PlanTyped, planAsked, usePlan } from "./asked.ts";
import { HowManyPulls } from "./how-many-pulls.tsx";
import { InWhichOrder } from "./in-which-order.tsx";
import { WhatItTakes } from "./what-it-takes.tsx";
import { WhichBuries } from "./which-buries.tsx";

/** What was typed, by series: turning to another page loses none of it. */
const typedBySeries = new Map<string, PlanTyped>();

/** Beneath the plan as it is kept: what it needs and can tell, before anything is pulled. */
export function Planning({ overview }: { readonly overview: SeriesOverview }) {
  const { id } = overview.series;
  const [typed, setTyped] = useState<PlanTyped>(typedBySeries.get(id) ?? nothingTyped);
  const put = (change: Partial<PlanTyped>): void => {
    const next = { ...typed, ...change };
    typedBySeries.set(id, next);
    setTyped(next);
  };
  const answer = usePlan(id, JSON.stringify(planAsked(typed, forceUnit.value)));
  const [kept, setKept] = useState<SeriesPlan>();
  if (answer?.ok === true && answer.value !== kept) setKept(answer.value);
  const problems = answer?.ok === false ? answer.problems : [];
  const props = { overview, plan: kept, typed, put, problems };
  return (
    <div class="planning">
      {kept !== undefined && kept.changes.length > 0 && <Changes plan={kept} />}
      <HowManyPulls {...props} />
      <WhichBuries {...props} />
      <InWhichOrder {...props} />
      <WhatItTakes {...props} />
      <Problems
        heading="This plan cannot be worked out"
        problems={problems.filter(({ where }) => where?.field === undefined)}
      />
    </div>
  );
}

/** What was changed once pulls existed, and what that does to what may be concluded. */
function Changes({ plan }: { readonly plan: SeriesPlan }) {
  return (
    <Section title="The plan was changed after pulls">
      {plan.changes.map(({ at, pullsThen, changed, inference }) => (
        <div key={at} class="plan-change">
          <p>
            <b>{whenText(at)}</b>, after {count(pullsThen, "pull")}: {changed.join("; ")}.
          </p>
          <ul class="plain-list">
            {inference.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </div>
      ))}
    </Section>
  );
}
