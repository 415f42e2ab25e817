import type { Bundle, Difference } from "../bundle/mod.ts";
import type {
  BoundAtCount,
  BuryFactor,
  BuryTruth,
  ExpectedScatter,
  HowMany,
  PlanBudget,
  PlanChange,
  ProposedBuries,
  SeriesFindings,
  SeriesSlipOrBreak,
  SlipOrBreakPlan,
  SlipOrBreakRefits,
} from "../findings/mod.ts";
import type { Problem, Result } from "../problem/mod.ts";
import type { ReportTable, RequiredStatement, SeriesFigureKind } from "../report/mod.ts";
import type { AssessedRig, Choice, PullsOfCell } from "../rig/mod.ts";
import type { Factor, PlannedPull } from "../series/mod.ts";
import type { ComparedRecipe, CutSheet, LearnedNumber, Nesting, SpoolRest } from "../splice/mod.ts";
import type {
  CalibrationPoint,
  Layout,
  LayoutHints,
  LayoutProposal,
  PhaseName,
  PullReading,
  Reading,
  ReadingContext,
  Trace,
  TraceWindow,
} from "../trace/mod.ts";
import type { ForceUnit } from "../units/mod.ts";
import type { BundleWork } from "./pack-bundle.ts";
import type { Rows } from "./read-stretch.ts";
import type { RecordKind, StoredRecord } from "./records.ts";
import type {
  BundleOrigin,
  ImportedBundle,
  PictureSubject,
  RecipeVersion,
  Store,
  StoredPicture,
  StoredPull,
  StoredRecording,
  StoredReport,
} from "./store.ts";

/** All that the use cases need from the world outside; tests hand in still clocks and counted ids. */
export type Effects = {
  readonly store: Store;
  /** The time now, ISO 8601, UTC. */
  readonly now: () => string;
  /** A new id that no other has, with the kind as its first letters: "ser-7k3qx9tbm4". */
  readonly newId: (prefix: string) => string;
  readonly sha256: (chunks: readonly Uint8Array[]) => string;
  /** Reads a recording away from the caller's thread where that is possible. */
  readonly readRecording: (
    bytes: readonly Uint8Array[],
    layout: Layout,
    about?: { readonly context?: ReadingContext; readonly signal?: AbortSignal },
  ) => Promise<Result<Reading>>;
  /** Reads one stretch of a recording as a pull, likewise. */
  readonly readStretch: (
    bytes: readonly Uint8Array[],
    layout: Layout,
    about: { readonly stretch: Rows; readonly within: Rows; readonly context?: ReadingContext },
  ) => Promise<Result<PullReading>>;
  /** The samples of a recording, read away from the caller's thread where that is possible. */
  readonly parseRecording: (bytes: readonly Uint8Array[], layout: Layout) => Promise<Result<Trace>>;
  /** Makes a bundle's bytes, away from the caller's thread where that is possible. */
  readonly packBundle: (work: BundleWork) => Promise<Result<Uint8Array>>;
  /** Reads a bundle, likewise. */
  readonly readBundle: (bytes: Uint8Array) => Promise<Result<Bundle>>;
  /** Verifies a bundle in a thread of its own; nothing where it is small, or there is no such thread: then the caller does. */
  readonly verifyApart: (file: BundleOnDisk) => Promise<Result<Verification> | undefined>;
  /** Paints an SVG as PNG, so many pixels to each of its own. */
  readonly paintPng: (svg: string, scale: number) => Promise<Result<Uint8Array>>;
  /** Tables as one XLSX file, a sheet each, every text typed as text. */
  readonly writeSpreadsheet: (tables: readonly ReportTable[]) => Promise<Uint8Array>;
  /** Solves a whole-number program in LP text to proven best. */
  readonly solveProgram: (text: string) => Promise<ProgramAnswer>;
  /** Does all refits of a plan, away from the caller's thread where that is possible. */
  readonly refitSlipOrBreak: (
    plan: SlipOrBreakPlan,
    about?: LongWork,
  ) => Promise<Result<readonly SlipOrBreakRefits[]>>;
  /** Runs a long calculation, likewise. */
  readonly calculate: (name: string, input: unknown, about?: LongWork) => Promise<Result<object>>;
};

