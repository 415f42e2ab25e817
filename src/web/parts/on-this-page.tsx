import { useEffect, useState } from "preact/hooks";
import { foldsThere, setOpen } from "./folds.ts";

type Place = { readonly id: string; readonly title: string };

/** The sections of a long page as links, in their order; a section that comes later joins when it is there, a folded one opens. */
export function OnThisPage() {
  const [places, setPlaces] = useState<readonly Place[]>([]);
  useEffect(() => {
    const main = document.querySelector("main");
    if (main === null) return;
    const look = (): void => {
      const found = [
        ...main.querySelectorAll("section[id] > .body > h2, section[id] > .body > summary > h2"),
      ].map((heading) => ({
        id: heading.closest("section")?.id ?? "",
        title: heading.textContent ?? "",
      }));
      setPlaces((before) => (JSON.stringify(before) === JSON.stringify(found) ? before : found));
    };
    look();
    const watch = new MutationObserver(look);
    watch.observe(main, { childList: true, subtree: true });
    return () => watch.disconnect();
  }, []);
  if (places.length < 2) return null;
  const folds = foldsThere();
  const allOpen = folds.every(({ open }) => open);
  return (
    <nav class="on-this-page" aria-label="On this page">
      {places.map(({ id, title }) => (
        <a
          key={id}
          href={`#${id}`}
          onClick={() => folds.some((fold) => fold.id === id) && setOpen([id], true)}
        >
          {title}
        </a>
      ))}
      {folds.length > 0 && (
        <button
          type="button"
          class="plain"
          onClick={() =>
            setOpen(
              folds.map(({ id }) => id),
              !allOpen,
            )
          }
        >
          {allOpen ? "Fold all" : "Open all"}
        </button>
      )}
    </nav>
  );
}
