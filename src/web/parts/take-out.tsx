import { useState } from "preact/hooks";

/** Takes a record out of the book at the second press: a gloved thumb slips easily, and nothing brings it back. */
export function TakeOut(props: {
  readonly name: string;
  readonly onTakeOut: () => void;
  readonly tabIndex?: number;
}) {
  const [asked, setAsked] = useState(false);
  return (
    <button
      type="button"
      class={asked ? "plain sure" : "plain"}
      {...(props.tabIndex === undefined ? {} : { tabIndex: props.tabIndex })}
      onBlur={() => setAsked(false)}
      onClick={() => {
        if (asked) props.onTakeOut();
        setAsked(!asked);
      }}
    >
      {asked ? "for good?" : "take out"}
      <span class="unseen"> {asked ? `take out ${props.name}` : props.name}</span>
    </button>
  );
}
