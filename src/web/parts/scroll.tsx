import type { ComponentChildren } from "preact";

/** A place for a table wider than the page: it runs sideways within its own frame, and can be reached by keyboard. */
export function Scroll(props: { readonly label: string; readonly children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard
    <section class="scroll" tabIndex={0} aria-label={props.label}>
      {props.children}
    </section>
  );
}