/** A bundle's bytes with the name of their file. */
export type BundleOnDisk = { readonly fileName: string; readonly bytes: Uint8Array };

/** Work that takes a while: it can be stopped, and says how far it is, from 0 to 1. */
export type LongWork = {
  readonly signal?: AbortSignal;
  readonly onProgress?: (done: number) => void;
};

/** What a solver says of a whole-number program: its best answer, that there is none, or that it was not done in time. */
export type ProgramAnswer =
  | { readonly status: "best"; readonly values: Readonly<Record<string, number>> }
  | { readonly status: "impossible" }
  | { readonly status: "not proven" };

/** What was learned of one number for one rope and recipe. */
export type LearnedForPair = LearnedNumber & { readonly ropeId: string; readonly recipeId: string };

/** What the plan of a series needs and can tell, before anything is pulled. */
export type SeriesPlan = {
  readonly seriesId: string;
  readonly title: string;
  readonly factors: readonly Factor[];
  readonly cells: number;
  readonly pullsPerCell: number;
  /** Specimens that the series has already. */
  readonly made: number;
  readonly scatter: ExpectedScatter;
  readonly howMany: HowMany;
  readonly bounds: {
    readonly content: number;
    readonly confidence: number;
    readonly rows: readonly BoundAtCount[];
  };
  /** Where bury is varied: its levels, what is assumed, and levels that would place the turn. */
  readonly bury?: BuryFactor & {
    readonly pullsPerLevel: number;
    readonly chance: number;
    readonly truth: BuryTruth;
    /** Where that comes from: pulls of the book, or nothing yet. */
    readonly truthSays: string;
    /** The bury at which slipping first has the chance, in the assumed world. */
    readonly trueBury?: number;
    /** Of the estimate, in diameters, at the plan's levels; refused where they place nothing. */
    readonly standardError?: Result<number>;
    readonly proposed: Result<ProposedBuries>;
  };
  /** The pulls that are still wanted, in the drawn order; spools by their ids. */
  readonly order: Result<readonly PlannedPull[]>;
  /** Absent until rope, recipe and length are said. */
  readonly budget?: Result<PlanBudget>;
  readonly time?: { readonly minutesEach: number; readonly totalMinutes: number; readonly says: string };
  /** What was changed in the plan after pulls existed, and what that does to the inference. */
  readonly changes: readonly PlanChange[];
};

/** A pull of the plan with the label of the specimen made for it. */
export type PlannedSpecimen = PlannedPull & { readonly label: string };

export type SpoolAndRest = { readonly spool: StoredRecord<"spool">; readonly rest: SpoolRest };

/** The open cuts of a series on the spools of one rope. */
export type NestedRope = { readonly ropeId: string; readonly ropeName: string; readonly nesting: Nesting };

export type ProposedLayout = LayoutProposal & {
  /** The saved layout that fits, where one does. */
  readonly saved?: { readonly id: string; readonly name: string };
};

export type ImportRequest = {
  readonly seriesId: string;
  readonly fileName: string;
  readonly bytes: readonly Uint8Array[];
  readonly layout: Layout;
  /** Keeps the layout under this name, to be used again for that logger. */
  readonly saveLayoutAs?: string;
  readonly benchId?: string;
  readonly signal?: AbortSignal;
};

export type Imported = {
  readonly recording: StoredRecording;
  /** One pull for each that was read, not yet said of which specimen. */
  readonly pulls: readonly StoredPull[];
  /** True where these very bytes were in the book before: nothing was stored again. */
  readonly known: boolean;
};

