import type { ListedFigure } from "../../app/mod.ts";
import { Note, Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { SaveFigure } from "../parts/save-figure.tsx";
import { useResource } from "../use-resource.ts";

/** Every figure that can be drawn of the series, to be put into a film, an article or a page of one's own. */
export function FiguresToSave({ seriesId }: { readonly seriesId: string }) {
  const figures = useResource<readonly ListedFigure[]>(`/api/series/${seriesId}/figures`);
  if (figures === undefined) return null;
  if (!figures.ok) return <Problems heading="The figures cannot be listed" problems={figures.problems} />;
  if (figures.value.length === 0) return null;
  return (
    <Section
      title="Figures to take away"
      margin={
        <Note>
          Each file carries its title, where it comes from, and its data. A PNG has two pixels for each of the
          drawing’s, sharp on a fine screen and in print.
        </Note>
      }
    >
      <ul class="contents figures">
        {figures.value.map(({ kind, number, title, shows }) => (
          <li key={`${kind} ${number ?? 1}`}>
            <b>{title}</b>
            <span class="aside">{shows}</span>
            <SaveFigure of={{ seriesId, kind, ...(number === undefined ? {} : { number }) }} name={title} />
          </li>
        ))}
      </ul>
    </Section>
  );
}
