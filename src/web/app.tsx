import { signal } from "@preact/signals";
import type { VNode } from "preact";
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

const Welcome = page(() => import("./pages/welcome.tsx"));
const Ask = page(() => import("./pages/ask.tsx"));
const Splice = page(() => import("./pages/splice.tsx"));
const AsMade = page(() => import("./pages/as-made.tsx"));
const Pulls = page(() => import("./pages/pulls.tsx"));
const PullPage = page(() => import("./pages/pull-page.tsx"));
const Film = page(() => import("./pages/film.tsx"));
const Judge = page(() => import("./pages/judge.tsx"));
const Tell = page(() => import("./pages/tell.tsx"));
const Use = page(() => import("./pages/use.tsx"));
const RigPage = page(() => import("./pages/rig.tsx"));
const BenchBook = page(() => import("./pages/bench-book.tsx"));
const Help = page(() => import("./pages/help.tsx"));
const NotFound = page(() => import("./pages/not-found.tsx"));

/** A page that is fetched when it is turned to; where it cannot be fetched, that is said in its place. */
function page(load: () => Promise<{ readonly default: () => VNode }>) {
  return lazy(() => load().catch((error: Error) => ({ default: () => <Fault error={error} /> })));
}

const fault = signal<Error | undefined>(undefined);

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
          <ErrorBoundary
            onError={(error) => {
              fault.value = error;
            }}
          >
            <Pages />
          </ErrorBoundary>
          {fault.value !== undefined && <Fault error={fault.value} />}
        </main>
        <Announcements />
      </div>
    </LocationProvider>
  );
}

/** A fault of the program itself: said, with the way out, where a page would else stay empty. */
function Fault({ error }: { readonly error: Error }) {
  return (
    <div class="problems" role="alert">
      <b>This page could not be shown</b>
      <p>
        {error.message} That is a fault of the program, not yours. What was kept is in the book.{" "}
        <a href={location.href} target="_top">
          Load the page anew
        </a>
      </p>
    </div>
  );
}

function Pages() {
  return (
    <Router
      onRouteChange={() => {
        fault.value = undefined;
      }}
    >
      <Route path="/" component={Welcome} />
      <Route path="/series/:id/ask" component={Ask} />
      <Route path="/series/:id/splice" component={Splice} />
      <Route path="/series/:id/splice/:specimenId" component={AsMade} />
      <Route path="/series/:id/pull" component={Pulls} />
      <Route path="/series/:id/pull/:pullId" component={PullPage} />
      <Route path="/series/:id/pull/:pullId/film" component={Film} />
      <Route path="/series/:id/judge" component={Judge} />
      <Route path="/series/:id/tell" component={Tell} />
      <Route path="/series/:id/use" component={Use} />
      <Route path="/series/:id/use/:rigId" component={RigPage} />
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
      <a href={`/series/${encodeURIComponent(id)}/ask`}>{series.title}</a>
      {series.simulated && <span class="stamp">simulated</span>}
    </>
  );
}