/** One figure of one pull that came out otherwise when a recording was read again. */
export type RereadChange = {
  readonly recordingSha256: string;
  readonly fileName: string;
  /** Absent where a pull was found of which the book holds no record. */
  readonly pullId?: string;
  /** The field of the reading, as in "deep.peak.valueN"; "pull" where the pull itself was found, moved or lost. */
  readonly field: string;
  /** Absent where there was, or is, no such figure. */
  readonly from?: string | number | boolean;
  readonly to?: string | number | boolean;
  /** Version of the method of reading before and after. */
  readonly fromMethod: string;
  readonly toMethod: string;
};

/** What reading again came to. */
export type Reread = {
  /** True where only the changes were asked for and nothing was stored. */
  readonly dryRun: boolean;
  readonly recordings: number;
  readonly changes: readonly RereadChange[];
  /** Recordings that could not be read again; their readings stand as they were. */
  readonly refused: readonly {
    readonly recordingSha256: string;
    readonly fileName: string;
    readonly problems: readonly Problem[];
  }[];
};

/** A recording read by another layout, with its pulls and what came out otherwise. */
export type ReadOtherwise = {
  readonly recording: StoredRecording;
  readonly pulls: readonly StoredPull[];
  readonly changes: readonly RereadChange[];
};

/** Points of a certificate as they were pasted, in newtons, with the units that they were read in. */
export type PastedCalibration = {
  readonly points: readonly CalibrationPoint[];
  readonly appliedUnit: ForceUnit;
  readonly indicatedUnit: ForceUnit;
};

/** A bundle as it was made, to be saved. */
export type BundleMade = {
  readonly fileName: string;
  readonly bytes: Uint8Array;
  readonly contentSha256: string;
  /** The number under which it was published; absent where the series was taken as it stands. */
  readonly revision?: number;
  readonly publishedAt?: string;
};

/** A series that was taken in from a bundle. */
export type ImportedSeries = {
  readonly series: StoredRecord<"series">;
  readonly origin: BundleOrigin;
  /** True where this very content was in the book before: nothing was stored again. */
  readonly known: boolean;
};

/** What verifying a bundle came to. */
export type Verification = {
  /** True where everything comes out as the bundle says. */
  readonly same: boolean;
  readonly title: string;
  readonly contentSha256: string;
  readonly revision?: number;
  readonly publishedAt?: string;
  /** How much was calculated again. */
  readonly recordings: number;
  readonly readings: number;
  /** Numbers in the findings. */
  readonly figures: number;
  /** The first of the differences; `differenceCount` says how many there are. */
  readonly differences: readonly Difference[];
  readonly differenceCount: number;
};

/** Where a series came from, as its screens show it. */
export type Provenance = Omit<ImportedBundle, "ids" | "seriesId">;

/** A pull as its film shows it: forces net of the rest, at the specimen; times as the recording counts them. */
export type PullOnFilm = {
  readonly timesS: readonly number[];
  /** The highest of each span; null where no sample lies in it. */
  readonly forcesN: readonly (number | null)[];
  /** Moments that can be found in a film. */
  readonly moments: {
    readonly start: number;
    readonly peak: number;
    readonly break: number;
    readonly end: number;
  };
  readonly phases: readonly { readonly fromS: number; readonly toS: number; readonly name: PhaseName }[];
  /** Time of the recording's first sample, and the hour of it where the file says one. */
  readonly firstS: number;
  readonly startedAt?: string;
};

