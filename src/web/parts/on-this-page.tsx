import { useEffect, useState } from "preact/hooks";

type Place = { readonly id: string; readonly title: string };

/** The sections of a long page as links, in their order; a section that comes later joins when it is there. */
export function OnThisPage() {
  const [places, setPlaces] = useState<readonly Place[]>([]);
  useEffect(() => {
    const main = document.querySelector("main");
    if (main === null) return;
    const look = (): void => {
      const found = [...main.querySelectorAll("section[id] > .body > h2")].map((heading) => ({
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
  return (
    <nav class="on-this-page" aria-label="On this page">
      {places.map(({ id, title }) => (
        <a key={id} href={`#${id}`}>
          {title}
        </a>
      ))}
    </nav>
  );
}
