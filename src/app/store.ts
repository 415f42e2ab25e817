import type { Problem } from "../problem/mod.ts";
import type { CellCalibration, Layout, NumberRows, PullReading, Reading } from "../trace/mod.ts";
import type { Kept, RecordFields, RecordKind, StoredRecord } from "./records.ts";

/** What of a recording is made anew when it is read again. */
export type ReadingOfRecording = {
  readonly layout: Layout;
  readonly reading: Reading;
  /** What the readings were made with; pulls that are not named were read without a calibration. */
  readonly readWith: readonly ReadWith[];
  /** Stretches that a person named as pulls, as they were read, and pulls that are no longer shown, as they last were. */
  readonly stretches: readonly StretchReading[];
};

/** The calibration of the cell with which some of a recording's pulls were read, by their numbers. */
export type ReadWith = { readonly calibration: CellCalibration; readonly pulls: readonly number[] };

/** Some rows of a recording read by themselves, and the calibration that they were read with. */
export type StretchReading = {
  readonly fromRow: number;
  readonly toRow: number;
  readonly reading: PullReading;
  readonly calibration?: CellCalibration;
  /** The record of the pull whose last rows these were, where the recording no longer shows it. */
  readonly pullId?: string;
};

/** A recording as the book keeps it: what it is, how it was read, and what was read. Its bytes are asked for apart. */
export type StoredRecording = ReadingOfRecording & {
  readonly sha256: string;
  readonly fileName: string;
  readonly sizeBytes: number;
  readonly importedAt: string;
  readonly seriesId: string;
};

/**
 * A pull with what was read for it, where it has a recording: `reading` is what counts, with a person's corrections in
 * it; `machineReading` is what the machine read, where that is not the same.
 */
export type StoredPull = StoredRecord<"pull"> & {
  readonly reading?: PullReading;
  readonly machineReading?: PullReading;
};

/** What a picture shows: one pull, one specimen, or the series as a whole. */
export type PictureSubject = { readonly kind: "pull" | "specimen" | "series"; readonly id: string };

export type StoredPicture = {
  readonly id: string;
  readonly subject: PictureSubject;
  readonly fileName: string;
  readonly mediaType: "image/jpeg" | "image/png" | "image/webp" | "image/gif" | "image/avif";
  readonly sha256: string;
  readonly sizeBytes: number;
  readonly caption: string;
  readonly addedAt: string;
};

/** A published report: one revision of a series' page, frozen with the data that it shows. */
export type StoredReport = {
  readonly id: string;
  readonly seriesId: string;
  readonly number: number;
  readonly publishedAt: string;
  readonly title: string;
  /** SHA-256 of the page's bytes. */
  readonly sha256: string;
  /** SHA-256 of the frozen content as canonical JSON; absent where the report was published before contents were frozen. */
  readonly contentSha256?: string;
  /** Why it was published, in the tester's words; may be empty. */
  readonly note: string;
  /** What changed since the revision before, a sentence each. */
  readonly changes: readonly string[];
  readonly withdrawn?: Withdrawal;
};

/** When and why a report was withdrawn. It stays readable and says so. */
export type Withdrawal = { readonly at: string; readonly reason: string };

/** A report with its page, and what it froze: data, method versions and text as canonical JSON. */
export type FrozenReport = {
  readonly report: StoredReport;
  readonly html: string;
  /** Absent where the report was published before contents were frozen. */
  readonly content?: string;
};

/** Where a series came from that was taken in from a bundle. */
export type ImportedBundle = {
  readonly id: string;
  readonly seriesId: string;
  readonly contentSha256: string;
  readonly importedAt: string;
  readonly origin: BundleOrigin;
  /** The id in this book of each id in the bundle. */
  readonly ids: Readonly<Record<string, string>>;
};

/** What a bundle said of itself. */
export type BundleOrigin = {
  readonly fileName: string;
  readonly seriesId: string;
  readonly title: string;
  readonly tester: string;
  /** The number under which it was published; absent where it was not. */
  readonly revision?: number;
  readonly publishedAt?: string;
  readonly program: string;
};

/** Why a change to the book was not made; the use cases turn it into words. */
export type StoreRefusal =
  /** `field` names the reference that leads nowhere; without it the record itself is missing. */
  | { readonly kind: "missing"; readonly what: string; readonly id: string; readonly field?: string }
  | { readonly kind: "changed-meanwhile"; readonly id: string; readonly revision: number }
  | { readonly kind: "in-use"; readonly id: string; readonly by: string }
  | { readonly kind: "taken"; readonly field: string; readonly value: string };
export type StoreAnswer<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly refusal: StoreRefusal };

/** What a recipe said at one of its revisions. The book keeps them all; none is ever changed. */
export type RecipeVersion = {
  readonly recipeId: string;
  readonly revision: number;
  readonly changedAt: string;
  readonly fields: RecordFields<"recipe">;
};

/** Is told piece by piece what a recording was packed to. */
export type RowsReader = {
  /** Text among the rows. */
  text(bytes: Uint8Array): void;
  /** Rows as numbers, which are good during the call; `textOf` makes their text again. */
  rows(rows: NumberRows, textOf: () => Uint8Array): void;
};

