import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { foldArrives, isOpen, setOpen } from "./folds.ts";

/**
 * What is folded under a line of its own until it is wanted. Whether it is open is remembered; an address that names its place
 * opens it; a search in the page finds what is in it, and print shows it all.
 */
export function Fold(props: {
  readonly id: string;
  /** Open before the reader ever said anything. */
  readonly open?: boolean;
  readonly summary: ComponentChildren;
  readonly children: ComponentChildren;
}) {
  const { id, open: atFirst = false } = props;
  const place = useRef<HTMLDetailsElement>(null);
  const open = isOpen(id, atFirst);
  useEffect(() => {
    const left = foldArrives(id, atFirst);
    const look = (): void => {
      if (location.hash.slice(1) !== id) return;
      setOpen([id], true);
      // It may have come after the browser looked for the place.
      (document.getElementById(id) ?? place.current)?.scrollIntoView();
    };
    look();
    addEventListener("hashchange", look);
    return () => {
      removeEventListener("hashchange", look);
      left();
    };
  }, [id, atFirst]);
  return (
    <details
      ref={place}
      class="body fold"
      open={open}
      onToggle={({ currentTarget }) => {
        if (currentTarget.open !== isOpen(id, atFirst)) setOpen([id], currentTarget.open);
      }}
    >
      <summary>{props.summary}</summary>
      <div class="stack">{props.children}</div>
    </details>
  );
}

/** A ruled section that is folded under its heading and a line of what it comes to. */
export function FoldedSection(props: {
  readonly title: string;
  readonly id: string;
  /** What it comes to, in a line. */
  readonly gist: ComponentChildren;
  readonly open?: boolean;
  readonly margin?: ComponentChildren;
  readonly children: ComponentChildren;
}) {
  return (
    <section class="section wide" id={props.id}>
      <Fold
        id={props.id}
        open={props.open === true}
        summary={
          <>
            <h2>{props.title}</h2> <span class="gist">{props.gist}</span>
          </>
        }
      >
        {props.children}
        {props.margin !== undefined && <div class="margin">{props.margin}</div>}
      </Fold>
    </section>
  );
}
