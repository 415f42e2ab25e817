import type { StoredPull } from "../../app/mod.ts";
import type { Slip } from "../../trace/mod.ts";
import { Scroll } from "../parts/scroll.tsx";
import { force } from "../shown-units.ts";
import { placeText } from "./trace-facts.tsx";
import type { Corrections } from "./use-corrections.ts";

/** The slips of a pull; what was read wrongly is struck out, what was not read is added between two handles. */
export function Slips(props: {
  readonly pull: StoredPull;
  readonly slips: readonly Slip[];
  readonly corrections: Corrections;
  readonly draft: { readonly fromRow: number; readonly toRow: number } | undefined;
  readonly onDraft: (fromRow: number, toRow: number) => void;
  readonly onKeep: () => void;
  readonly onLeave: () => void;
  readonly onShow: (row: number) => void;
}) {
  const { slips, corrections, draft, pull } = props;
  const { reading } = pull;
  const begin = (): void => {
    // Just before the peak, where slips most often lie; the handles are moved from there.
    const near = reading?.peakRow ?? 2;
    const span = Math.max(2, Math.round(((reading?.endRow ?? near) - (reading?.startRow ?? 1)) * 0.01));
    props.onDraft(Math.max(1, near - 2 * span), Math.max(2, near - span));
  };
  return (
    <section class="stack" aria-label="Slips">
      {slips.length > 0 && (
        <Scroll label="List of slips">
          <table>
            <caption>Slips from which the splice gripped again; forces less the rest level</caption>
            <thead>
              <tr>
                <th scope="col" class="number">
                  No.
                </th>
                <th scope="col" class="number">
                  At
                </th>
                <th scope="col" class="number">
                  From
                </th>
                <th scope="col" class="number">
                  To
                </th>
                <th scope="col" class="number">
                  Size
                </th>
                <th scope="col">
                  <span class="unseen">Correct</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {slips.map((slip, at) => (
                <tr key={slip.row}>
                  <th scope="row" class="number">
                    {at + 1}
                  </th>
                  <td class="number">
                    <button type="button" class="plain" onClick={() => props.onShow(slip.row)}>
                      {placeText(slip.timeS, slip.row)}
                      <span class="unseen"> on the trace</span>
                    </button>
                  </td>
                  <td class="number">{force(slip.fromN)}</td>
                  <td class="number">{force(slip.toN)}</td>
                  <td class="number strong">{force(slip.fromN - slip.toN)}</td>
                  <td>
                    <button
                      type="button"
                      class="plain"
                      disabled={corrections.busy}
                      onClick={() => void corrections.make({ what: "strike slip", fromRow: slip.row })}
                    >
                      strike out<span class="unseen"> slip {at + 1}</span>
                    </button>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </Scroll>
      )}
      <div class="buttons">
        {draft === undefined ? (
          <button type="button" disabled={corrections.busy} onClick={begin}>
            Add a slip
          </button>
        ) : (
          <>
            <button type="button" class="main" disabled={corrections.busy} onClick={props.onKeep}>
              Keep the slip from row {draft.fromRow} to {draft.toRow}
            </button>
            <button type="button" onClick={props.onLeave}>
              Leave it
            </button>
          </>
        )}
      </div>
      {draft !== undefined && (
        <p class="aside">
          Move the two grips on the trace, by hand or with the arrow keys: to the last sample before the slip,
          and to the lowest after it.
        </p>
      )}
    </section>
  );
}
