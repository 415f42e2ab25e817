import type { ComponentChildren } from "preact";
import { valueWithin } from "../../report/mod.ts";
import type { DeepReading, PullReading } from "../../trace/mod.ts";
import { formatNumber, newtons, toForceUnit } from "../../units/mod.ts";
import { Scroll } from "../parts/scroll.tsx";
import { force, forceFigure, forceUnit, percent, seconds } from "../shown-units.ts";

const endWords = {
  collapse: "a fast collapse",
  decline: "a slow decline",
  "cut-off": "the record stops before it",
} as const;

/**
 * What was read of one pull, as a list of facts with their units: every mark of the picture has its number here. What
 * the record does not show says why it is not there.
 */
export function TraceFacts(props: {
  readonly pull: PullReading;
  /** Rated strength of the rope, for the rate in per cent of it. */
  readonly ratedStrengthN?: number;
}) {
  const { pull } = props;
  const { deep } = pull;
  return (
    <dl class="facts">
      <Peak pull={pull} />
      <Fact name="Peak as recorded">{force(pull.peakN)}</Fact>
      <Fact name="Peak at">{placeText(pull.peakTimeS, pull.peakRow)}</Fact>
      <Fact name="Rest, taken as zero">
        {pull.restN === undefined ? <Not why="the file shows no rest" /> : force(pull.restN)}
      </Fact>
      {deep !== undefined && <DeepFacts pull={pull} deep={deep} />}
      <Fact name="Loading rate before the peak">
        <Rate pull={pull} ratedStrengthN={props.ratedStrengthN} />
      </Fact>
      <Fact name="Pull from">{placeText(pull.startS, pull.startRow)}</Fact>
      <Fact name="Pull to">{placeText(pull.endS, pull.endRow)}</Fact>
      <Fact name="After the peak">{endWords[pull.end]}</Fact>
      <Fact name="Noise, standard deviation">{force(pull.noiseN)}</Fact>
    </dl>
  );
}

/** The peak as best known, with its expanded uncertainty; in a reading without deeper parts, less the rest level. */
function Peak({ pull }: { readonly pull: PullReading }) {
  const peak = pull.deep?.peak;
  if (peak === undefined)
    return (
      <div class="large">
        <dt>{pull.netPeakN === undefined ? "Peak" : "Peak, less the rest level"}</dt>
        <dd>{force(pull.netPeakN ?? pull.peakN)}</dd>
      </div>
    );
  return (
    <div class="large">
      <dt>
        Peak, less the rest level{" "}
        <small>
          {peak.lowerBound ? "a lower bound: it was at least this" : "± expanded uncertainty, k = 2"}
        </small>
      </dt>
      <dd>
        {peak.lowerBound
          ? `≥ ${force(peak.valueN - peak.expandedN)}`
          : forceWithin(peak.valueN, peak.expandedN)}
      </dd>
    </div>
  );
}

