import { type Markup, markup } from "../markup.ts";
import type { ReportInput } from "../types.ts";

/**
 * The cautions of the trade, on every report. Melting range, lasting-use temperature and bending figures of HMPE are the
 * ranges customary in the trade (common practice, no single published source).
 */
export function cautionsSection({ series }: ReportInput): Markup {
  return markup`<section aria-labelledby="cautions"><h2 id="cautions">Before anything hangs from this</h2>
<ul class="cautions">
${series.simulated ? markup`<li><strong>These data are simulated.</strong> No rope was pulled. They show what a report looks like and nothing of any rope.</li>` : ""}
<li><strong>A result from a bench is no certificate.</strong> It says what these specimens bore, once, on that bench.</li>
<li><strong>It says nothing for certain of the next piece.</strong> A splice is as good as the hand that made it that day, and what is weakest in it cannot be seen from outside.</li>
<li><strong>Where a life depends on it</strong>, use certified equipment, follow the local codes, and leave the decision to licensed practice. Do not take a strength from this page.</li>
<li><strong>A strength is not a working load.</strong> What may hang from a piece is its least strength divided by a design factor that belongs to the use; factors differ from field to field, and loads are often higher than thought.</li>
<li><strong>HMPE does not forgive heat.</strong> It melts at about 145 to 155 °C and weakens long before; lasting use ends at about 65 to 70 °C. A rope that has run over an edge under load may be damaged where nothing shows.</li>
<li><strong>HMPE creeps.</strong> Under a load that stays it goes on lengthening, the faster the warmer and the higher the load, and in the end parts below the strength that a short pull finds.</li>
<li><strong>HMPE is slippery.</strong> A bury that is not locked by stitching or a brummel can shake out when slack, and how well it grips depends on coating, length and taper.</li>
<li><strong>HMPE hardly stretches.</strong> It softens no shock: a load that drops or stops is set by everything else in the line.</li>
<li><strong>Bends and neighbours count.</strong> A sharp bend, or two soft eyes hitched through each other, can bear less than either piece. Test the pair, not the part.</li>
<li><strong>Whoever pulls such pieces again</strong>: enclose the specimen, stay out of its line and its bight, keep the hardware at twice the expected peak or more, and let the pressure off before coming near.</li>
</ul></section>`;
}
