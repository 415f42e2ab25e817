/**
 * The steps by which a book's schema grows, in order. A step that was shipped is frozen: books out there have run it.
 * What is wrong in it is put right by the next step.
 */
import type { Kysely, MigrationProvider } from "kysely";
import type { Flavour } from "../flavour.ts";
import { firstBook } from "./0001-first-book.ts";
import { deeperReading } from "./0002-deeper-reading.ts";
import { splice } from "./0003-splice.ts";
import { statedBound } from "./0004-stated-bound.ts";
import { outsideFigures } from "./0005-outside-figures.ts";
import { rigs } from "./0006-rigs.ts";
import { plans } from "./0007-plans.ts";
import { told } from "./0008-told.ts";
import { revisions } from "./0009-revisions.ts";
import { packedRecordings } from "./0010-packed-recordings.ts";
import { outlines } from "./0011-outlines.ts";

const steps: Readonly<Record<string, (db: Kysely<unknown>, flavour: Flavour) => Promise<void>>> = {
  "0001-first-book": firstBook,
  "0002-deeper-reading": deeperReading,
  "0003-splice": splice,
  "0004-stated-bound": statedBound,
  "0005-outside-figures": outsideFigures,
  "0006-rigs": rigs,
  "0007-plans": plans,
  "0008-told": told,
  "0009-revisions": revisions,
  "0010-packed-recordings": packedRecordings,
  "0011-outlines": outlines,
};

/** The names of all steps that this program knows, oldest first. */
export const migrationNames: readonly string[] = Object.keys(steps);

/** The steps in the words of one database. */
export function migrationProvider(flavour: Flavour): MigrationProvider {
  return {
    getMigrations: async () =>
      Object.fromEntries(
        Object.entries(steps).map(([name, step]) => [
          name,
          { up: (db: Kysely<unknown>) => step(db.withoutPlugins(), flavour) },
        ]),
      ),
  };
}