function DeepFacts({ pull, deep }: { readonly pull: PullReading; readonly deep: DeepReading }) {
  const { bedding, hold, slips } = deep;
  const fell = pull.end === "cut-off" ? "the record stops before it" : "the force went down slowly";
  return (
    <>
      <Fact name="Bedding cycles">
        {bedding === undefined
          ? "none"
          : `${bedding.cycles}, from ${force(bedding.lowestN)} to ${force(bedding.highestN)}`}
      </Fact>
      <Fact name="Hold">
        {hold === undefined ? (
          "none"
        ) : (
          <>
            {force(hold.startN)} to {force(hold.endN)}
            {hold.fromS !== undefined && hold.toS !== undefined && ` in ${seconds(hold.toS - hold.fromS)}`}
          </>
        )}
      </Fact>
      {hold !== undefined && (
        <Fact name="Settling, of the force a decade">
          {hold.settling === undefined ? (
            <Not why="the hold is too short, too noisy, or was moved by hand" />
          ) : (
            `${percent2(hold.settling.perDecade.value)}, 95 % within ${hold.settling.perDecade.interval.map(percent2).join(" and ")}`
          )}
        </Fact>
      )}
      {hold?.settling !== undefined && (
        <Fact name="Settling as a power of time">
          −{formatNumber(hold.settling.exponent.value, { significant: 2 })}, 95 % within{" "}
          {hold.settling.exponent.interval
            .map((one) => `−${formatNumber(one, { significant: 2 })}`)
            .join(" and ")}
          <small>
            {hold.settling.preferred === "neither"
              ? "neither law fits clearly better"
              : `the ${hold.settling.preferred} law fits better`}{" "}
            (AICc {formatNumber(hold.settling.perDecadeAicc, { decimals: 1 })} log-time,{" "}
            {formatNumber(hold.settling.exponentAicc, { decimals: 1 })} power law)
          </small>
        </Fact>
      )}
      <Fact name="First slip">
        {deep.firstSlipN === undefined ? <Not why="none was read" /> : force(deep.firstSlipN)}
      </Fact>
      <Fact name="Slips">
        {slips.length === 0
          ? "none"
          : `${slips.length}, the largest ${force(Math.max(...slips.map(({ fromN, toN }) => fromN - toN)))}`}
        <Spacing deep={deep} />
      </Fact>
      <Fact name="Strokes of the pump">{deep.strokes === 0 ? "none: a steady drive" : deep.strokes}</Fact>
      <Fact name="Time to peak">
        {deep.timeToPeakS === undefined ? <Not why="the recording has no time" /> : seconds(deep.timeToPeakS)}
      </Fact>
      <Fact name="Collapse, 90 % to 10 %">
        {deep.collapseS === undefined ? (
          <Not why={pull.end === "collapse" ? "it did not fall by so much, or there is no time" : fell} />
        ) : (
          milliseconds(deep.collapseS)
        )}
      </Fact>
      <Fact name="Force left after it">
        {deep.residualN === undefined ? (
          <Not why={pull.end === "cut-off" ? fell : "nothing held on"} />
        ) : (
          force(deep.residualN)
        )}
      </Fact>
      <Fact name="Stiffness of the ramp">
        {deep.stiffnessNPerM === undefined ? (
          <Not why="the recording has no displacement" />
        ) : (
          `${formatNumber(deep.stiffnessNPerM / 1000, { significant: 3 })} kN/m`
        )}
      </Fact>
      <Fact name="Energy to peak">
        {deep.energyToPeakJ === undefined ? (
          <Not why="the recording has no displacement" />
        ) : (
          `${formatNumber(deep.energyToPeakJ, { significant: 3 })} J`
        )}
      </Fact>
    </>
  );
}

/** The mean time between slips, where there are three or more. */
function Spacing({ deep: { slips } }: { readonly deep: DeepReading }) {
  const [first, last] = [slips[0]?.timeS, slips.at(-1)?.timeS];
  if (slips.length < 3 || first === undefined || last === undefined) return null;
  return <small>{seconds((last - first) / (slips.length - 1))} apart on average</small>;
}

function Rate({
  pull,
  ratedStrengthN,
}: {
  readonly pull: PullReading;
  readonly ratedStrengthN: number | undefined;
}) {
  const rate = pull.loadingRateNPerS;
  if (rate === undefined) return <Not why="the recording has no clock, or too few samples before the peak" />;
  const { loadingRateFromS: from, loadingRateToS: to } = pull;
  return (
    <>
      {forceFigure(rate)} {forceUnit.value}/s
      {ratedStrengthN !== undefined && (
        <>, {formatNumber((rate / ratedStrengthN) * 6000, { significant: 3 })} % of rated strength a minute</>
      )}
      {from !== undefined && to !== undefined && (
        <small>
          from {seconds(from)} to {seconds(to)}
        </small>
      )}
    </>
  );
}

