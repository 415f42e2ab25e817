import type { PullReading } from "../../trace/mod.ts";
import { Scroll } from "../parts/scroll.tsx";
import { force, forceFigure, forceUnit, seconds } from "../shown-units.ts";

const endWords = {
  collapse: "a fast collapse",
  decline: "a slow decline",
  "cut-off": "the record stops before it",
} as const;

/** What was read of one pull, as a list of facts: every mark of the picture has its number here. */
export function TraceFacts({ pull }: { readonly pull: PullReading }) {
  return (
    <dl class="facts">
      <div class="large">
        <dt>Peak as recorded</dt>
        <dd>{force(pull.peakN)}</dd>
      </div>
      {pull.netPeakN !== undefined && (
        <div class="large">
          <dt>Less the rest level</dt>
          <dd>{force(pull.netPeakN)}</dd>
        </div>
      )}
      <Fact name="Peak at" value={placeText(pull.peakTimeS, pull.peakRow)} />
      <Fact
        name="Rest, taken as zero"
        value={pull.restN === undefined ? "not shown by the file" : force(pull.restN)}
      />
      <Fact name="Pull from" value={placeText(pull.startS, pull.startRow)} />
      <Fact name="Pull to" value={placeText(pull.endS, pull.endRow)} />
      <Fact
        name="Loading rate before the peak"
        value={
          pull.loadingRateNPerS === undefined
            ? "not given"
            : `${forceFigure(pull.loadingRateNPerS)} ${forceUnit.value}/s`
        }
      />
      <Fact name="After the peak" value={endWords[pull.end]} />
      <Fact name="Noise" value={force(pull.noiseN)} />
    </dl>
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
          Drops: where the force fell from a running highest value
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

function Fact({ name, value }: { readonly name: string; readonly value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  );
}

function placeText(timeS: number | undefined, row: number): string {
  return timeS === undefined ? `row ${row}` : `${seconds(timeS)} (row ${row})`;
}