/** Everything that a screen of one series shows. */
export type SeriesOverview = {
  readonly series: StoredRecord<"series">;
  readonly specimens: readonly StoredRecord<"specimen">[];
  readonly pulls: readonly StoredPull[];
  readonly recordings: readonly Omit<StoredRecording, "reading" | "readWith" | "stretches">[];
  readonly ropes: readonly StoredRecord<"rope">[];
  readonly recipes: readonly StoredRecord<"recipe">[];
  readonly spools: readonly StoredRecord<"spool">[];
  readonly benches: readonly StoredRecord<"bench">[];
  readonly loadCells: readonly StoredRecord<"load-cell">[];
  readonly hardware: readonly StoredRecord<"hardware">[];
  readonly claims: readonly StoredRecord<"claim">[];
  readonly pooledSeries: readonly StoredRecord<"pooled-series">[];
  readonly pictures: readonly StoredPicture[];
  readonly reports: readonly StoredReport[];
  /** Where it came from, where it was taken in from a bundle. */
  readonly imported?: Provenance;
};

/** The pulls of one cell of a series with what its specimens took: what a part of a rig can rest on. */
export type CellForUse = PullsOfCell & {
  readonly seriesTitle: string;
  /** Means of what was made, absent where one specimen does not say. */
  readonly massG?: number;
  readonly ropeM?: number;
  readonly buryDiameters?: number;
  readonly diameterMm?: number;
  /** The thinner pin of each bench that it was pulled on, thinnest first, with the pulls that ended on it. */
  readonly pins: readonly { readonly diameterMm: number; readonly n: number; readonly meanN: number }[];
};

/** The book's connectors for a load. None is called safe. */
export type ConnectorChoices = {
  readonly choices: readonly (Omit<Choice, "candidate"> & {
    readonly seriesId: string;
    readonly cell: string;
    readonly simulated: boolean;
  })[];
  /** Cells whose pulls state nothing, or that never reach the factor. */
  readonly leftOut: readonly {
    readonly seriesId: string;
    readonly cell: string;
    readonly name: string;
    readonly n: number;
  }[];
};

/** A figure that can be drawn of a series. */
export type ListedFigure = {
  readonly kind: SeriesFigureKind;
  readonly title: string;
  /** What such a figure shows. */
  readonly shows: string;
  /** Which one, from 1, where a series can have several of a kind. */
  readonly number?: number;
};

/** A figure to take away. */
export type FigureFile = {
  readonly fileName: string;
  readonly mediaType: string;
  readonly bytes: Uint8Array;
};

/** A folder that a site is written to; paths are relative to it, with slashes. */
export type SiteFolder = {
  readonly isEmpty: () => Promise<boolean>;
  readonly read: (path: string) => Promise<string | undefined>;
  readonly sizeOf: (path: string) => Promise<number | undefined>;
  readonly write: (path: string, bytes: Uint8Array) => Promise<void>;
  readonly remove: (path: string) => Promise<void>;
};

/** What making a site came to. */
export type SiteBuilt = {
  readonly reports: number;
  /** Reports of the site that the book no longer has. */
  readonly gone: number;
  /** Reports that were made anew, and that were not. */
  readonly built: number;
  readonly unchanged: number;
  /** Files. */
  readonly written: number;
  readonly removed: number;
};

/** The use cases: one list for the web app, the command line and the HTTP API. Input is checked here, once. */
export interface App {
  create<K extends RecordKind>(kind: K, input: unknown): Promise<Result<StoredRecord<K>>>;
  /** Changes the given fields only; null takes an optional field away. Refused where somebody changed it meanwhile. */
  change<K extends RecordKind>(
    kind: K,
    id: string,
    revision: number,
    patch: unknown,
  ): Promise<Result<StoredRecord<K>>>;
  /** Changes the same fields of several pulls, of all or of none; what must be read again is read once for all. */
  changePulls(input: unknown): Promise<Result<readonly StoredRecord<"pull">[]>>;
  remove(kind: RecordKind, id: string): Promise<Result<null>>;
  get<K extends RecordKind>(kind: K, id: string): Promise<Result<StoredRecord<K>>>;
  list<K extends RecordKind>(
    kind: K,
    filter?: { readonly seriesId?: string },
  ): Promise<readonly StoredRecord<K>[]>;
  overview(seriesId: string): Promise<Result<SeriesOverview>>;
  getPull(id: string): Promise<Result<StoredPull>>;