export type RecordFilter = {
  readonly seriesId?: string;
  readonly specimenId?: string;
  readonly recordingSha256?: string;
  readonly benchId?: string;
  readonly loadCellId?: string;
};

/** Reads and writes inside one unit of work: all of it is kept, or none. */
export interface StoreWork {
  insert<K extends RecordKind>(
    kind: K,
    kept: Kept,
    fields: RecordFields<K>,
  ): Promise<StoreAnswer<StoredRecord<K>>>;
  /** Replaces the fields; refused when `revision` is not the stored one (somebody else changed it meanwhile). */
  update<K extends RecordKind>(
    kind: K,
    id: string,
    revision: number,
    changedAt: string,
    fields: RecordFields<K>,
  ): Promise<StoreAnswer<StoredRecord<K>>>;
  remove(kind: RecordKind, id: string): Promise<StoreAnswer<null>>;
  get<K extends RecordKind>(kind: K, id: string): Promise<StoredRecord<K> | undefined>;
  list<K extends RecordKind>(kind: K, filter?: RecordFilter): Promise<readonly StoredRecord<K>[]>;

  /** What a recipe said at each of its revisions, the oldest first; without an id, the versions of all recipes. */
  recipeVersions(recipeId?: string): Promise<readonly RecipeVersion[]>;

  insertRecording(recording: StoredRecording, bytes: readonly Uint8Array[]): Promise<void>;
  getRecording(sha256: string): Promise<StoredRecording | undefined>;
  listRecordings(filter?: { readonly seriesId?: string }): Promise<readonly StoredRecording[]>;
  recordingBytes(sha256: string): Promise<Uint8Array | undefined>;
  /**
   * Goes through a recording in order without making its text, which takes several times as long.
   * @returns false, before anything is told, where it is not kept as rows of numbers or is not there.
   */
  recordingRows(sha256: string, reader: RowsReader): Promise<boolean>;
  /** The outline that was kept of a recording, where it was read by the layout that the recording has now. */
  recordingOutline(sha256: string): Promise<Uint8Array | undefined>;
  /** Keeps the outline of a recording as it was read by a layout, in place of one that was kept before. */
  keepOutline(sha256: string, layout: Layout, bytes: Uint8Array): Promise<void>;
  /** Puts another reading in the place of the old one. */
  updateReading(sha256: string, read: ReadingOfRecording): Promise<StoreAnswer<null>>;
  /** Takes a recording and its bytes out of the book; refused while a pull rests on it. */
  removeRecording(sha256: string): Promise<StoreAnswer<null>>;

  insertPicture(picture: StoredPicture, bytes: Uint8Array): Promise<void>;
  listPictures(subjects: readonly PictureSubject[]): Promise<readonly StoredPicture[]>;
  getPicture(
    id: string,
  ): Promise<{ readonly picture: StoredPicture; readonly bytes: Uint8Array } | undefined>;
  removePicture(id: string): Promise<boolean>;

  insertReport(report: StoredReport, html: string, content?: string): Promise<void>;
  listReports(filter?: { readonly seriesId?: string }): Promise<readonly StoredReport[]>;
  getReport(id: string): Promise<FrozenReport | undefined>;
  /** Marks a report as withdrawn; what it froze stays as it is. */
  withdrawReport(id: string, withdrawn: Withdrawal): Promise<StoreAnswer<null>>;

  insertImport(imported: ImportedBundle): Promise<void>;
  listImports(filter?: {
    readonly seriesId?: string;
    readonly contentSha256?: string;
  }): Promise<readonly ImportedBundle[]>;

  /** Facts about the book itself, such as that the demo was loaded. */
  getFact(name: string): Promise<string | undefined>;
  setFact(name: string, value: string): Promise<void>;
}

/** The book: one SQLite file, or a PostgreSQL database. */
export interface Store {
  /**
   * Runs work as one transaction: what it wrote is durable when the promise resolves, and undone when it throws.
   * Inside, everything goes through the `store` handed in: `read` waits for the transaction to end.
   */
  transaction<T>(work: (store: StoreWork) => Promise<T>): Promise<T>;
  /** Reads without a transaction of their own. */
  readonly read: Pick<
    StoreWork,
    | "get"
    | "list"
    | "recipeVersions"
    | "getRecording"
    | "listRecordings"
    | "recordingBytes"
    | "recordingRows"
    | "recordingOutline"
    | "listPictures"
    | "getPicture"
    | "listReports"
    | "getReport"
    | "listImports"
    | "getFact"
  >;
  close(): Promise<void>;
}

/**
 * Thrown by a store that cannot work through no fault of the program: the book is locked by another process, the disk is
 * full, the file cannot be written or is damaged. The use cases turn it into a refusal.
 */
export class StoreTrouble extends Error {
  readonly problem: Problem;

  constructor(problem: Problem, cause: unknown) {
    super(problem.message, { cause });
    this.name = "StoreTrouble";
    this.problem = problem;
  }
}
