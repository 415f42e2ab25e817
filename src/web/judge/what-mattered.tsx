import { useCallback } from "preact/hooks";
import type { FactorEffect, OrderTrend, ScatterParts, SeriesFindings } from "../../findings/mod.ts";
import type { Result } from "../../problem/mod.ts";
import { FoldedSection } from "../parts/fold.tsx";
import { Given } from "../parts/given.tsx";
import { Note } from "../parts/page.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { force } from "../shown-units.ts";
import { count } from "../words.ts";
import type { CausesOf } from "./causes-of.ts";
import { byWhat, ForceEstimate, pFigure, roughShare, ShareEstimate, shareRange } from "./estimates.tsx";
import { gistOfEffects } from "./gists.ts";
import { Refused } from "./refused.tsx";
import { ReportFigure } from "./report-figure.tsx";
import { Sentences } from "./sentences.tsx";

/** What each factor of the plan did, whether one changes another's effect, the order, and the parts of the scatter. */
export function WhatMattered({ overview, findings, sentences }: CausesOf) {
  const { mattered } = findings;
  const { simulated } = overview.series;
  const effects = useCallback(
    ({ figureEffects }: typeof import("../figures.ts"), width: number) =>
      figureEffects(findings, { id: "judge-effects", width, simulated }),
    [findings, simulated],
  );
  const parts = useCallback(
    ({ figureScatterParts }: typeof import("../figures.ts"), width: number) =>
      figureScatterParts(findings, { id: "judge-parts", width, simulated }),
    [findings, simulated],
  );
  const said = (ids: RegExp) => (
    <Sentences
      findings={sentences.filter(({ id }) => ids.test(id))}
      pulls={findings.pulls}
      seriesId={overview.series.id}
    />
  );
  return (
    <FoldedSection
      title="What mattered"
      id="what-mattered"
      gist={gistOfEffects(findings)}
      margin={
        <>
          <Note>
            <b>An interval that crosses zero</b> means that these pulls do not show which way it goes. It does
            not mean that there is no effect: <b>would have been seen</b> says how large one had to be.
          </Note>
          <Note>
            <b>p</b> is how often chance alone would part the levels as far. The more that is asked of the
            same pulls, the more often chance answers: the smaller print counts all questions in (Holm).
          </Note>
          <Note>
            Only what was varied on purpose, in a drawn order, is a cause. Rope, spool and maker are kept
            apart where the plan lets them.
          </Note>
        </>
      }
    >
      {mattered.effects.length === 0 && (
        <p class="empty">The plan of this series varies nothing. What is varied on purpose is said at Ask.</p>
      )}
      {mattered.effects.some(({ effect }) => effect.ok) && (
        <ReportFigure
          label="each level against the first of its factor"
          save={{ seriesId: overview.series.id, kind: "effects" }}
          draw={effects}
        />
      )}
      {said(/^effect-/)}
      {mattered.effects.some(({ effect }) => effect.ok) && <EffectsTable effects={mattered.effects} />}
      {mattered.interactions.length > 0 && (
        <>
          <h3>Does one change what another does?</h3>
          {said(/^interaction-/)}
          <Interactions of={mattered.interactions} />
        </>
      )}
      <h3>Where the scatter comes from</h3>
      {said(/^scatter-parts$/)}
      {mattered.scatterParts.ok && (
        <>
          <ReportFigure
            label="the parts of the scatter"
            save={{ seriesId: overview.series.id, kind: "scatter" }}
            draw={parts}
          />
          <PartsTable of={mattered.scatterParts.value} />
        </>
      )}
      <Refused of={mattered.scatterParts} />
      <h3>In the order of pulling</h3>
      {said(/^order-trend$/)}
      <Order of={mattered.orderTrend} />
    </FoldedSection>
  );
}

function EffectsTable({ effects }: { readonly effects: SeriesFindings["mattered"]["effects"] }) {
  return (
    <Scroll label="Effects, level against level">
      <table class="stacked">
        <thead>
          <tr>
            <th scope="col">Against</th>
            <th scope="col" class="number">
              Stronger, 95 % interval
            </th>
            <th scope="col" class="number">
              Difference, 95 % interval
            </th>
            <th scope="col" class="number">
              p
            </th>
            <th scope="col" class="number">
              Would have been seen
            </th>
          </tr>
        </thead>
        {effects.map(({ factor, effect }) => (
          <tbody key={factor}>
            <tr>
              <th colSpan={5} scope="rowgroup" class="group">
                {factor}
                <Refused of={effect} />
                {effect.ok && <About effect={effect.value} />}
              </th>
            </tr>
            {effect.ok && <Pairs effect={effect.value} />}
          </tbody>
        ))}
      </table>
    </Scroll>
  );
}

