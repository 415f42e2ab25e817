import { useCallback } from "preact/hooks";
import type { FailurePlaces } from "../../findings/mod.ts";
import { formatNumber } from "../../units/mod.ts";
import { FoldedSection } from "../parts/fold.tsx";
import { Note } from "../parts/page.tsx";
import { Scroll } from "../parts/scroll.tsx";
import type { CausesOf } from "./causes-of.ts";
import { pFigure, shareRange } from "./estimates.tsx";
import { gistOfPlaces } from "./gists.ts";
import { Refused } from "./refused.tsx";
import { ReportFigure } from "./report-figure.tsx";
import { Sentences } from "./sentences.tsx";

/** Where specimens failed: on a drawn connector, and level by level with the interval of each share. */
export function WhereItFailed({ overview, findings, sentences }: CausesOf) {
  const { simulated } = overview.series;
  const draw = useCallback(
    ({ figurePlaces }: typeof import("../figures.ts"), width: number) =>
      figurePlaces(findings.pulls, { id: "judge-places", width, simulated }),
    [findings, simulated],
  );
  if (sentences.length === 0) return null;
  return (
    <FoldedSection
      title="Where it failed"
      id="where-it-failed"
      gist={gistOfPlaces(findings)}
      margin={
        <>
          <Note>The drawing is of no scale: it only shows where.</Note>
          <Note>
            Beneath each count stands what share of all such specimens would fail there: Wilson’s 95 %
            interval. None of 8 still leaves room for one in three.
          </Note>
        </>
      }
    >
      <ReportFigure
        label="where specimens failed"
        save={{ seriesId: overview.series.id, kind: "places" }}
        draw={draw}
      />
      <Sentences findings={sentences} pulls={findings.pulls} seriesId={overview.series.id} />
      {findings.mattered.failurePlaces.map((places) => (
        <PlacesTable key={places.factor} of={places} />
      ))}
    </FoldedSection>
  );
}

function PlacesTable({ of }: { readonly of: FailurePlaces }) {
  const caption = of.factor === "" ? "Where it failed" : `Where it failed, by ${of.factor}`;
  return (
    <div>
      <Scroll label={caption}>
        <table class="places">
          <caption>{caption}</caption>
          <thead>
            <tr>
              <th scope="col">{of.factor === "" ? "Pulls" : of.factor}</th>
              <th scope="col" class="number">
                n
              </th>
              {of.places.map((place) => (
                <th key={place} scope="col" class="number">
                  {place}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {of.rows.map((row) => (
              <tr key={row.label}>
                <th scope="row">{row.label}</th>
                <td class="number">{row.n}</td>
                {row.counts.map(({ place, count, share }) => (
                  <td key={place} class="number">
                    <span class={count > 0 ? "strong" : ""}>{count}</span>
                    <small>{shareRange(share.interval)}</small>
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </Scroll>
      <p class="aside">
        {of.test.ok
          ? `That place and ${of.factor} have nothing to do with each other: p ${of.test.value.p < 0.001 ? "" : "= "}${pFigure(of.test.value.p)}, ${of.test.value.exact ? "exact over" : "by"} ${formatNumber(of.test.value.tables, { decimals: 0 })} tables${of.test.value.exact ? "" : " drawn at random"}.`
          : ""}
        <Refused of={of.test} />
      </p>
    </div>
  );
}
