import { useCallback } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import {
  buryBoundText,
  buryText,
  chanceText,
  type Estimated,
  levelText,
  type SeriesFindings,
  type SeriesSlipOrBreak,
} from "../../findings/mod.ts";
import { Fold } from "../parts/fold.tsx";
import { Warnings } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { count } from "../words.ts";
import { shareRange } from "./estimates.tsx";
import { markedPulls } from "./marked-pulls.ts";
import { ReportFigure } from "./report-figure.tsx";
import { Sentences } from "./sentences.tsx";

const lawWords = {
  exponential: "its logarithm grows in a straight line with the bury (exponential)",
  linear: "it grows in a straight line with the bury (linear)",
};

/** The answer: its sentences, the chance of slipping against the bury drawn, the lengths, the laws, what to pull next. */
export function SlipOrBreakAnswer(props: {
  readonly of: SeriesSlipOrBreak;
  readonly overview: SeriesOverview;
  readonly findings: SeriesFindings;
}) {
  const { of } = props;
  const { series } = props.overview;
  const { answer } = of;
  const ringed = markedPulls.value?.pulls;
  const draw = useCallback(
    ({ figureSlipOrBreak }: typeof import("../figures.ts"), width: number) =>
      figureSlipOrBreak(of, {
        id: "judge-slip-or-break",
        width,
        simulated: series.simulated,
        ...(ringed === undefined ? {} : { ringed }),
      }),
    [of, series.simulated, ringed],
  );
  const said = new Set(of.findings.flatMap(({ warnings }) => warnings.map(({ message }) => message)));
  const further = of.findings.slice(1);
  return (
    <div class="stack slip-or-break">
      <Sentences findings={of.findings.slice(0, 1)} pulls={props.findings.pulls} seriesId={series.id} />
      <Warnings warnings={of.warnings.filter(({ message }) => !said.has(message))} />
      <ReportFigure
        tall
        label="slip or break against the bury"
        save={{ seriesId: series.id, kind: "slip-or-break" }}
        draw={draw}
      />
      {answer.lengths.length > 0 && <Lengths of={answer} />}
      {further.length > 0 && (
        <Fold
          id="bury-further"
          summary={`${count(further.length, "further finding")} of the bury, level by level`}
        >
          <Sentences findings={further} pulls={props.findings.pulls} seriesId={series.id} />
          {of.byLevel.length > 0 && <ByLevel of={of} />}
        </Fold>
      )}
      {answer.growths.length > 0 && <Laws of={answer} />}
      <p class="aside">
        {answer.refits.made === 0
          ? "Nothing was fitted."
          : `${answer.refits.settled} of ${answer.refits.made} refits settled; seed ${answer.refits.seed}. The same pulls and seed give the same answer.`}
      </p>
    </div>
  );
}

function Lengths({ of }: { readonly of: SeriesSlipOrBreak["answer"] }) {
  const rows = new Map([of.length, ...of.lengths].map((length) => [length.chance, length]));
  return (
    <Scroll label="Lengths of bury">
      <table class="stacked narrow">
        <thead>
          <tr>
            <th scope="col">Slipping first</th>
            <th scope="col" class="number">
              Best estimate
            </th>
            <th scope="col" class="number">
              Bound, {chanceText(of.confidence)} confidence
            </th>
          </tr>
        </thead>
        <tbody>
          {[...rows.values()]
            .sort((a, b) => b.chance - a.chance)
            .map((length) => (
              <tr key={length.chance} class={length.chance === of.length.chance ? "asked" : ""}>
                <th scope="row">
                  {chanceText(length.chance)}
                  {length.chance === of.length.chance && <span class="soft"> asked for</span>}
                </th>
                <td class="number" data-head="best estimate">
                  {length.estimate === undefined ? <span class="refused">none</span> : buryText(length)}
                </td>
                <td class="number strong" data-head="bound">
                  {length.upper === undefined ? (
                    <span class="refused">the pulls put no end to it</span>
                  ) : (
                    buryBoundText(length)
                  )}
                </td>
              </tr>
            ))}
        </tbody>
      </table>
    </Scroll>
  );
}

/** The bury at each level of what else was varied. */
function ByLevel({ of: { byLevel, answer } }: { readonly of: SeriesSlipOrBreak }) {
  return (
    <Scroll label="Bury at each level">
      <table class="stacked narrow">
        <caption>
          The bury at which {chanceText(answer.length.chance)} slip first, at each level of what else was
          varied; the others at the mean of their pulls
        </caption>
        <thead>
          <tr>
            <th scope="col">Level</th>
            <th scope="col" class="number">
              Pulls
            </th>
            <th scope="col" class="number">
              Best estimate
            </th>
            <th scope="col" class="number">
              Bound, {chanceText(answer.confidence)} confidence
            </th>
          </tr>
        </thead>
        <tbody>
          {byLevel.map((one) => (
            <tr key={`${one.factor} ${one.level}`}>
              <th scope="row">{levelText(one)}</th>
              <td class="number" data-head="pulls">
                {one.pulls.length}
              </td>
              <td class="number" data-head="best estimate">
                {one.estimate === undefined ? <span class="refused">none</span> : buryText(one)}
              </td>
              <td class="number strong" data-head="bound">
                {one.upper === undefined ? (
                  <span class="refused">the pulls put no end to it</span>
                ) : (
                  buryBoundText(one)
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

function Laws({ of }: { readonly of: SeriesSlipOrBreak["answer"] }) {
  return (
    <details class="laws">
      <summary>The laws as they were fitted</summary>
      <dl class="facts">
        {of.growths.map((law) => (
          <div key={law.growth}>
            <dt>
              Slip strength: {lawWords[law.growth]}
              {law.growth === of.growth && of.growths.length > 1 && "; this one fits better"}
            </dt>
            <dd>
              {estimated(law.intercept)} + {estimated(law.slope)} per d, scatter {estimated(law.scatter)}
              <small>
                {law.aicc === undefined ? "" : `AICc ${law.aicc.toFixed(1)}, `}counts for{" "}
                {Math.round(100 * law.weight)} %
              </small>
            </dd>
          </div>
        ))}
        {of.break !== undefined && (
          <div>
            <dt>Break strength, of legs × rated strength, in the median</dt>
            <dd>
              {(100 * of.break.plateau.strength).toFixed(1)} %
              <small>
                {of.break.plateau.interval === undefined ? "" : `${shareRange(of.break.plateau.interval)}, `}
                scatter {estimated(of.break.scatter)}
              </small>
            </dd>
          </div>
        )}
      </dl>
      <p class="aside">
        After each ± stands its standard error. Scatter: standard deviation of the logarithm.
      </p>
    </details>
  );
}

function estimated({ value, standardError }: Estimated): string {
  const figure = String(Number(value.toPrecision(3)));
  return standardError === undefined ? figure : `${figure} ± ${Number(standardError.toPrecision(2))}`;
}
