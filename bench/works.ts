/** What is measured, against what, and what it must reach. */
export type Work = {
  readonly name: string;
  readonly title: string;
  /** In words, at full size and with --quick. */
  readonly size: string;
  readonly file?: string;
  /** Rows, or how often it is done in one go, and what a tenth of it is with --quick. */
  readonly count: number;
  readonly quickCount?: number;
  /** Of what the time is told: one of so many done in one go. */
  readonly each?: boolean;
  readonly peers: readonly Peer[];
  /** Relative difference up to which answers agree; absent where none is compared. */
  readonly agree?: number;
  readonly whole?: boolean;
  /** Its answers are the milliseconds in which one of two was answered (p50), and 99 of 100 (p99): p50 is compared. */
  readonly waits?: boolean;
};

/** Who else does it, and what the ratio of our time to its must be: at most this. */
export type Peer = { readonly by: Side; readonly atMost?: number; readonly note?: string };
export type Side = "c" | "r" | "python" | "duckdb" | "papaparse" | "plot" | "node" | "plain";

export const works: readonly Work[] = [
  {
    name: "csv",
    title: "a CSV recording, file to typed arrays with all checks",
    size: "10,000,000 rows, 169 MB",
    file: "rows-10000000.csv",
    count: 1,
    agree: 1e-9,
    peers: [
      { by: "r", atMost: 1 / 1.1, note: "fread, one thread" },
      { by: "c", atMost: 1.5 },
      { by: "duckdb", note: "SQL sum, one thread" },
      { by: "python", note: "pandas" },
    ],
  },
  {
    name: "csv-threads",
    title: "the same with two threads",
    size: "10,000,000 rows, 169 MB",
    file: "rows-10000000.csv",
    count: 1,
    agree: 1e-9,
    peers: [{ by: "r", atMost: 1 / 1.5, note: "fread, one thread" }],
  },
  {
    name: "csv-small",
    title: "the same of a tenth",
    size: "1,000,000 rows",
    file: "rows-1000000.csv",
    count: 1,
    agree: 1e-9,
    peers: [{ by: "r", note: "fread, one thread" }, { by: "c" }, { by: "papaparse" }],
  },
  {
    name: "read-process",
    title: "`bitterend read FILE --json`, whole process",
    size: "30,000 rows",
    file: "rows-30000.csv",
    count: 1,
    whole: true,
    peers: [
      { by: "node", atMost: 2.2, note: "Node’s bare start" },
      { by: "python", atMost: 1, note: "pandas" },
      { by: "r", atMost: 1, note: "fread" },
    ],
  },
  {
    name: "pass",
    title: "one pass in memory: extremes, noise, clock, drops below a running maximum",
    size: "10,000,000 samples of time and force",
    count: 10_000_000,
    quickCount: 1_000_000,
    agree: 1e-6,
    peers: [
      { by: "c", atMost: 1 },
      { by: "python", atMost: 1 / 8, note: "numpy" },
    ],
  },
  {
    name: "reading",
    title: "the whole reading in memory, against one pass in C",
    size: "10,000,000 samples",
    file: "rows-10000000.csv",
    count: 10_000_000,
    peers: [
      { by: "c", atMost: 6, note: "one pass" },
      { by: "python", note: "numpy, one pass" },
    ],
  },
  {
    name: "pyramid",
    title: "pyramid of extremes, built",
    size: "10,000,000 samples",
    count: 10_000_000,
    quickCount: 1_000_000,
    agree: 1e-9,
    peers: [
      { by: "python", atMost: 0.5, note: "numpy reduceat" },
      { by: "c", atMost: 1 },
    ],
  },
  {
    name: "window",
    title: "a window of 1,500 columns from the pyramid",
    size: "10,000,000 samples",
    count: 10_000_000,
    quickCount: 1_000_000,
    peers: [],
  },
  {
    name: "tolerance-one",
    title: "exact one-sided tolerance factor",
    size: "1,000 factors, n from 10 to 29",
    count: 1000,
    each: true,
    agree: 1e-7,
    peers: [
      { by: "r", atMost: 1 / 3, note: "qt(ncp)" },
      { by: "python", atMost: 1 / 3, note: "scipy nct.ppf" },
    ],
  },
  {
    name: "tolerance-two",
    title: "exact two-sided tolerance factor",
    size: "20 factors, n from 10 to 29",
    count: 20,
    each: true,
    agree: 1e-7,
    peers: [
      { by: "r", atMost: 1 / 3, note: "integrate and uniroot" },
      { by: "python", atMost: 1 / 3, note: "scipy quad and brentq" },
    ],
  },
  {
    name: "weibull",
    title: "censored Weibull fit",
    size: "n = 30, 6 stopped, 200 fits",
    file: "weibull.txt",
    count: 200,
    each: true,
    agree: 1e-4,
    peers: [
      { by: "r", atMost: 1 / 20, note: "survreg" },
      { by: "python", atMost: 1 / 20, note: "scipy minimize, its likelihood by scipy.stats" },
    ],
  },
  {
    name: "bootstrap",
    title: "BCa bootstrap of the mean",
    size: "n = 30, 10,000 resamples, 5 times",
    file: "bootstrap.txt",
    count: 5,
    each: true,
    agree: 0.01,
    peers: [
      { by: "python", atMost: 1 / 2.5, note: "scipy" },
      { by: "r", atMost: 1 / 50, note: "boot" },
    ],
  },
  {
    name: "permutation",
    title: "exact permutation test",
    size: "10 against 10, 184,756 splits, 20 times",
    file: "groups.txt",
    count: 20,
    each: true,
    agree: 1e-9,
    peers: [{ by: "r", atMost: 1 / 40, note: "coin" }],
  },
  {
    name: "permutation-ranks",
    title: "the same on whole numbers",
    size: "the same",
    file: "groups.txt",
    count: 20,
    each: true,
    agree: 1e-9,
    peers: [{ by: "r", note: "exactRankTests" }],
  },
  {
    name: "permutation-all",
    title: "the same by trying every split",
    size: "the same; they once, in place of 20 times",
    file: "groups.txt",
    count: 20,
    each: true,
    agree: 1e-9,
    peers: [
      { by: "r", note: "combn" },
      { by: "python", atMost: 1 / 10_000, note: "scipy permutation_test" },
    ],
  },
  {
    name: "slip-fit",
    title: "slip or break, one law fitted from three starts",
    size: "60 pulls, 200 fits",
    file: "slip.txt",
    count: 200,
    each: true,
    agree: 1e-6,
    peers: [
      { by: "r", atMost: 1 / 25, note: "optim, one start, the same gradient" },
      { by: "python", atMost: 1 / 50, note: "scipy BFGS, one start, the same gradient" },
    ],
  },
  {
    name: "refits",
    title: "slip or break, a law known: one fit, and 2,000 refits each climbed freely and held, one thread",
    size: "60 pulls",
    count: 2000,
    peers: [],
  },
  {
    name: "refits-both",
    title: "the same with growth left open, so of both laws",
    size: "60 pulls",
    count: 2000,
    peers: [],
  },
  {
    name: "mixed",
    title: "mixed model by REML, with Satterthwaite’s degrees of freedom and intervals",
    size: "60 rows, 6 groups, 100 fits",
    file: "mixed.txt",
    count: 100,
    each: true,
    agree: 1e-3,
    peers: [{ by: "r", atMost: 1 / 300, note: "lmerTest" }],
  },
  {
    name: "mixed-fit",
    title: "the same, estimates alone",
    size: "60 rows, 6 groups, 100 fits",
    file: "mixed.txt",
    count: 100,
    each: true,
    agree: 1e-3,
    peers: [
      { by: "python", atMost: 1 / 300, note: "statsmodels" },
      { by: "r", atMost: 1 / 300, note: "lme4" },
    ],
  },
  {
    name: "pack",
    title: "a recording packed without loss",
    size: "30,000 rows",
    file: "rows-30000.csv",
    count: 1,
    peers: [],
  },
  {
    name: "unpack",
    title: "and unpacked to its bytes",
    size: "30,000 rows",
    file: "rows-30000.csv",
    count: 1,
    peers: [],
  },
  {
    name: "decode",
    title: "its columns decoded to float64",
    size: "2 columns of 30,000 rows, 480 kB, 100 times",
    file: "rows-30000.csv",
    count: 100,
    each: true,
    peers: [],
  },
  {
    name: "store",
    title: "recordings into a SQLite book, durable one by one",
    size: "200 recordings of 30,000 rows",
    count: 200,
    quickCount: 20,
    each: true,
    peers: [{ by: "plain", atMost: 1.5, note: "the same bytes to files, each with fsync" }],
  },
  {
    name: "list",
    title: "a list of 10,000 pulls, filtered and sorted",
    size: "10,000 pulls of a series, those that broke, by peak",
    count: 10_000,
    agree: 0,
    peers: [{ by: "plain", atMost: 2, note: "the bare SQL" }],
  },
  {
    name: "http",
    title: "a window of a trace over HTTP, 50 clients at once",
    size: "1,000,000 samples, 1,500 columns, 500 answers",
    count: 500,
    each: true,
    waits: true,
    peers: [{ by: "plain", atMost: 2, note: "node:http sending a ready buffer of that size" }],
  },
  {
    name: "http-apart",
    title: "the same where each asks for another window each time",
    size: "1,000,000 samples, 1,500 columns of 40,000 to 400,000 rows, 500 answers",
    count: 500,
    each: true,
    waits: true,
    peers: [{ by: "plain", note: "node:http sending one ready buffer of that size" }],
  },
  {
    name: "report",
    title: "a report rendered",
    size: "the invented series of the tests",
    count: 1,
    peers: [],
  },
  {
    name: "report-200",
    title: "a report with 200 marks, rendered whole",
    size: "200 pulls at 4 buries, 5 times",
    file: "marks-200.txt",
    count: 5,
    each: true,
    peers: [],
  },
  {
    name: "figure",
    title: "a figure of 200 marks, as a string of SVG",
    size: "200 pulls at 4 buries, with means and their intervals, 20 times",
    file: "marks-200.txt",
    count: 20,
    each: true,
    agree: 0,
    peers: [{ by: "plot", atMost: 1 / 10, note: "0.6.17, drawn through linkedom" }],
  },
  {
    name: "site",
    title: "a site of reports with their bundles, written to a disk",
    size: "50 reports of 12 typed pulls",
    count: 50,
    quickCount: 5,
    each: true,
    peers: [],
  },
  {
    name: "site-again",
    title: "the same again, where nothing changed",
    size: "50 reports of 12 typed pulls",
    count: 50,
    quickCount: 5,
    each: true,
    peers: [],
  },
];
