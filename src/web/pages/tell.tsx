import { useRoute } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import { Section, SeriesPage } from "../parts/page.tsx";
import { changes } from "../server.ts";
import { CompletenessList } from "../tell/completeness-list.tsx";
import { FiguresToSave } from "../tell/figures-to-save.tsx";
import { Publishing } from "../tell/publishing.tsx";
import { WordsEditor } from "../tell/words-editor.tsx";

/** Tell: the report as it would be published, and what was published. */
export default function Tell() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  return (
    <SeriesPage
      key={id}
      id={id}
      title="Tell"
      chapter="5 of 6"
      intro="One page that holds all of it: question, method, every pull, figures, findings, and the data to download."
    >
      {(overview) => <ReportsOf overview={overview} />}
    </SeriesPage>
  );
}

function ReportsOf({ overview }: { readonly overview: SeriesOverview }) {
  const { series } = overview;
  return (
    <>
      <Publishing overview={overview} />
      <WordsEditor series={series} />
      <CompletenessList seriesId={series.id} />
      <FiguresToSave seriesId={series.id} />
      <Section wide title="The page as it would be now">
        <iframe
          key={changes.value}
          // Made anew with each change, which takes the book a while: only where somebody looks at it.
          loading="lazy"
          class="report-page"
          title={`Report of ${series.title}, as it would be published now`}
          src={`/api/series/${series.id}/report`}
          sandbox="allow-downloads"
        />
      </Section>
    </>
  );
}