/** What stands over a factor's rows: its levels' means, what was kept apart, and how its p came about. */
function About({ effect }: { readonly effect: FactorEffect }) {
  const { levels, by, significance, blockedBy, randomParts, n } = effect;
  const mean = (value: number) => (by === "strength" ? force(value) : roughShare(value));
  return (
    <small>
      {by === "strength" ? "Mean strength" : "Mean leg efficiency"}:{" "}
      {levels.map((level) => `${level.label} ${mean(level.mean)} (n = ${level.n})`).join(", ")}. Over all
      levels p {equals(significance.p)}, {byWhat(significance)}; with the other questions counted in, p{" "}
      {equals(significance.pOfAll)}; n = {n}.
      {blockedBy.length > 0 && ` Compared within ${blockedBy.join(", ")}.`}
      {by === "leg efficiency" &&
        " The difference is one of leg efficiencies, since the pulls are of several ropes or numbers of legs."}
      {randomParts.length > 0 && ` Counted as random: ${randomParts.join(", ")}.`}
    </small>
  );
}

function equals(p: number): string {
  return p < 0.001 ? pFigure(p) : `= ${pFigure(p)}`;
}

function Pairs({ effect }: { readonly effect: FactorEffect }) {
  return (
    <>
      {effect.pairs.map((pair) => (
        <tr key={`${pair.from} ${pair.to}`}>
          <th scope="row">
            {pair.to} <span class="soft">against {pair.from}</span>
          </th>
          <td class="number strong" data-head="stronger">
            <ShareEstimate of={pair.relative} signed />
          </td>
          <td class="number" data-head="difference">
            {effect.by === "strength" ? (
              <ForceEstimate of={pair.difference} />
            ) : (
              <ShareEstimate of={pair.difference} signed />
            )}
          </td>
          <td class="number" data-head="p">
            {pFigure(pair.p)}
          </td>
          <td class="number" data-head="would have been seen">
            {roughShare(pair.wouldSee)}
          </td>
        </tr>
      ))}
    </>
  );
}

function Interactions({ of }: { readonly of: SeriesFindings["mattered"]["interactions"] }) {
  return (
    <Scroll label="Interactions">
      <table class="stacked">
        <thead>
          <tr>
            <th scope="col">Factors</th>
            <th scope="col" class="number">
              n
            </th>
            <th scope="col" class="number">
              F
            </th>
            <th scope="col" class="number">
              p
            </th>
            <th scope="col" class="number">
              With all questions counted in
            </th>
            <th scope="col" class="number">
              Change of the effect, 95 % interval
            </th>
          </tr>
        </thead>
        <tbody>
          {of.map((one) => (
            <tr key={one.factors.join(" ")}>
              <th scope="row">{one.factors.join(" and ")}</th>
              <td class="number" data-head="n">
                {one.n}
              </td>
              <td class="number" data-head="F">
                {Number(one.f.toPrecision(3))} ({one.df.join(", ")})
              </td>
              <td class="number" data-head="p">
                {pFigure(one.significance.p)}
                <small>{byWhat(one.significance)}</small>
              </td>
              <td class="number" data-head="with all questions counted in">
                {pFigure(one.significance.pOfAll)}
              </td>
              <td class="number" data-head="change of the effect">
                {one.relative === undefined ? (
                  <span class="refused">more than two levels: no single figure</span>
                ) : (
                  <ShareEstimate of={one.relative} signed />
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

function PartsTable({ of }: { readonly of: ScatterParts }) {
  return (
    <Scroll label="Parts of the scatter">
      <table class="stacked narrow">
        <caption>
          {of.without.length === 0 ? "" : `The effect of ${of.without.join(" and ")} is taken out first. `}
          SD in per cent of the strength; n = {of.n}.
        </caption>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col" class="number">
              SD
            </th>
            <th scope="col" class="number">
              95 % interval
            </th>
            <th scope="col" class="number">
              Of the variance
            </th>
          </tr>
        </thead>
        <tbody>
          {of.parts.map((part) => (
            <tr key={part.name}>
              <th scope="row">
                {part.name}
                {part.groups !== undefined && <span class="soft"> {count(part.groups, "group")}</span>}
              </th>
              <td class="number strong" data-head="SD">
                {roughShare(part.sd)}
              </td>
              <td class="number" data-head="95 % interval">
                <Given of={part.interval}>{shareRange}</Given>
              </td>
              <td class="number" data-head="of the variance">
                {Math.round(100 * part.share)} %
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

function Order({ of }: { readonly of: Result<OrderTrend> }) {
  if (!of.ok) return <Refused of={of} />;
  const { perTenPulls, significance, wouldSee } = of.value;
  return (
    <dl class="facts">
      <div>
        <dt>Over ten pulls, strength changes by (95 % interval)</dt>
        <dd class="estimate">
          <ShareEstimate of={perTenPulls} signed />
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
        <dd>{roughShare(wouldSee)} over ten pulls</dd>
      </div>
    </dl>
  );
}
