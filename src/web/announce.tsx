import { signal } from "@preact/signals";

const said = signal("");

/** Says something to those who listen to the page: what was saved, what was refused. */
export function announce(text: string): void {
  // The same words twice are spoken twice only if the text changes in between.
  said.value = said.value === text ? `${text}\u00a0` : text;
}

/** The place where announcements are spoken from; once on the page. */
export function Announcements() {
  return (
    <div class="unseen" aria-live="polite" role="status">
      {said.value}
    </div>
  );
}
