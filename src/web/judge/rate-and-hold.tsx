import type { RateEffect, SettlingShown } from "../../findings/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { FoldedSection } from "../parts/fold.tsx";
import { Note } from "../parts/page.tsx";
import { force } from "../shown-units.ts";
import type { CausesOf } from "./causes-of.ts";
import { byWhat, pFigure, roughShare, ShareEstimate, shareRange } from "./estimates.tsx";
import { gistOfRateAndHold } from "./gists.ts";
import { Refused } from "./refused.tsx";
import { Sentences } from "./sentences.tsx";

/** How the rate of loading goes with strength, and how force settles at a hold. */
export function RateAndHold({ overview, findings, sentences }: CausesOf) {
  const { rateEffect, settling } = findings.mattered;
  const said = (id: string) => (
    <Sentences
      findings={sentences.filter((finding) => finding.id === id)}
      pulls={findings.pulls}
      seriesId={overview.series.id}
    />
  );
  return (
    <FoldedSection
      title="Rate and hold"
      id="rate-and-hold"
      gist={gistOfRateAndHold(findings)}
      margin={
        <Note>
          The rate is that of each pull’s last rise. It was seldom varied on purpose: what goes with it may
          come from what else was different.
        </Note>
      }
    >
      <h3>Strength against the loading rate</h3>
      {said("rate")}
      <Rate of={rateEffect} />
      <h3>Settling at the hold</h3>
      {said("settling")}
      <Settling of={settling} />
    </FoldedSection>
  );
}

function Rate({ of }: { readonly of: Result<RateEffect> }) {
  if (!of.ok) return <Refused of={of} />;
  const { n, ratesNPerS, perTenfold, significance, wouldSee } = of.value;
  return (
    <dl class="facts">
      <div>
        <dt>Rates of these {n} pulls</dt>
        <dd>
          {force(ratesNPerS[0])}/s to {force(ratesNPerS[1])}/s
        </dd>
      </div>
      <div>
        <dt>At ten times the rate, strength changes by (95 % interval)</dt>
        <dd class="estimate">
          <ShareEstimate of={perTenfold} signed />
        </dd>
      </div>
      <div>
        <dt>p</dt>
        <dd>
          {pFigure(significance.p)}, {byWhat(significance)}
        </dd>
      </div>
      <div>
        <dt>Would have been seen</dt>
        <dd>{roughShare(wouldSee)} for ten times the rate</dd>
      </div>
    </dl>
  );
}

function Settling({ of }: { readonly of: Result<SettlingShown> }) {
  if (!of.ok) return <Refused of={of} />;
  const { n, mean, nextPull, bySize, perTenfoldForce, perTenfoldDiameter } = of.value;
  return (
    <dl class="facts">
      <div>
        <dt>Lost in each tenfold of time, {n} pulls (95 % interval)</dt>
        <dd class="estimate">
          <ShareEstimate of={mean} />
        </dd>
      </div>
      <div>
        <dt>The next pull’s would lie between</dt>
        <dd>{shareRange(nextPull).replace(" to ", " and ")}</dd>
      </div>
      {bySize.map((size) => (
        <div key={size.diameterMm}>
          <dt>
            Of {size.diameterMm} mm rope, n = {size.n}
          </dt>
          <dd class="estimate">
            <ShareEstimate of={size.mean} />
          </dd>
        </div>
      ))}
      <div>
        <dt>At ten times the force held it changes by (points of per cent)</dt>
        <dd class="estimate">
          {perTenfoldForce.ok ? (
            <ShareEstimate of={perTenfoldForce.value} signed />
          ) : (
            <Refused of={perTenfoldForce} />
          )}
        </dd>
      </div>
      <div>
        <dt>At ten times the diameter it changes by (points of per cent)</dt>
        <dd class="estimate">
          {perTenfoldDiameter.ok ? (
            <ShareEstimate of={perTenfoldDiameter.value} signed />
          ) : (
            <Refused of={perTenfoldDiameter} />
          )}
        </dd>
      </div>
    </dl>
  );
}