/** What the peak's uncertainty is made of, part by part, with what each rests on. */
export function UncertaintyBudget({ pull }: { readonly pull: PullReading }) {
  const peak = pull.deep?.peak;
  if (peak === undefined) return null;
  const total = peak.standardN ** 2;
  return (
    <details>
      <summary>How sure the peak is, part by part</summary>
      <Scroll label="Uncertainty of the peak">
        <table>
          <thead>
            <tr>
              <th scope="col">Part</th>
              <th scope="col" class="number">
                Standard uncertainty
              </th>
              <th scope="col" class="number">
                Share
              </th>
              <th scope="col">Rests on</th>
            </tr>
          </thead>
          <tbody>
            {peak.parts.map((part) => (
              <tr key={part.name}>
                <th scope="row">{part.name}</th>
                <td class="number">{smallForce(part.standardN)}</td>
                <td class="number">
                  {total > 0
                    ? `${formatNumber((part.standardN ** 2 / total) * 100, { decimals: 0 })} %`
                    : "–"}
                </td>
                <td>{part.basis}</td>
              </tr>
            ))}
          </tbody>
          <tfoot>
            <tr>
              <th scope="row">together</th>
              <td class="number strong">{smallForce(peak.standardN)}</td>
              <td class="number">100 %</td>
              <td>
                root of the sum of squares; expanded by k = 2: <b>{smallForce(peak.expandedN)}</b>, which
                holds the true peak in about 95 of 100 such readings
              </td>
            </tr>
          </tfoot>
        </table>
      </Scroll>
    </details>
  );
}

/** The drops in the order of time, by the numbers that they carry in the picture. */
export function Drops({ pull }: { readonly pull: PullReading }) {
  if (pull.drops.length === 0) return <p class="aside">No drop larger than the noise was read.</p>;
  const unit = forceUnit.value;
  return (
    <Scroll label="Drops">
      <table>
        <caption>
          Drops: where the force fell from a running highest value, as recorded
          {pull.dropCount === undefined ? "" : `; the largest ${pull.drops.length} of ${pull.dropCount}`}
        </caption>
        <thead>
          <tr>
            <th scope="col">No.</th>
            <th scope="col" class="number">
              At
            </th>
            <th scope="col" class="number">
              From, {unit}
            </th>
            <th scope="col" class="number">
              To, {unit}
            </th>
          </tr>
        </thead>
        <tbody>
          {pull.drops.map((drop, at) => (
            <tr key={drop.row}>
              <th scope="row">{drop.row === pull.peakRow ? "peak" : at + 1}</th>
              <td class="number">{placeText(drop.timeS, drop.row)}</td>
              <td class="number">{forceFigure(drop.fromN)}</td>
              <td class="number">{forceFigure(drop.toN)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroll>
  );
}

/** A force with its expanded uncertainty, in the unit that the reader chose. */
export function forceWithin(forceN: number, expandedN: number): string {
  const unit = forceUnit.value;
  return `${valueWithin(toForceUnit(newtons(forceN), unit), toForceUnit(newtons(expandedN), unit))} ${unit}`;
}

/** A time and its row, or the row alone where the recording has no clock. */
export function placeText(timeS: number | undefined, row: number): string {
  return timeS === undefined ? `row ${row}` : `${seconds(timeS)} (row ${row})`;
}

function Fact({ name, children }: { readonly name: string; readonly children: ComponentChildren }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function Not({ why }: { readonly why: string }) {
  return <span class="refused">not given: {why}</span>;
}

function percent2(fraction: number): string {
  return Math.abs(fraction) < 0.1 ? `${formatNumber(fraction * 100, { decimals: 2 })} %` : percent(fraction);
}

function milliseconds(valueS: number): string {
  return valueS < 1 ? `${formatNumber(valueS * 1000, { significant: 2 })} ms` : seconds(valueS);
}

function smallForce(valueN: number): string {
  const unit = forceUnit.value === "kN" ? "N" : forceUnit.value;
  return `${formatNumber(toForceUnit(newtons(valueN), unit), { significant: 2 })} ${unit}`;
}