  proposeLayout(
    head: Uint8Array,
    about: { readonly fileName?: string; readonly totalBytes?: number; readonly hints?: LayoutHints },
  ): Promise<Result<ProposedLayout>>;
  readFile(bytes: readonly Uint8Array[], layout: Layout, signal?: AbortSignal): Promise<Result<Reading>>;
  importRecording(request: ImportRequest): Promise<Result<Imported>>;
  getRecording(sha256: string): Promise<Result<StoredRecording>>;
  recordingBytes(sha256: string): Promise<Result<Uint8Array>>;
  /** Takes a recording that no pull rests on out of the book, as after an import into the wrong series. */
  removeRecording(sha256: string): Promise<Result<null>>;
  /** Reads all recordings again from their bytes; says what changed, and with `dryRun` only that. */
  reread(input: unknown): Promise<Result<Reread>>;
  /** Reads a recording by another layout; its pulls are kept where they still match. */
  changeLayout(sha256: string, layout: unknown): Promise<Result<ReadOtherwise>>;
  /** Corrects a pull's reading beside what the machine read. Refused where somebody changed the pull meanwhile. */
  override(pullId: string, revision: number, input: unknown): Promise<Result<StoredPull>>;
  /** Takes a correction back: the last one, or the one with this number from 1. */
  undo(pullId: string, revision: number, number?: number): Promise<Result<StoredPull>>;
  /** Makes a pull of rows of a recording that were not read as one. */
  addPullOfRows(sha256: string, input: unknown): Promise<Result<StoredPull>>;
  /** Reads pasted points of a cell's certificate; stores nothing. */
  readCalibration(input: unknown): Result<PastedCalibration>;
  /** The extremes of the samples between two rows, in at most `columns` spans: what a picture needs. */
  traceWindow(
    sha256: string,
    window: { readonly fromRow?: number; readonly toRow?: number; readonly columns: number },
  ): Promise<Result<TraceWindow>>;

  addPicture(
    subject: PictureSubject,
    fileName: string,
    bytes: Uint8Array,
    caption: string,
  ): Promise<Result<StoredPicture>>;
  picture(id: string): Promise<Result<{ readonly picture: StoredPicture; readonly bytes: Uint8Array }>>;
  removePicture(id: string): Promise<Result<null>>;

  /** One of the registry's calculations; a long one away from the caller's thread where that is possible. */
  calculate(name: string, input: unknown, about?: LongWork): Promise<Result<object>>;
  findings(seriesId: string): Promise<Result<SeriesFindings>>;
  /** Whether the bury of a series is long enough: chance?, confidence?, growth?, refits?, seed?. */
  slipOrBreak(seriesId: string, asked?: unknown, about?: LongWork): Promise<Result<SeriesSlipOrBreak>>;
  /** The report as it would be published now: one self-contained HTML page. */
  previewReport(seriesId: string): Promise<Result<string>>;
  /** The figures that can be drawn of a series, in the order of its report. */
  figures(seriesId: string): Promise<Result<readonly ListedFigure[]>>;
  /** One of them as a file: format?, scheme?, align?, number?, width?. */
  figure(seriesId: string, kind: string, asked?: unknown): Promise<Result<FigureFile>>;
  /** What a test report must state by the standards, and what of it the report of a series states. */
  reportCompleteness(seriesId: string): Promise<Result<readonly RequiredStatement[]>>;
  /** The tables of a series' report as an XLSX file. */
  reportSpreadsheet(seriesId: string): Promise<Result<Uint8Array>>;
  /** What is known of one pull, as a page to print; it certifies nothing. */
  pullRecord(pullId: string): Promise<Result<string>>;
  /** The curve of a pull with the moments that can be found in a film. */
  film(pullId: string): Promise<Result<PullOnFilm>>;
  /** The force of a pull as WebVTT captions for its film: moment?, filmMomentS or filmStartedAt, ratePerS?, unit?. */
  captions(pullId: string, input: unknown): Promise<Result<string>>;
  /** Freezes the report under the next number, with what changed since the last: note?. */
  publishReport(seriesId: string, input?: unknown): Promise<Result<StoredReport>>;
  /** Withdraws a report: reason. It stays readable and says so. */
  withdrawReport(id: string, input: unknown): Promise<Result<StoredReport>>;
  /** A published page with what became of it since; `toSave` leaves out links that lead nowhere from a disk. */
  report(
    id: string,
    about?: { readonly toSave?: boolean },
  ): Promise<Result<{ readonly report: StoredReport; readonly html: string }>>;
  reports(): Promise<readonly StoredReport[]>;
  /** Makes the site of all published reports in a folder, or brings it up to date: title?, url?. */
  site(folder: SiteFolder, input?: unknown): Promise<Result<SiteBuilt>>;

