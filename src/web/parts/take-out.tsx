import { useState } from "preact/hooks";
import { useOneAtATime } from "../one-at-a-time.ts";

/** Takes a record out of the book at the second press: a gloved thumb slips easily, and nothing brings it back. */
export function TakeOut(props: {
  readonly name: string;
  readonly onTakeOut: () => void | Promise<void>;
  readonly tabIndex?: number;
}) {
  const [asked, setAsked] = useState(false);
  const [busy, once] = useOneAtATime();
  return (
    <button
      type="button"
      class={asked ? "plain sure" : "plain"}
      {...(props.tabIndex === undefined ? {} : { tabIndex: props.tabIndex })}
      disabled={busy}
      onBlur={() => setAsked(false)}
      onClick={() => {
        if (asked) void once(async () => props.onTakeOut());
        setAsked(!asked);
      }}
    >
      {asked ? "for good?" : "take out"}
      <span class="unseen"> {asked ? `take out ${props.name}` : props.name}</span>
    </button>
  );
}
