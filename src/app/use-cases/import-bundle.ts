import { z } from "zod";
import { type Bundle, bundleLimits, picturePath, type RowOf, recordingPath } from "../../bundle/mod.ts";
import { asPublished } from "../../findings/mod.ts";
import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, ImportedSeries } from "../contract.ts";
import type { RecordFields, RecordKind } from "../records.ts";
import type { BundleOrigin, ImportedBundle, StoredPicture, StoreWork } from "../store.ts";
import { otherPulls } from "./bundle-content.ts";
import { pullFieldsOf } from "./bundle-tables.ts";
import { type BundleRead, readBundleRecordings } from "./read-bundle-recordings.ts";
import { recognisePicture } from "./recognise-picture.ts";
import { createIn } from "./records.ts";
import { takeOutImport } from "./take-out-import.ts";
import { refusalProblem, transact } from "./transact.ts";

/** A bundle's file may have this many bytes. */
export const maxBundleBytes = bundleLimits.packedBytes;

/** A bundle's file, and whether an earlier revision of its series may make room for it. */
export const importBundleFields = z.object({
  fileName: z.string().trim().min(1).max(1000),
  replace: z.boolean().default(false),
});

/**
 * Takes the series of a bundle into the book, all of it or nothing: under new ids, with where it came from, and with its
 * recordings read anew from their bytes. Nothing in the bundle is run, its page is not kept, and figures that it states are
 * not taken over.
 *
 * The same bundle twice is known and changes nothing. Another revision of a series that came before is refused unless
 * `replace` is said; then it takes the other's place, and what was pooled with the one is pooled with the other.
 */
export async function importBundle(
  effects: Effects,
  input: { readonly fileName: string; readonly bytes: Uint8Array; readonly replace?: boolean },
): Promise<Result<ImportedSeries>> {
  const { bytes, ...about } = input;
  const asked = checkInput(importBundleFields, about);
  if (!asked.ok) return asked;
  const read = await effects.readBundle(bytes);
  if (!read.ok) return inFile(read, asked.value.fileName);
  const bundle = read.value;
  if (bundle.faults.length > 0) return inFile({ ok: false, problems: bundle.faults }, asked.value.fileName);
  const recordings = await readBundleRecordings(effects, bundle, { match: true });
  if (!recordings.ok) return recordings;
  return transact(effects.store, async (book) => {
    const before = await lookFirst(book, bundle, asked.value.replace);
    if (!before.ok) return before;
    const { known, earlier } = before.value;
    if (known !== undefined) {
      const series = await book.get("series", known.seriesId);
      if (series !== undefined) return ok({ series, origin: known.origin, known: true });
    }
    return store(effects, book, { bundle, read: recordings.value, fileName: asked.value.fileName, earlier });
  });
}

type Before = { readonly known?: ImportedBundle; readonly earlier?: ImportedBundle };

/** Whether the book holds this content, or another revision of its series, or is where it was made. */
async function lookFirst(
  book: StoreWork,
  { about, content }: Bundle,
  replace: boolean,
): Promise<Result<Before>> {
  const [known] = await book.listImports({ contentSha256: about.contentSha256 });
  if (known !== undefined) return ok({ known });
  const theirs = content.tables.series[0];
  const own = theirs === undefined ? undefined : await book.get("series", theirs.id);
  const recordings = new Set(content.tables.recordings.map(({ sha256 }) => sha256));
  const ownRecordings = own === undefined ? [] : await book.listRecordings({ seriesId: own.id });
  if (
    own !== undefined &&
    (recordings.size === 0 || ownRecordings.some(({ sha256 }) => recordings.has(sha256)))
  )
    return refuse({
      code: "BUNDLE_KNOWN",
      message: `The bundle was made of a series of this very book: “${own.title}”.`,
      found: own.id,
      wayOut: "Work with it there.",
    });
  const earlier = (await book.listImports()).find(({ origin }) => origin.seriesId === theirs?.id);
  if (earlier !== undefined && !replace)
    return refuse({
      code: "BUNDLE_KNOWN",
      message: `Another revision of this series is in the book already: “${earlier.origin.title}”, ${revisionWords(earlier.origin)}.`,
      found: about.revision === undefined ? "an unpublished state" : `revision ${about.revision}`,
      wayOut: "Import it with --replace (or tick “in its place”): it then takes the place of the other.",
    });
  return ok(earlier === undefined ? {} : { earlier });
}

