import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

/** A native dialog over the page, open as long as it is drawn; Escape closes it. */
export function Dialog(props: {
  readonly title: string;
  readonly onClose: () => void;
  readonly children: ComponentChildren;
}) {
  const place = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const before = document.activeElement;
    place.current?.showModal();
    return () => {
      if (before instanceof HTMLElement && before.isConnected) before.focus();
    };
  }, []);
  return (
    <dialog
      ref={place}
      aria-label={props.title}
      onCancel={(event) => {
        event.preventDefault();
        props.onClose();
      }}
      // Keys pressed in a dialog are no business of the table or the trace beneath it.
      onKeyDown={(event) => event.stopPropagation()}
    >
      <h2>{props.title}</h2>
      {props.children}
    </dialog>
  );
}