  /** The open exchange of a series as it stands now: one zip with its tables, recordings, pictures and report. */
  bundleOfSeries(seriesId: string): Promise<Result<BundleMade>>;
  /** The same of a report as it was frozen. */
  bundleOfReport(reportId: string): Promise<Result<BundleMade>>;
  /** Takes the series of a bundle into the book, all of it or nothing. */
  importBundle(input: {
    readonly fileName: string;
    readonly bytes: Uint8Array;
    readonly replace?: boolean;
  }): Promise<Result<ImportedSeries>>;
  /** Calculates everything in a bundle again, from the bundle alone; stores nothing. */
  verifyBundle(input: {
    readonly fileName: string;
    readonly bytes: Uint8Array;
  }): Promise<Result<Verification>>;

  /** What a recipe said at each of its revisions, the oldest first. */
  recipeVersions(id: string): Promise<Result<readonly RecipeVersion[]>>;
  /** What the book's own specimens say of each rope's and recipe's numbers, and whether it is used. */
  learned(): Promise<Result<readonly LearnedForPair[]>>;
  /** What to cut and where to mark for the specimens of a series that were not cut yet. */
  cutSheet(seriesId: string, input?: unknown): Promise<Result<CutSheet>>;
  /** The same as one HTML page to print on A4 or Letter. */
  cutSheetPage(seriesId: string, input?: unknown): Promise<Result<string>>;
  spools(): Promise<Result<readonly SpoolAndRest[]>>;
  /** The open cuts of a series on the spools at hand, with least waste. */
  nestCuts(seriesId: string, input: unknown): Promise<Result<readonly NestedRope[]>>;
  /** Recipes and ropes of a series side by side. */
  recipesCompared(seriesId: string): Promise<Result<readonly ComparedRecipe[]>>;

  /** What the plan of a series needs and can tell: how many, which buries, in which order, what it takes. */
  plan(seriesId: string, input?: unknown): Promise<Result<SeriesPlan>>;
  /** Makes the specimens that the plan still wants, in the drawn order, all or none. */
  makePlanned(seriesId: string, input?: unknown): Promise<Result<readonly StoredRecord<"specimen">[]>>;

  /** In this rig, which part is the weakest, and with what margin? */
  assessRig(rigId: string): Promise<Result<AssessedRig>>;
  /** What a part of a rig can rest on: every cell of the book that has a strength in it. */
  cellsForUse(): Promise<Result<readonly CellForUse[]>>;
  /** Which connectors of the book could carry a load with the factor wanted. */
  chooseConnectors(input: unknown): Promise<Result<ConnectorChoices>>;

  /** Loads the demo series into a book that holds nothing yet; true where it did. */
  loadDemo(): Promise<Result<boolean>>;
}

/** One calculation of the registry; from it come `bitterend calc`, `POST /api/calc/NAME`, its OpenAPI page, its note. */
export type CalculationNote = {
  readonly name: string;
  readonly answers: string;
  readonly formula: string;
  readonly source: string;
};