async function store(
  effects: Effects,
  book: StoreWork,
  {
    bundle,
    read,
    fileName,
    earlier,
  }: {
    readonly bundle: Bundle;
    readonly read: BundleRead;
    readonly fileName: string;
    readonly earlier: ImportedBundle | undefined;
  },
): Promise<Result<ImportedSeries>> {
  const { tables } = bundle.content;
  const warnings: Warning[] = [...read.warnings];
  const intake = new Intake(effects, book);
  const [row] = tables.series;
  if (row === undefined) throw new Error("A bundle's content has one series; it was checked on reading.");
  await intake.add("series", row);
  const seriesId = intake.idOf(row.id);
  if (earlier !== undefined && seriesId !== undefined) {
    const out = await takeOutImport(effects, book, earlier, seriesId);
    if (!out.ok) return out;
  }
  for (const rope of tables.ropes) await intake.add("rope", rope);
  for (const spool of tables.spools) await intake.add("spool", spool);
  for (const recipe of tables.recipes) await intake.addRecipe(recipe);
  for (const pin of tables.hardware) await intake.add("hardware", pin);
  for (const cell of tables["load-cells"]) await intake.add("load-cell", cell);
  for (const bench of tables.benches) await intake.add("bench", bench);
  for (const specimen of tables.specimens) await intake.add("specimen", specimen);
  if (intake.problems.length > 0 || seriesId === undefined) return { ok: false, problems: intake.problems };

  for (const recording of read.recordings.values()) {
    const there = await book.getRecording(recording.sha256);
    if (there !== undefined) {
      const other = await book.get("series", there.seriesId);
      return refuse({
        code: "BOOK_ELSEWHERE",
        message: `A recording of the bundle is in the book already, as "${there.fileName}" of series "${other?.title ?? there.seriesId}".`,
        where: { file: recording.fileName },
        found: recording.sha256,
        wayOut: "A recording stands in one series only; work with it there.",
      });
    }
    const bytes = bundle.files.get(recordingPath(recording));
    if (bytes !== undefined) await book.insertRecording({ ...recording, seriesId }, [bytes]);
  }
  for (const pull of read.pulls) await intake.addPull(pull);
  for (const claim of tables.claims) await intake.add("claim", claim);
  for (const pooled of tables["pooled-series"]) {
    const linked = await linkPooled(book, pooled, { others: bundle.content.others, fileName });
    warnings.push(...linked.warnings);
    if (linked.ok) await intake.add("pooled-series", linked.value.row, linked.value.given);
  }
  for (const picture of tables.pictures) await intake.addPicture(picture, bundle);
  if (intake.problems.length > 0) return { ok: false, problems: intake.problems };

  const { contentSha256, revision, publishedAt, program } = bundle.about;
  const origin: BundleOrigin = {
    fileName,
    seriesId: row.id,
    title: row.title,
    tester: row.tester,
    ...(revision === undefined ? {} : { revision }),
    ...(publishedAt === undefined ? {} : { publishedAt }),
    program,
  };
  const importedAt = effects.now();
  const ids = intake.ids;
  await book.insertImport({ id: effects.newId("imp"), seriesId, contentSha256, importedAt, origin, ids });
  const series = await book.get("series", seriesId);
  if (series === undefined) throw new Error("The series was stored in this very transaction.");
  return ok({ series, origin, known: false }, warnings);
}

/** Stores the rows of a bundle under ids of this book, and remembers which is which. */
class Intake {
  readonly problems: Problem[] = [];
  readonly #ids = new Map<string, string>();
  readonly #effects: Effects;
  readonly #book: StoreWork;

  constructor(effects: Effects, book: StoreWork) {
    this.#effects = effects;
    this.#book = book;
  }

  idOf(id: string): string | undefined {
    return this.#ids.get(id);
  }

  get ids(): Readonly<Record<string, string>> {
    return Object.fromEntries(this.#ids);
  }

  /** Stores a row as a record; what it names must have come before it. `given` are ids that are this book's already. */
  async add(
    kind: RecordKind,
    { id, ...fields }: { readonly id: string },
    given: Readonly<Record<string, string | undefined>> = {},
  ): Promise<void> {
    const named = this.#named(kind, fields, given);
    if (named === undefined) return;
    this.#keep(id, await createIn(this.#effects, this.#book, kind, named));
  }

  /** A recipe's first version makes it, each later one changes it, so that the book keeps them all. */
  async addRecipe({ id, version, ...fields }: RowOf<"recipes">): Promise<void> {
    const known = this.#ids.get(id);
    if (known === undefined) {
      if (version !== 1) this.problems.push(versionProblem(id, version));
      else await this.add("recipe", { id, ...fields });
      return;
    }
    const answer = await this.#book.update(
      "recipe",
      known,
      version - 1,
      this.#effects.now(),
      fields as RecordFields<"recipe">,
    );
    if (!answer.ok) this.problems.push(versionProblem(id, version));
  }

