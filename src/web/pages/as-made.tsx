import { useRoute } from "preact-iso/router";
import type { RecipeVersion, SeriesOverview } from "../../app/mod.ts";
import type { CutSheet } from "../../splice/mod.ts";
import { Photographs } from "../book/photographs.tsx";
import type { Specimen } from "../book/specimen-rows.ts";
import { Care, Note, Section, SeriesPage } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { AsMadeForm } from "../splice/as-made-form.tsx";
import { CutPlan, Steps } from "../splice/cut-plan.tsx";
import { useAsMade } from "../splice/use-as-made.ts";
import { useResource } from "../use-resource.ts";

/** One specimen beside the splice: how it is to be cut and marked, and how it was really made. */
export default function AsMade() {
  const { params } = useRoute();
  const { id = "", specimenId = "" } = params;
  return (
    <SeriesPage
      key={specimenId}
      id={id}
      title="As made"
      chapter="2 of 6, Splice"
      intro="Enter what you measure while it lies before you. It is kept as you type it."
    >
      {(overview) => {
        const specimen = overview.specimens.find((one) => one.id === specimenId);
        if (specimen === undefined)
          return (
            <Problems
              problems={[
                {
                  code: "BOOK_NOT_FOUND",
                  message: "This series has no such specimen.",
                  found: specimenId,
                  wayOut: "Choose it on the page Splice of its series.",
                },
              ]}
            />
          );
        return <OneSpecimen overview={overview} specimen={specimen} />;
      }}
    </SeriesPage>
  );
}

function OneSpecimen({
  overview,
  specimen,
}: {
  readonly overview: SeriesOverview;
  readonly specimen: Specimen;
}) {
  const home = `/series/${overview.series.id}`;
  const sheet = useAsMade(specimen);
  const plan = useResource<CutSheet>(`/api${home}/cut-sheet?all=1`);
  const spool = overview.spools.find(({ id }) => id === specimen.spoolId);
  const rope = overview.ropes.find(({ id }) => id === (specimen.ropeId ?? spool?.ropeId));
  const recipe = useVersion(specimen);
  const planned = plan?.ok === true ? plan.value : undefined;
  const batch = planned?.batches.find(({ specimens }) => specimens.some(({ id }) => id === specimen.id));
  const open = planned?.open.find(({ id }) => id === specimen.id);
  const pull = overview.pulls.find(({ specimenId }) => specimenId === specimen.id);
  return (
    <>
      <Section
        title={`Specimen ${specimen.label}`}
        margin={
          <Care title="Say what was not alike" whence="Common practice, no published source">
            A re-done taper, a cut yarn, another spool: write it down now. After the pull nobody remembers.
          </Care>
        }
      >
        {batch !== undefined && (
          <p class="cut-length">
            Cut {batch.marked.cut.pieces === 2 ? "two pieces of " : ""}
            <strong>{Math.round(batch.marked.cut.pieceMm)} mm</strong>
          </p>
        )}
        {open !== undefined && (
          <Problems heading="Its cut length cannot be worked out yet" problems={open.problems} />
        )}
        <AsMadeForm sheet={sheet} recipe={recipe} diameterMm={rope?.nominalDiameterMm} batch={batch} />
      </Section>
      {batch !== undefined && (
        <Section
          title="Cut and marks"
          margin={
            <Note>
              Distances are on slack rope before anything is spliced. The grey steps over the rope are what is
              left of the tail’s cross-section.
            </Note>
          }
        >
          <CutPlan batch={batch} />
        </Section>
      )}
      {recipe !== undefined && recipe.steps.length > 0 && (
        <Section title="The steps">
          <Steps steps={recipe.steps} />
        </Section>
      )}
      <Section title="Photographs">
        <Photographs
          subject={{ kind: "specimen", id: specimen.id }}
          about={specimen.label}
          pictures={overview.pictures.filter(
            ({ subject }) => subject.kind === "specimen" && subject.id === specimen.id,
          )}
          none="None yet. Throat, taper steps and the exit, before they are hidden."
        />
        <div class="buttons">
          <a class="button" href={`${home}/splice`}>
            All specimens
          </a>
          <a class="button" href={pull === undefined ? `${home}/pull` : `${home}/pull/${pull.id}`}>
            {pull === undefined ? "On to the pulls" : "Its pull"}
          </a>
        </div>
      </Section>
    </>
  );
}

/** The recipe as it was when this specimen was made by it. */
function useVersion({ recipeId, recipeRevision }: Specimen): RecipeVersion["fields"] | undefined {
  // Without a recipe nothing is asked: the list of the program's own is there in any case.
  const answer = useResource<readonly RecipeVersion[]>(
    recipeId === undefined ? "/api/built-in-recipes" : `/api/recipes/${recipeId}/versions`,
  );
  if (recipeId === undefined || answer?.ok !== true) return undefined;
  return answer.value.find(({ revision }) => revision === recipeRevision)?.fields;
}
