import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { selectedOnArrival } from "./selected-on-arrival.ts";

export type Option = { readonly key: string; readonly label: string; readonly detail?: string };

/**
 * A line to type on that offers what fits (the combobox of the ARIA Authoring Practices, editable, with a list).
 * Arrow keys, Enter and Escape belong to the list only while it is open; closed, they are left to what is around it.
 */
export function Choice(props: {
  readonly id?: string;
  readonly text: string;
  readonly options: readonly Option[];
  readonly onText: (text: string) => void;
  /** Picked from the list. */
  readonly onPick: (option: Option) => void;
  /** Offered at the end of the list: make a new one, with the typed text as its name. */
  readonly onNew?: (text: string) => void;
  readonly newLabel?: string;
  readonly onLeave?: () => void;
  readonly placeholder?: string;
  readonly size?: number;
  readonly "aria-label"?: string;
  readonly "aria-describedby"?: string;
  readonly "aria-invalid"?: "true";
  readonly data?: Readonly<Record<`data-${string}`, string | number>>;
}) {
  const listId = useId();
  const line = useRef<HTMLInputElement>(null);
  const list = useRef<HTMLDivElement>(null);
  const [open, setOpen] = useState(false);
  const [typed, setTyped] = useState(false);
  const [active, setActive] = useState(-1);

  const wanted = props.text.trim().toLowerCase();
  const fitting =
    typed && wanted !== ""
      ? props.options.filter((one) => one.label.toLowerCase().includes(wanted))
      : props.options;
  // A table may hold hundreds of closed lists: only an open one is drawn.
  const shown = open ? fitting : [];
  const offersNew = props.onNew !== undefined;
  const length = fitting.length + (offersNew ? 1 : 0);

  useEffect(() => {
    const popup = list.current;
    if (popup === null || line.current === null) return;
    if (!open) {
      if (popup.matches(":popover-open")) popup.hidePopover();
      return;
    }
    place(popup, line.current);
    popup.showPopover();
    const close = (): void => setOpen(false);
    // The list stands still on the screen while its line would move away with the page.
    const onScroll = (event: Event): void => {
      if (!(event.target instanceof Node && popup.contains(event.target))) close();
    };
    addEventListener("scroll", onScroll, true);
    addEventListener("resize", close);
    return () => {
      removeEventListener("scroll", onScroll, true);
      removeEventListener("resize", close);
    };
  }, [open]);

  useEffect(() => {
    list.current?.querySelector('[aria-selected="true"]')?.scrollIntoView({ block: "nearest" });
  });

  function show(from: number): void {
    setOpen(true);
    setActive(from);
  }

  /** What a key takes: the active option, or where the hand was faster than the page, the first that fits the line. */
  function meant(): Option | undefined {
    const now = line.current?.value ?? props.text;
    if (now === props.text) return fitting[active];
    const text = now.trim().toLowerCase();
    return text === "" ? undefined : props.options.find((one) => one.label.toLowerCase().includes(text));
  }

  function take(option: Option | undefined): void {
    setOpen(false);
    setTyped(false);
    if (option !== undefined) props.onPick(option);
    else props.onNew?.((line.current?.value ?? props.text).trim());
  }

  function onKeyDown(event: KeyboardEvent): void {
    if (!open) {
      if (event.key === "F2" || (event.key === "ArrowDown" && event.altKey)) {
        event.preventDefault();
        event.stopPropagation();
        show(0);
      }
      return;
    }
    const steps: Record<string, number> = { ArrowDown: 1, ArrowUp: -1 };
    const step = steps[event.key];
    if (step !== undefined && length > 0) {
      setActive((active + step + length) % length);
    } else if (event.key === "Enter" && active >= 0) {
      take(meant());
    } else if (event.key === "Escape") {
      setOpen(false);
    } else if (event.key === "Tab" && active >= 0 && active < fitting.length) {
      const option = meant();
      if (option !== undefined) take(option);
      return; // and on to the next field
    } else {
      return;
    }
    event.preventDefault();
    event.stopPropagation();
  }

  return (
    <>
      <input
        {...props.data}
        ref={line}
        {...(props.id === undefined ? {} : { id: props.id })}
        role="combobox"
        aria-autocomplete="list"
        aria-expanded={open}
        aria-controls={listId}
        {...(open && active >= 0 ? { "aria-activedescendant": `${listId}-${active}` } : {})}
        {...(props["aria-label"] === undefined ? {} : { "aria-label": props["aria-label"] })}
        {...(props["aria-describedby"] === undefined
          ? {}
          : { "aria-describedby": props["aria-describedby"] })}
        {...(props["aria-invalid"] === undefined ? {} : { "aria-invalid": props["aria-invalid"] })}
        autoComplete="off"
        {...(props.size === undefined ? {} : { size: props.size })}
        {...(props.placeholder === undefined ? {} : { placeholder: props.placeholder })}
        value={props.text}
        onInput={(event) => {
          setTyped(true);
          props.onText(event.currentTarget.value);
          const text = event.currentTarget.value.trim().toLowerCase();
          show(text !== "" && props.options.some((one) => one.label.toLowerCase().includes(text)) ? 0 : -1);
        }}
        {...selectedOnArrival()}
        onClick={(event) => {
          selectedOnArrival().onClick(event);
          if (!open) {
            setTyped(false);
            show(-1);
          }
        }}
        onKeyDown={onKeyDown}
        onBlur={() => {
          setOpen(false);
          setTyped(false);
          props.onLeave?.();
        }}
      />
      <div ref={list} id={listId} class="choice-list" role="listbox" popover="manual" aria-label="What fits">
        {shown.map((option, at) => (
          <Line key={option.key} id={`${listId}-${at}`} active={at === active} onTake={() => take(option)}>
            <span>{option.label}</span>
            {option.detail !== undefined && <span class="detail">{option.detail}</span>}
          </Line>
        ))}
        {open && offersNew && (
          <Line
            id={`${listId}-${fitting.length}`}
            active={fitting.length === active}
            onTake={() => take(undefined)}
          >
            <em>{props.newLabel ?? "Make a new one"} …</em>
          </Line>
        )}
      </div>
    </>
  );
}

function Line(props: {
  readonly id: string;
  readonly active: boolean;
  readonly onTake: () => void;
  readonly children: ComponentChildren;
}) {
  return (
    // The focus and the keys stay with the line to type on, which names the active option.
    // biome-ignore lint/a11y/useFocusableInteractive: see above
    // biome-ignore lint/a11y/useKeyWithClickEvents: see above
    <div
      id={props.id}
      role="option"
      aria-selected={props.active}
      onPointerDown={(event) => event.preventDefault()}
      onClick={props.onTake}
    >
      {props.children}
    </div>
  );
}

function place(popup: HTMLElement, line: HTMLElement): void {
  const at = line.getBoundingClientRect();
  const below = innerHeight - at.bottom;
  popup.style.minWidth = `${Math.max(at.width, 220)}px`;
  popup.style.maxWidth = `${innerWidth - 16}px`;
  popup.style.left = `${Math.max(8, Math.min(at.left, innerWidth - Math.max(at.width, 220) - 8))}px`;
  if (below < 220 && at.top > below) {
    popup.style.top = "auto";
    popup.style.bottom = `${innerHeight - at.top}px`;
  } else {
    popup.style.top = `${at.bottom}px`;
    popup.style.bottom = "auto";
  }
}
