import { useEffect } from "preact/hooks";
import { boundMethodWords } from "../../findings/mod.ts";
import type { LowerBoundMethod } from "../../stats/mod.ts";
import { Note, Section } from "../parts/page.tsx";
import { Scroll } from "../parts/scroll.tsx";
import { capital } from "../words.ts";
import {
  type CoverageOfMethod,
  coverageOf,
  coverageSentences,
  fallsShort,
  inHundred,
} from "./coverage-in-words.ts";

const methods = Object.keys(boundMethodWords) as readonly LowerBoundMethod[];

/** How often the bounds of each method held where the truth is known; the page that links here names the method. */
export function BoundCoverage() {
  useEffect(() => {
    // The page is fetched after the address has changed, so the browser has not found the place by itself.
    const place = document.getElementById(location.hash.slice(1));
    if (place === null) return;
    place.scrollIntoView();
    place.focus({ preventScroll: true });
  }, []);
  return (
    <Section
      wide
      title="How often a bound holds"
      margin={
        <>
          <Note>
            Counted in 100,000 drawn series for every figure, from populations whose truth is known. A bound
            held where the stated share of the population did lie above it.
          </Note>
          <Note>
            <b>Two-mode</b>: one specimen in five fails in another, weaker way. No handful of pulls shows it,
            and it costs more than anything else.
          </Note>
          <Note>
            Stopped pulls were stopped by something that has nothing to do with the specimen. One stopped
            because it gave way is another matter.
          </Note>
        </>
      }
    >
      <p>
        A bound promises that most specimens are stronger, and says how surely. Whether it keeps its word
        rests on how the strengths scatter. A star marks the scatter that a method is made for; a figure in
        bold falls short of what the bound says.
      </p>
      {methods.map((method) => (
        <CoverageTable key={method} method={method} given={coverageOf(method)} />
      ))}
    </Section>
  );
}

function CoverageTable(props: { readonly method: LowerBoundMethod; readonly given: CoverageOfMethod }) {
  const { method, given } = props;
  const name = capital(boundMethodWords[method]);
  const { sizes, should, rows, target } = given;
  return (
    <>
      <h3 id={`bound-${method}`} tabIndex={-1}>
        {name}
      </h3>
      <p>{coverageSentences(given)}</p>
      <Scroll label={`How often held: ${name}`}>
        <table class="coverage">
          <caption>Of 100 bounds for {target} of the specimens, so many held</caption>
          <thead>
            <tr>
              <th scope="col">Scatter</th>
              {sizes.map((n) => (
                <th key={n} scope="col" class="number">
                  n = {n}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            <tr class="left-out">
              <th scope="row">should hold</th>
              {should.map((one, i) => (
                <td key={sizes[i]} class="number">
                  {inHundred(one)}
                </td>
              ))}
            </tr>
            {rows.map(({ scatter, assumed, held }) => (
              <tr key={scatter}>
                <th scope="row">
                  {scatter}
                  {assumed && " *"}
                </th>
                {held.map((one, i) => (
                  <td key={sizes[i]} class="number">
                    {one === undefined ? (
                      "none"
                    ) : fallsShort(one, should[i] ?? 0) ? (
                      <b>{inHundred(one)}</b>
                    ) : (
                      inHundred(one)
                    )}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </Scroll>
    </>
  );
}
