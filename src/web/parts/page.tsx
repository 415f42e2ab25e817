import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { SeriesOverview } from "../../app/mod.ts";
import { remember } from "../memory.ts";
import { useResource } from "../use-resource.ts";
import { Problems } from "./problems.tsx";

let firstPage = true;

/** The opening of a page: its heading takes the focus when the reader turned to it, and names the window. */
export function Opening(props: {
  readonly title: string;
  readonly chapter?: ComponentChildren;
  readonly children?: ComponentChildren;
}) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${props.title} · Bitter End`;
    if (!firstPage) heading.current?.focus();
    firstPage = false;
  }, [props.title]);
  return (
    <header class="opening">
      {props.chapter !== undefined && <span class="chapter">{props.chapter}</span>}
      <h1 ref={heading} tabIndex={-1}>
        {props.title}
      </h1>
      {props.children !== undefined && <p>{props.children}</p>}
    </header>
  );
}

/** One ruled section of a page, with what stands in its margin; its place can be named in the address. */
export function Section(props: {
  readonly title?: ComponentChildren;
  readonly margin?: ComponentChildren;
  readonly wide?: boolean;
  readonly id?: string;
  readonly children: ComponentChildren;
}) {
  const id = props.id ?? (typeof props.title === "string" ? placeName(props.title) : undefined);
  return (
    <section class={props.wide === true ? "section wide" : "section"} {...(id === undefined ? {} : { id })}>
      <div class="body stack">
        {props.title !== undefined && <h2>{props.title}</h2>}
        {props.children}
      </div>
      {props.margin !== undefined && <div class="margin">{props.margin}</div>}
    </section>
  );
}

/** A section's title as a name in the address: "Rate and hold" is "rate-and-hold". */
function placeName(title: string): string {
  return title
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-|-$/g, "");
}

/** A hint in the margin. */
export function Note({ children }: { readonly children: ComponentChildren }) {
  return <div class="note">{children}</div>;
}

/** A caution in the margin; `whence` says what it rests on. */
export function Care(props: {
  readonly title: string;
  readonly whence?: string;
  readonly children: ComponentChildren;
}) {
  return (
    <div class="care" role="note">
      <b>{props.title}</b>
      {props.children}
      {props.whence !== undefined && <span class="whence">{props.whence}</span>}
    </div>
  );
}

export function Waiting({
  bare = false,
  text = "Opening the book",
}: {
  readonly bare?: boolean;
  readonly text?: string;
}) {
  if (bare) return <span>{"\u00a0"}</span>;
  return (
    <div class="waiting">
      <p>{text} …</p>
    </div>
  );
}

/** A page of one series: it opens at once, and its content follows as soon as the book has answered. */
export function SeriesPage(props: {
  readonly id: string;
  readonly title: string;
  readonly chapter: string;
  readonly intro?: ComponentChildren;
  readonly children: (overview: SeriesOverview) => ComponentChildren;
}) {
  const answer = useResource<SeriesOverview>(`/api/series/${encodeURIComponent(props.id)}/overview`);
  useEffect(() => {
    if (answer?.ok === true) remember("last-series", props.id);
  }, [answer?.ok, props.id]);
  return (
    <>
      <Opening title={props.title} chapter={props.chapter}>
        {props.intro}
      </Opening>
      {answer === undefined ? (
        <Waiting text="Opening the series" />
      ) : answer.ok ? (
        props.children(answer.value)
      ) : (
        <Problems heading="This series cannot be opened" problems={answer.problems} />
      )}
    </>
  );
}
