import { useCallback, useState } from "preact/hooks";
import type { StoredRecord } from "../../app/mod.ts";
import type { PooledSeries } from "../../findings/mod.ts";
import { announce } from "../announce.tsx";
import { FoldedSection } from "../parts/fold.tsx";
import { Note } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import type { CausesOf } from "./causes-of.ts";
import { pFigure, roughShare, ShareEstimate, shareRange } from "./estimates.tsx";
import { gistOfPooling } from "./gists.ts";
import { PooledForm } from "./pooled-form.tsx";
import { Refused } from "./refused.tsx";
import { ReportFigure } from "./report-figure.tsx";
import { Sentences } from "./sentences.tsx";
import { useTakeOut } from "./use-take-out.ts";

/** These pulls beside those of others: chosen from the book or typed from a publication, drawn as a forest. */
export function Pooling({ overview, findings, sentences }: CausesOf) {
  const { series, pooledSeries } = overview;
  const [open, setOpen] = useState<StoredRecord<"pooled-series"> | "new">();
  const { problems, takeOut } = useTakeOut("pooled-series");
  return (
    <FoldedSection
      title="Together with others"
      id="pooling"
      gist={gistOfPooling(pooledSeries.length)}
      margin={
        <>
          <Note>
            Series of other benches are not more pulls of this one: each has a mean of its own, and what
            scatters between benches counts in the answer.
          </Note>
          <Note>
            <b>The next bench</b> says where its mean would lie. With two or three series it lies nearly
            anywhere.
          </Note>
        </>
      }
    >
      {pooledSeries.length === 0 && <p class="empty">No other series has been set beside this one.</p>}
      <Sentences findings={sentences} pulls={findings.pulls} seriesId={series.id} />
      {findings.pooled.map((pooled, at) => (
        <Pool key={pooled.about} seriesId={series.id} of={pooled} at={at} simulated={series.simulated} />
      ))}
      {pooledSeries.length > 0 && (
        <ul class="contents">
          {pooledSeries.map((one) => (
            <li key={one.id}>
              <span>
                {one.name}{" "}
                <span class="aside">
                  {one.otherSeriesId === undefined ? `published: ${one.source}` : "a series of this book"}
                </span>
              </span>
              <span class="buttons">
                <button type="button" class="plain" onClick={() => setOpen(one)}>
                  change<span class="unseen"> {one.name}</span>
                </button>
                <TakeOut
                  name={one.name}
                  onTakeOut={async () => {
                    if (await takeOut(one.id)) announce("It stands beside this series no longer.");
                  }}
                />
              </span>
            </li>
          ))}
        </ul>
      )}
      <Problems heading="Not taken out" problems={problems} />
      <button type="button" onClick={() => setOpen("new")}>
        Set another series beside this one
      </button>
      {open !== undefined && (
        <PooledForm
          overview={overview}
          record={open === "new" ? undefined : open}
          onClose={() => setOpen(undefined)}
        />
      )}
    </FoldedSection>
  );
}

function Pool(props: {
  readonly seriesId: string;
  readonly of: PooledSeries;
  readonly at: number;
  readonly simulated: boolean;
}) {
  const { seriesId, of, at, simulated } = props;
  const draw = useCallback(
    ({ figureForest }: typeof import("../figures.ts"), width: number) =>
      of.sources.length === 0
        ? undefined
        : figureForest(of, { id: `judge-forest-${at + 1}`, width, simulated }),
    [of, at, simulated],
  );
  return (
    <div class="stack">
      <h3>{of.about === "all pulls" ? "All pulls" : `Pulls at ${of.about}`}</h3>
      <ReportFigure
        label={`series together, ${of.about}`}
        save={{ seriesId, kind: "forest", number: at + 1 }}
        draw={draw}
      />
      {of.sources.length > 0 && <Sources of={of} />}
      {of.leftOut.map(({ name, why }) => (
        <p key={name} class="refused block">
          {name}: {why}
        </p>
      ))}
      <Refused of={of.pooled} />
      {of.samePopulation.ok ? (
        <p class="aside">
          That the pulls themselves are of one kind ({of.samePopulation.value.groups} series, test of Anderson
          and Darling): p {of.samePopulation.value.p < 0.001 ? "" : "= "}
          {pFigure(of.samePopulation.value.p)}.
        </p>
      ) : (
        <Refused of={of.samePopulation} />
      )}
    </div>
  );
}

function Sources({ of }: { readonly of: PooledSeries }) {
  return (
    <Scroll label={`Series set together, ${of.about}`}>
      <table class="stacked">
        <thead>
          <tr>
            <th scope="col">Series</th>
            <th scope="col" class="number">
              n
            </th>
            <th scope="col" class="number">
              Mean leg efficiency, 95 % interval
            </th>
            <th scope="col" class="number">
              Counts for
            </th>
            <th scope="col">Source</th>
          </tr>
        </thead>
        <tbody>
          {of.sources.map((source) => (
            <tr key={`${source.of} ${source.name}`}>
              <th scope="row">
                {source.name}
                {source.of !== source.name && <small>{source.of}</small>}
              </th>
              <td class="number" data-head="n">
                {source.n}
              </td>
              <td class="number strong" data-head="mean leg efficiency">
                <ShareEstimate of={source.mean} />
              </td>
              <td class="number" data-head="counts for">
                {source.weight === undefined ? (
                  <span class="refused">not pooled</span>
                ) : (
                  roughShare(source.weight)
                )}
              </td>
              <td data-head="source">{source.source === "" ? "–" : source.source}</td>
            </tr>
          ))}
          {of.pooled.ok && (
            <tr>
              <th scope="row">Together</th>
              <td class="number" data-head="n">
                {of.sources.reduce((sum, { n }) => sum + n, 0)}
              </td>
              <td class="number strong" data-head="mean leg efficiency">
                <ShareEstimate of={of.pooled.value.mean} />
              </td>
              <td />
              <td>the next bench: {shareRange(of.pooled.value.nextSeries)}</td>
            </tr>
          )}
        </tbody>
      </table>
    </Scroll>
  );
}
