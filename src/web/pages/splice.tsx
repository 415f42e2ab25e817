import { useState } from "preact/hooks";
import { useRoute } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { SpecimenPhotographs } from "../book/series-album.tsx";
import { SpecimenLedger } from "../book/specimen-ledger.tsx";
import { missingOfPlan, nextLabel } from "../book/specimen-rows.ts";
import { Care, Note, Section, SeriesPage } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { ask } from "../server.ts";
import { CutSheets } from "../splice/cut-sheets.tsx";
import { Recipes } from "../splice/recipes.tsx";
import { SideBySide } from "../splice/side-by-side.tsx";
import { Spools } from "../splice/spools.tsx";
import { count } from "../words.ts";

/** Splice: the specimens as they were made. */
export default function Splice() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  return (
    <SeriesPage
      key={id}
      id={id}
      title="Splice"
      chapter="2 of 6"
      intro="Each specimen as it was made, and in which way it was not like the others."
    >
      {(overview) => (
        <>
          <Section
            wide
            title={count(overview.specimens.length, "specimen")}
            margin={
              <>
                <Note>
                  Arrow keys and Enter move, Tab goes right. Typing replaces, Escape puts back, Ctrl+D copies
                  from above. A row keeps itself when you leave a cell.
                </Note>
                <Note>
                  Lengths are millimetres unless you say otherwise: 600, 2 ft, 1/4 in. Full bury and taper are
                  kept apart. Wanted takes a tension as well: 600 mm at 5 kN. What stands in grey is what
                  recipe and wanted length ask for; it is not kept.
                </Note>
                <Care title="Say what was not alike" whence="Common practice, no published source">
                  A re-done taper, a cut yarn, another spool: write it in the notes now. After the pull nobody
                  remembers.
                </Care>
              </>
            }
          >
            {overview.specimens.length === 0 && (
              <p class="empty">
                No specimens yet. Type what is written on the first one into the row below; the rest follows
                it.
              </p>
            )}
            <SpecimenLedger overview={overview} />
            <FromPlan overview={overview} />
            <a class="button" href={`/series/${overview.series.id}/pull`}>
              On to the pulls
            </a>
          </Section>
          <AsMadeLinks overview={overview} />
          <CutSheets overview={overview} />
          <Recipes recipes={overview.recipes} ropes={overview.ropes} />
          <Spools overview={overview} />
          <SideBySide overview={overview} />
          <SpecimenPhotographs overview={overview} />
        </>
      )}
    </SeriesPage>
  );
}

/** The way from each specimen to its own page, to be filled in beside the splice. */
function AsMadeLinks({ overview }: { readonly overview: SeriesOverview }) {
  if (overview.specimens.length === 0) return null;
  return (
    <Section
      title="As made"
      margin={
        <Note>Each page is made for a phone beside the splice; the labels of the cut sheet lead to it.</Note>
      }
    >
      <ul class="as-made-links">
        {overview.specimens.map(({ id, label, cutLengthMm, buryFullMm }) => (
          <li key={id}>
            <a class="button" href={`/series/${overview.series.id}/splice/${id}`}>
              {label}
              <span class="aside">
                {cutLengthMm === undefined ? " not cut" : buryFullMm === undefined ? " cut" : " made"}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </Section>
  );
}

/** Lays out rows for the specimens that the plan still wants. */
function FromPlan({ overview }: { readonly overview: SeriesOverview }) {
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [busy, setBusy] = useState(false);
  const cells = missingOfPlan(overview).filter((cell) => cell.missing > 0);
  const missing = cells.reduce((sum, cell) => sum + cell.missing, 0);
  if (missing === 0 || missing > 200) return null;

  async function make(): Promise<void> {
    setBusy(true);
    const last = overview.specimens.at(-1);
    let label = last?.label ?? "";
    // Specimens take turns through the cells, so that whatever drifts while they are made falls on all cells alike.
    const most = Math.max(...cells.map((cell) => cell.missing));
    const order = Array.from({ length: most }, (_, round) =>
      cells.filter((cell) => cell.missing > round),
    ).flat();
    for (const [at, { levels }] of order.entries()) {
      label = label === "" ? "A1" : nextLabel(label);
      const answer = await ask(
        "POST",
        "/api/records/specimen",
        {
          seriesId: overview.series.id,
          label,
          levels,
          ...(last?.ropeId === undefined ? {} : { ropeId: last.ropeId }),
          ...(last?.maker === undefined ? {} : { maker: last.maker }),
        },
        { quiet: at < order.length - 1 },
      );
      if (!answer.ok) {
        setProblems(answer.problems);
        break;
      }
    }
    setBusy(false);
    announce("Rows for the plan are laid out.");
  }

  return (
    <>
      <button type="button" disabled={busy} onClick={make}>
        Lay out the {count(missing, "specimen")} that the plan still wants
      </button>
      <Problems heading="Not all rows could be laid out" problems={problems} />
    </>
  );
}
