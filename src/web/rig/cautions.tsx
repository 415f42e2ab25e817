import { Care } from "../parts/page.tsx";

/** What stands on every page of Use, on screen and on paper. */
export function NeverForPeople() {
  return (
    <Care
      title="Never for people"
      whence="Life-safety use defers to certified gear, local codes and licensed practice"
    >
      These are results of a bench and of arithmetic, not certificates. Nothing here is called safe. Where a
      person hangs from it, whatever the numbers say, use certified gear, the code that holds where you are,
      and somebody licensed to judge it.
    </Care>
  );
}

/** What time does to a rig, named with what is known of it; no life is computed. */
export function OverTime({ ownWords }: { readonly ownWords: string }) {
  return (
    <>
      <dl class="glossary">
        <div>
          <dt>Creep</dt>
          <dd>
            HMPE grows longer under a load that stays, and may part after months at a load that it held on the
            bench for minutes; warmth makes it faster (from memory). A pull on the bench says nothing of it.
            Makers give creep figures for some grades; permanent mooring asks a margin for it (DNV-OS-E303).
          </dd>
        </div>
        <div>
          <dt>Sun</dt>
          <dd>
            Ultraviolet light takes strength from the outer yarns; thin rope loses a larger part. A cover or a
            coat slows it (common practice, no published source).
          </dd>
        </div>
        <div>
          <dt>Heat</dt>
          <dd>
            HMPE loses strength when it is warm, is not for lasting use above about 65 to 70 °C, and melts at
            about 145 to 155 °C (from memory). Friction over a pin can reach that.
          </dd>
        </div>
      </dl>
      <p>No life is computed here: nothing in these pulls can tell it.</p>
      {ownWords.trim() === "" ? (
        <p class="empty">Nothing was said yet of what weighs on this rig over time.</p>
      ) : (
        <blockquote class="own-words">{ownWords}</blockquote>
      )}
    </>
  );
}