  /** A pull is stored as it was: that its recording shows it was settled when the recording was read. */
  async addPull(row: RowOf<"pulls">): Promise<void> {
    const { id, ...fields } = pullFieldsOf(row);
    const named = this.#named("pull", fields, {});
    if (named === undefined) return;
    const at = this.#effects.now();
    const kept = { id: this.#effects.newId("pul"), revision: 1, createdAt: at, changedAt: at };
    const answer = await this.#book.insert("pull", kept, named as RecordFields<"pull">);
    this.#keep(id, answer.ok ? ok(answer.value) : refuse(refusalProblem(answer.refusal)));
  }

  async addPicture(row: RowOf<"pictures">, { files }: Bundle): Promise<void> {
    const bytes = files.get(picturePath(row));
    const subjectId = this.#ids.get(row.subjectId);
    if (bytes === undefined || subjectId === undefined) {
      this.problems.push(dangling("subjectId", row.subjectId));
      return;
    }
    const recognised = recognisePicture(bytes);
    if (!recognised.ok) {
      this.problems.push(...recognised.problems);
      return;
    }
    const picture: StoredPicture = {
      id: this.#effects.newId("pic"),
      subject: { kind: row.subjectKind, id: subjectId },
      fileName: row.fileName,
      mediaType: recognised.value,
      sha256: row.sha256,
      sizeBytes: bytes.length,
      caption: row.caption,
      addedAt: this.#effects.now(),
    };
    if ((await this.#book.get(picture.subject.kind, subjectId)) === undefined) {
      this.problems.push(dangling("subjectId", row.subjectId));
      return;
    }
    await this.#book.insertPicture(picture, bytes);
    this.#ids.set(row.id, picture.id);
  }

  #keep(id: string, created: Result<{ readonly id: string }>): void {
    if (!created.ok) this.problems.push(...created.problems);
    else if (this.#ids.has(id)) this.problems.push(dangling("id", id));
    else this.#ids.set(id, created.value.id);
  }

  /** The fields with this book's ids in them; undefined, with the problem kept, where one leads to nothing. */
  #named(
    kind: RecordKind,
    fields: object,
    given: Readonly<Record<string, string | undefined>>,
  ): Record<string, unknown> | undefined {
    const named: Record<string, unknown> = { ...fields };
    let whole = true;
    for (const field of referenceFields[kind] ?? []) {
      const id = named[field];
      if (typeof id !== "string") continue;
      const own = field in given ? given[field] : this.#ids.get(id);
      if (own === undefined) {
        this.problems.push(dangling(field, id));
        whole = false;
      } else named[field] = own;
    }
    return whole ? named : undefined;
  }
}

const referenceFields: Readonly<Partial<Record<RecordKind, readonly string[]>>> = {
  spool: ["ropeId"],
  bench: ["loadCellId", "nearHardwareId", "farHardwareId"],
  specimen: ["seriesId", "ropeId", "spoolId", "recipeId"],
  pull: ["seriesId", "specimenId", "benchId"],
  claim: ["seriesId"],
  "pooled-series": ["seriesId", "otherSeriesId"],
};

/**
 * A pooled series that stands on its own figures, or whose other series is in this book; where it is not, the n, mean and SD
 * of its pulls that came along stand for it, as for a publication.
 */
async function linkPooled(
  book: StoreWork,
  row: RowOf<"pooled-series">,
  { others, fileName }: { readonly others: Bundle["content"]["others"]; readonly fileName: string },
): Promise<
  Result<{ row: RowOf<"pooled-series">; given: { otherSeriesId?: string } }> & {
    warnings: readonly Warning[];
  }
> {
  const { otherSeriesId } = row;
  if (otherSeriesId === undefined) return { ...ok({ row, given: {} }), warnings: [] };
  const imported = (await book.listImports()).find(({ origin }) => origin.seriesId === otherSeriesId);
  const own = imported?.seriesId ?? (await book.get("series", otherSeriesId))?.id;
  if (own !== undefined) return { ...ok({ row, given: { otherSeriesId: own } }), warnings: [] };
  const other = others.find(({ seriesId }) => seriesId === otherSeriesId);
  const found =
    other === undefined
      ? undefined
      : asPublished(row, { ...otherPulls(other), source: `pulls of “${other.title}”, in ${fileName}` });
  const warnings = [notPooled(row.name, found?.ok === true)];
  return found?.ok === true
    ? { ...ok({ row: { ...found.value, id: row.id }, given: {} }), warnings }
    : { ok: false, problems: [], warnings };
}

function notPooled(name: string, byItsFigures: boolean): Warning {
  return {
    code: "BUNDLE_LEFT_OUT",
    message: `The bundle’s series is pooled with “${name}”, which is not in this book; ${byItsFigures ? "it stands here by its n, mean and SD alone, without its pulls" : "that was left out"}.`,
    found: name,
    wayOut: "Import that series as well, and pool the two here.",
  };
}

function dangling(field: string, id: string): Problem {
  return {
    code: "BUNDLE_TABLE",
    message: "A row of the bundle names something that is not in it, or one id names two things.",
    where: { field },
    found: id,
  };
}

function versionProblem(id: string, version: number): Problem {
  return {
    code: "BUNDLE_TABLE",
    message: "The versions of a recipe do not follow one another from 1.",
    where: { file: "data/recipes.csv", column: "version" },
    found: `${id}, version ${version}`,
  };
}

function revisionWords({ revision }: BundleOrigin): string {
  return revision === undefined ? "unpublished" : `revision ${revision}`;
}

function inFile<T>(result: Result<T>, file: string): Result<T> {
  if (result.ok) return result;
  return {
    ok: false,
    problems: result.problems.map((problem) =>
      problem.where?.file === undefined
        ? { ...problem, where: { ...problem.where, file } }
        : { ...problem, where: { ...problem.where, file: `${file}: ${problem.where.file}` } },
    ),
  };
}
