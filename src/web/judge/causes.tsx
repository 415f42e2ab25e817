import type { SeriesOverview } from "../../app/mod.ts";
import type { SeriesFindings } from "../../findings/mod.ts";
import type { CausesOf } from "./causes-of.ts";
import { Claims } from "./claims.tsx";
import { Pooling } from "./pooling.tsx";
import { RateAndHold } from "./rate-and-hold.tsx";
import { type JudgeSection, sectionOf } from "./sections.ts";
import { SlipOrBreak } from "./slip-or-break.tsx";
import { WhatMattered } from "./what-mattered.tsx";
import { WhereItFailed } from "./where-it-failed.tsx";

/** All that is said of causes and of what others say; fetched after the first sentences stand. */
export function Causes(props: { readonly overview: SeriesOverview; readonly findings: SeriesFindings }) {
  const of = (section: JudgeSection): CausesOf => ({
    ...props,
    sentences: props.findings.findings.filter(({ id }) => sectionOf(id) === section),
  });
  return (
    <>
      <SlipOrBreak {...props} />
      <WhatMattered {...of("mattered")} />
      <WhereItFailed {...of("places")} />
      <RateAndHold {...of("rate and hold")} />
      <Claims {...of("claims")} />
      <Pooling {...of("pooling")} />
    </>
  );
}
