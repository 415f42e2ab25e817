import type { RequiredStatement } from "../../app/mod.ts";
import { Note, Section } from "../parts/page.tsx";
import { Problems } from "../parts/problems.tsx";
import { useResource } from "../use-resource.ts";

const places: Readonly<Partial<Record<NonNullable<RequiredStatement["enter"]>, string>>> = {
  Ask: "ask",
  Splice: "splice",
  Pull: "pull",
};

/** What the standards ask of a test report: what is missing first, with where it is entered; what is covered can be unfolded. */
export function CompletenessList({ seriesId }: { readonly seriesId: string }) {
  const answer = useResource<readonly RequiredStatement[]>(`/api/series/${seriesId}/completeness`);
  if (answer === undefined) return null;
  if (!answer.ok) return <Problems heading="This list cannot be made" problems={answer.problems} />;
  const open = answer.value.filter(({ state }) => state !== "covered");
  const covered = answer.value.filter(({ state }) => state === "covered");
  return (
    <Section
      title="What a test report states"
      id="completeness"
      margin={
        <Note>
          From ISO/IEC 17025:2017 and ISO 2307. The list tells whether something is said, not whether it is
          true, and makes nobody an accredited laboratory. “From memory” marks what could not be looked up.
        </Note>
      }
    >
      <p>
        {covered.length} of {answer.value.length} are covered
        {open.length === 0 ? "." : `, ${open.length} are missing or not whole:`}
      </p>
      {open.length > 0 && (
        <ul class="contents">
          {open.map((one) => (
            <li key={`${one.clause} ${one.asks}`}>
              <span>
                <b>{one.state === "missing" ? "Missing" : "In part"}</b>: {one.asks}
              </span>
              <span class="aside">
                {one.standard}, {one.clause}
              </span>
              <p class="aside">
                {one.says}
                <Enter seriesId={seriesId} at={one.enter} />
              </p>
            </li>
          ))}
        </ul>
      )}
      <details>
        <summary>The {covered.length} that are covered</summary>
        <ul class="contents">
          {covered.map((one) => (
            <li key={`${one.clause} ${one.asks}`}>
              <span>{one.asks}</span>
              <span class="aside">
                {one.standard}, {one.clause}
              </span>
              <p class="aside">{one.says}</p>
            </li>
          ))}
        </ul>
      </details>
    </Section>
  );
}

function Enter({ seriesId, at }: { readonly seriesId: string; readonly at: RequiredStatement["enter"] }) {
  if (at === undefined) return null;
  if (at === "Tell") return <>. Above, in your words.</>;
  if (at === "publish") return null;
  const href = at === "Bench book" ? "/bench-book" : `/series/${seriesId}/${places[at]}`;
  return (
    <>
      . Enter it at <a href={href}>{at}</a>.
    </>
  );
}
