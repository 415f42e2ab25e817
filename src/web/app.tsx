import lazy, { ErrorBoundary } from "preact-iso/lazy";
import { LocationProvider, Route, Router, useLocation } from "preact-iso/router";
import type { SeriesOverview } from "../app/mod.ts";
import { Announcements } from "./announce.tsx";
import { placeOnLine, TheLine } from "./line/the-line.tsx";
import { Waiting } from "./parts/page.tsx";
import { forceUnit, showForcesIn, shownForceUnits } from "./shown-units.ts";
import { setTheme, theme, themes } from "./theme.ts";
import { useResource } from "./use-resource.ts";
import { capital } from "./words.ts";

const Welcome = lazy(() => import("./pages/welcome.tsx"));
const Ask = lazy(() => import("./pages/ask.tsx"));
const Splice = lazy(() => import("./pages/splice.tsx"));
const Pulls = lazy(() => import("./pages/pulls.tsx"));
const PullPage = lazy(() => import("./pages/pull-page.tsx"));
const Judge = lazy(() => import("./pages/judge.tsx"));
const Tell = lazy(() => import("./pages/tell.tsx"));
const Use = lazy(() => import("./pages/use.tsx"));
const BenchBook = lazy(() => import("./pages/bench-book.tsx"));
const Help = lazy(() => import("./pages/help.tsx"));
const NotFound = lazy(() => import("./pages/not-found.tsx"));

/** The bench book on screen: the line, a running head, and the page that the address names. */
export function App() {
  return (
    <LocationProvider>
      <div class="book">
        <a class="skip" href="#leaf">
          Go to the page
        </a>
        <TheLine />
        <RunningHead />
        <main id="leaf" class="leaf" tabIndex={-1}>
          <ErrorBoundary>
            <Pages />
          </ErrorBoundary>
        </main>
        <Announcements />
      </div>
    </LocationProvider>
  );
}

function Pages() {
  return (
    <Router>
      <Route path="/" component={Welcome} />
      <Route path="/series/:id/ask" component={Ask} />
      <Route path="/series/:id/splice" component={Splice} />
      <Route path="/series/:id/pull" component={Pulls} />
      <Route path="/series/:id/pull/:pullId" component={PullPage} />
      <Route path="/series/:id/judge" component={Judge} />
      <Route path="/series/:id/tell" component={Tell} />
      <Route path="/series/:id/use" component={Use} />
      <Route path="/bench-book" component={BenchBook} />
      <Route path="/help" component={Help} />
      <Route default component={NotFound} />
    </Router>
  );
}

function RunningHead() {
  const { path } = useLocation();
  const { seriesId } = placeOnLine(path);
  return (
    <header class="running-head">
      <span class="of">
        {seriesId === undefined ? <a href="/">Bitter End, the bench book</a> : <SeriesName id={seriesId} />}
      </span>
      <a href="/">Series</a>
      <a href="/bench-book">Bench book</a>
      <a href="/help">Help</a>
      <label>
        <span class="setting">Forces in</span>
        <select
          value={forceUnit.value}
          onChange={(event) => {
            const unit = shownForceUnits.find((name) => name === event.currentTarget.value);
            if (unit !== undefined) showForcesIn(unit);
          }}
        >
          {shownForceUnits.map((unit) => (
            <option key={unit}>{unit}</option>
          ))}
        </select>
      </label>
      <label>
        <span class="setting">Paper</span>
        <select
          value={theme.value}
          onChange={(event) => {
            const next = themes.find((name) => name === event.currentTarget.value);
            if (next !== undefined) setTheme(next);
          }}
        >
          {themes.map((name) => (
            <option key={name} value={name}>
              {name === "system" ? "Auto" : capital(name)}
            </option>
          ))}
        </select>
      </label>
    </header>
  );
}

function SeriesName({ id }: { readonly id: string }) {
  const answer = useResource<SeriesOverview>(`/api/series/${encodeURIComponent(id)}/overview`);
  if (answer?.ok !== true) return <Waiting bare />;
  const { series } = answer.value;
  return (
    <>
      <a href={`/series/${encodeURIComponent(id)}/ask`}>{series.title}</a>{" "}
      {series.simulated && <span class="stamp">simulated</span>}
    </>
  );
}
