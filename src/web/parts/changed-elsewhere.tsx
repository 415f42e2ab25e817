/** One thing that two hands changed: what stands here, and what the book says now. */
export type Difference = { readonly label: string; readonly mine: string; readonly theirs: string };

/** What somebody else changed while this was typed, beside one's own, and the choice between the two: neither wins by itself. */
export function ChangedElsewhere(props: {
  readonly differences: readonly Difference[];
  readonly onMine: () => void;
  readonly onTheirs: () => void;
}) {
  return (
    <div class="problems" role="alert">
      <b>This was changed elsewhere while you typed. Nothing of yours is lost.</b>
      <table>
        <thead>
          <tr>
            <th scope="col">Field</th>
            <th scope="col">Yours</th>
            <th scope="col">In the book now</th>
          </tr>
        </thead>
        <tbody>
          {props.differences.map(({ label, mine, theirs }) => (
            <tr key={label}>
              <th scope="row">{label}</th>
              <td>{mine || "(empty)"}</td>
              <td>{theirs || "(empty)"}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <div class="buttons">
        <button type="button" onClick={props.onMine}>
          Keep mine over it
        </button>
        <button type="button" onClick={props.onTheirs}>
          Take what is in the book
        </button>
      </div>
    </div>
  );
}
