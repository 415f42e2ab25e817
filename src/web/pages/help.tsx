import { BoundCoverage } from "../help/bound-coverage.tsx";
import { BeforeAPull, NotACertificate } from "../parts/cautions.tsx";
import { Care, Note, Opening, Section } from "../parts/page.tsx";

const words: readonly (readonly [string, string])[] = [
  ["rope", "construction, fibre, nominal diameter, mass per length, rated strength"],
  [
    "rated strength",
    "the single-line breaking strength published for the rope, with its basis (mean or minimum; spliced or unspliced ends) and source",
  ],
  ["spool", "a length of one rope from one batch"],
  ["recipe", "a splice with its numbers: kind, bury, taper, lock stitch, legs, wraps"],
  ["specimen", "one made connector: recipe, spool, maker, as-made lengths"],
  ["hardware", "pins, shackles, rings: diameter, form, own strength"],
  ["bench", "load cell and its calibration, drive, mechanical advantage, both ends’ hardware"],
  ["recording", "what a logger wrote, byte for byte, never changed, known by its SHA-256"],
  ["layout", "how one logger’s files are to be read: what the file does not say, or what you confirmed"],
  ["reading", "what was read out of one pull: rest, ramp, peak, drops, end"],
  ["outcome", "broke, slipped, stopped or void; and where"],
  ["pull", "one specimen pulled once"],
  ["series", "a question, its factors and levels, its specimens and pulls"],
  ["finding", "a statement computed from a series, with its uncertainty and what it rests on"],
  ["report", "a published series; it has revisions"],
  ["book", "the store of all this: one file on this computer"],
  ["line efficiency", "peak / rated strength"],
  ["leg efficiency", "peak / (legs × rated strength); a loop has two legs, a doubled loop four"],
];

/** Help: how a reading is made, the words, what the program will not do, the cautions. */
export default function Help() {
  return (
    <>
      <Opening title="How it works">
        From a logger’s file to a finding that can be published, and what stands between the two.
      </Opening>
      <Section
        title="The way through"
        margin={
          <Note>
            The line at the edge of the page is this way. Its tucks fill as a series goes through them.
          </Note>
        }
      >
        <ol class="plain-list">
          <li>
            <b>Ask</b> a question that pulls can answer, and say what is varied.
          </li>
          <li>
            <b>Splice</b> the specimens and write down how each was made.
          </li>
          <li>
            <b>Pull</b> them, drop the logger’s files, say which specimen each pull was and what happened to
            it.
          </li>
          <li>
            <b>Judge</b> what the pulls show, with its uncertainty.
          </li>
          <li>
            <b>Tell</b> others on one page that holds everything.
          </li>
          <li>
            <b>Use</b> it with a design factor and the cautions.
          </li>
        </ol>
      </Section>
      <Section
        title="How a reading is made"
        margin={
          <Note>
            Every figure can be traced to the bytes, the method and its version, and computed again. The
            recording is never changed.
          </Note>
        }
      >
        <p>
          The file is looked at first: how it is encoded, what parts its values, where its header and units
          are, which column is time and which is force. What the file does not say is asked, never guessed;
          the unit of force above all. What you answer can be kept as a layout and is used for the next file
          of the same logger.
        </p>
        <p>
          In the samples the level at rest is found and taken as zero. Loads that rise clearly above the noise
          and end in a fall are pulls; a tug while setting up and handling after the break are not. Of each
          pull the highest force is its peak, as recorded and less the rest. Where the force fell from a
          running highest value by more than noise, that is a drop: a slip, a strand, or a stroke of the pump.
          The machine names the drop; you say what it was.
        </p>
        <p>
          Doubts ride along with the figures up to the report: a file that starts under load, a peak at its
          last sample, samples so far apart that the true peak may lie between two of them.
        </p>
      </Section>
      <BoundCoverage />
      <Section title="By keyboard">
        <ul class="plain-list">
          <li>
            Specimen table: arrows and Enter move, Tab goes right, typing replaces, Escape puts back, Ctrl+D
            copies from above. Alt+Down opens a list.
          </li>
          <li>Outcome: arrow keys, or B broke, S slipped, T stopped, V void.</li>
          <li>Trace: left and right move, + and − change the size, Home shows all of it.</li>
        </ul>
      </Section>
      <Section title="What it will not do" margin={<NotACertificate />}>
        <ul class="plain-list">
          <li>Guess a unit, a specimen or an outcome.</li>
          <li>Change a recording, or leave out a pull without saying so.</li>
          <li>Give a statistic from too few pulls; it says how many it needs.</li>
          <li>Send anything anywhere. It listens on this computer alone.</li>
          <li>Call anything safe, or certify it.</li>
        </ul>
      </Section>
      <Section
        title="Before you pull"
        margin={
          <Care title="Fragments outfly rope">
            Steel that breaks is faster than rope that parts. Stand where neither can reach.
          </Care>
        }
      >
        <BeforeAPull />
      </Section>
      <Section title="The words">
        <dl class="glossary">
          {words.map(([word, meaning]) => (
            <div key={word}>
              <dt>{word}</dt>
              <dd>{meaning}</dd>
            </div>
          ))}
        </dl>
      </Section>
      <Section title="For programs">
        <p>
          The same book can be read and written by programs:{" "}
          <a href="/api" target="_blank" rel="noreferrer">
            the HTTP API of this server
          </a>
          .
        </p>
      </Section>
    </>
  );
}
