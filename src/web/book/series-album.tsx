import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import type { SeriesOverview } from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import { announce } from "../announce.tsx";
import { PickField } from "../parts/field.tsx";
import { Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { TakeOut } from "../parts/take-out.tsx";
import { ask } from "../server.ts";
import { count } from "../words.ts";
import { Photographs } from "./photographs.tsx";

/** Photographs of the series as a whole: the bench, all specimens side by side. */
export function SeriesPhotographs({ overview }: { readonly overview: SeriesOverview }) {
  const { series, pictures } = overview;
  return (
    <Section title="Photographs of the series">
      <Photographs
        subject={{ kind: "series", id: series.id }}
        about={series.title}
        pictures={pictures.filter(({ subject }) => subject.kind === "series")}
        none="None yet. The bench as it stands, and all specimens side by side before the first pull."
      />
    </Section>
  );
}

/** Photographs of one specimen after another, as they were made. */
export function SpecimenPhotographs({ overview }: { readonly overview: SeriesOverview }) {
  const { specimens, pictures } = overview;
  const [chosen, setChosen] = useState("");
  const specimen = specimens.find(({ id }) => id === chosen) ?? specimens[0];
  if (specimen === undefined) return null;
  const has = (id: string): number =>
    pictures.filter(({ subject }) => subject.kind === "specimen" && subject.id === id).length;
  return (
    <Section title="Photographs of specimens">
      <PickField
        label="Specimen"
        value={specimen.id}
        options={specimens.map(({ id, label }) => ({
          value: id,
          label: has(id) === 0 ? label : `${label}, ${count(has(id), "photograph")}`,
        }))}
        onInput={setChosen}
      />
      <Photographs
        key={specimen.id}
        subject={{ kind: "specimen", id: specimen.id }}
        about={specimen.label}
        pictures={pictures.filter(({ subject }) => subject.kind === "specimen" && subject.id === specimen.id)}
        none="None yet. The splice before it is pulled, with a rule beside it."
      />
    </Section>
  );
}

/** Takes a series out of the book once nothing is in it any more; until then it says what still is. */
export function TakeOutSeries({ overview }: { readonly overview: SeriesOverview }) {
  const { route } = useLocation();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const { series, specimens, pulls, recordings, reports } = overview;
  const inIt = [
    [pulls.length, "pull"],
    [specimens.length, "specimen"],
    [recordings.length, "recording"],
    [reports.length, "report"],
  ] as const;
  const left = inIt.filter(([n]) => n > 0).map(([n, what]) => count(n, what));

  async function remove(): Promise<void> {
    const answer = await ask("DELETE", `/api/records/series/${series.id}`);
    if (!answer.ok) return setProblems(answer.problems);
    announce("The series is out of the book.");
    route("/");
  }

  return (
    <Section title="Take this series out of the book">
      {left.length > 0 ? (
        <p>
          It still holds {left.join(", ")}. Take those out first; what is pulled and published is not lost by
          one press.
        </p>
      ) : (
        <p>
          Nothing is in it any more. <TakeOut name={`series ${series.title}`} onTakeOut={remove} />
        </p>
      )}
      <Problems heading="It stays in the book" problems={problems} />
    </Section>
  );
}

/** Takes one pull out of the series; its recording stays in the book. */
export function TakeOutPull(props: { readonly id: string; readonly name: string; readonly series: string }) {
  const { route } = useLocation();
  const [problems, setProblems] = useState<readonly Problem[]>([]);

  async function remove(): Promise<void> {
    const answer = await ask("DELETE", `/api/records/pull/${props.id}`, undefined, { quiet: true });
    if (!answer.ok) return setProblems(answer.problems);
    announce(`${props.name} is out of the series.`);
    route(`/series/${props.series}/pull`);
  }

  return (
    <Section title="Take this pull out of the series">
      <p>
        A pull that went wrong is better said to be void: it is then left out of every figure, and the report
        says why. <TakeOut name={props.name} onTakeOut={remove} />
      </p>
      <Problems heading="It stays in the series" problems={problems} />
    </Section>
  );
}
