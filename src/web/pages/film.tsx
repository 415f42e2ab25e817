import { useRoute } from "preact-iso/router";
import type { PullOnFilm, SeriesOverview } from "../../app/mod.ts";
import { FilmPlayer } from "../film/film-player.tsx";
import { Opening, Waiting } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { useResource } from "../use-resource.ts";
import { pullName } from "../words.ts";

/** The film of a pull, with its trace moving along. The film stays on the user's machine. */
export default function Film() {
  const { params } = useRoute();
  const id = params["id"] ?? "";
  const pullId = params["pullId"] ?? "";
  const overview = useResource<SeriesOverview>(`/api/series/${encodeURIComponent(id)}/overview`);
  const film = useResource<PullOnFilm>(`/api/pulls/${encodeURIComponent(pullId)}/film`);
  if (overview === undefined || film === undefined)
    return (
      <>
        <Opening title="The film of a pull" />
        <Waiting text="Opening the pull" />
      </>
    );
  const pull = overview.ok ? overview.value.pulls.find((one) => one.id === pullId) : undefined;
  if (!film.ok || !overview.ok || pull === undefined)
    return (
      <>
        <Opening title="No film of this pull">
          <a href={`/series/${id}/pull`}>To the pulls of the series.</a>
        </Opening>
        <Problems problems={[...(film.ok ? [] : film.problems), ...(overview.ok ? [] : overview.problems)]} />
      </>
    );
  const name = pullName(pull, overview.value);
  return (
    <>
      <Opening
        title={`The film of ${name}`}
        chapter={
          <>
            3 of 6, <a href={`/series/${id}/pull/${pullId}`}>the pull</a>
          </>
        }
      >
        Choose the film that you took of this pull, find the moment of the break in it, and the force moves
        along. The film stays on your machine.
      </Opening>
      <FilmPlayer
        key={pullId}
        pullId={pullId}
        pull={film.value}
        name={name}
        simulated={overview.value.series.simulated}
      />
    </>
  );
}
