import { describe, expect, test } from "vitest";
import type { DraftLayout, LayoutHints, LayoutProposal } from "../layout.ts";
import { readRecording } from "../read-recording.ts";
import { completeLayout } from "./complete-layout.ts";
import { proposeLayout } from "./propose-layout.ts";

const utf8 = (text: string) => new TextEncoder().encode(text);

function propose(text: string | Uint8Array, hints: LayoutHints = {}): LayoutProposal {
  const bytes = typeof text === "string" ? utf8(text) : text;
  const proposal = proposeLayout(bytes, { hints, totalBytes: bytes.length });
  if (!proposal.ok) throw new Error(JSON.stringify(proposal.problems));
  return proposal.value;
}

function codesOf(text: string, hints: LayoutHints = {}): string[] {
  const proposal = proposeLayout(utf8(text), { hints });
  return proposal.ok ? [] : proposal.problems.map(({ code }) => code);
}

/** A pull of 60 rows: rest, a ramp to 50, rest; every value with three decimals. */
const force = (row: number) => (row < 15 ? 0.02 : row < 45 ? (row - 14) * 1.667 : 0.013) + (row % 3) * 0.005;

function rows(write: (row: number) => string, count = 60): string {
  return Array.from({ length: count }, (_, row) => `${write(row)}\n`).join("");
}

const comma = (value: number, decimals: number) => value.toFixed(decimals).replace(".", ",");

type Case = [name: string, text: string, expected: Partial<DraftLayout>, questions?: readonly string[]];

const time = (column: number, format: string) => ({ kind: "column", column, format }) as DraftLayout["time"];
const forceIn = (column: number, unit?: string, inverted = false) =>
  ({ column, ...(unit === undefined ? {} : { unit }), inverted }) as NonNullable<DraftLayout["force"]>;

const cases: Case[] = [
  [
    "units in snake case",
    `time_ms,force_N\n${rows((r) => `${r * 10},${force(r).toFixed(3)}`)}`,
    { separator: ",", decimal: ".", headerRow: true, time: time(1, "elapsed-ms"), force: forceIn(2, "N") },
  ],
  [
    "brackets, semicolons and decimal commas",
    `Zeit [s];Kraft [kN]\n${rows((r) => `${comma(r / 10, 1)};${comma(force(r), 3)}`)}`,
    { separator: ";", decimal: ",", time: time(1, "elapsed-s"), force: forceIn(2, "kN") },
  ],
  [
    "tabs, decimal commas, a slash before the unit",
    `t/ms\tF/daN\n${rows((r) => `${r * 20}\t${comma(force(r), 3)}`)}`,
    { separator: "\t", decimal: ",", time: time(1, "elapsed-ms"), force: forceIn(2, "daN") },
  ],
  [
    "blanks, decimal commas, no header",
    rows((r) => `  ${comma(r / 100, 2)}   ${comma(force(r), 3)}`),
    {
      separator: "whitespace",
      decimal: ",",
      headerRow: false,
      preambleLines: 0,
      time: time(1, "elapsed-s"),
      force: forceIn(2),
    },
    ["--force-unit"],
  ],
  [
    "blanks with a header of two words each",
    `Time (s)   Load (lbf)\n${rows((r) => `${(r / 10).toFixed(1)}  ${force(r).toFixed(3)}`)}`,
    {
      separator: "whitespace",
      columnNames: ["Time (s)", "Load (lbf)"],
      time: time(1, "elapsed-s"),
      force: forceIn(2, "lbf"),
    },
  ],
  [
    "bars and a row of units",
    `time|force\ns|kgf\n${rows((r) => `${r / 10}|${force(r).toFixed(3)}`)}`,
    { separator: "|", unitRow: true, headerRow: true, time: time(1, "elapsed-s"), force: forceIn(2, "kgf") },
  ],
  [
    "a preamble with numbers in it, and a unit row in brackets",
    `Logger 7\nSerial;4711\nChannels;2\n\nTime;Force\n[ms];[kN]\n${rows((r) => `${r * 10};${force(r).toFixed(3)}`)}`,
    {
      preambleLines: 4,
      headerRow: true,
      unitRow: true,
      time: time(1, "elapsed-ms"),
      force: forceIn(2, "kN"),
    },
  ],
  [
    "a rate in the preamble and no time column",
    `Sample rate: 50 Hz\nForce (N)\n${rows((r) => force(r).toFixed(3))}`,
    { preambleLines: 1, time: { kind: "rate", hz: 50 }, force: forceIn(1, "N") },
  ],
  [
    "one column of force and no time",
    `Force (kN)\n${rows((r) => force(r).toFixed(3))}`,
    { time: { kind: "none" }, force: forceIn(1, "kN") },
    ["--rate-hz"],
  ],
  [
    "one column with decimal commas under one heading",
    `Kraft (N)\n${rows((r) => comma(force(r), 3))}`,
    { decimal: ",", columnNames: ["Kraft (N)"], force: forceIn(1, "N") },
    ["--rate-hz"],
  ],
  [
    "a counter is no clock",
    `Sample,Load (kN)\n${rows((r) => `${r + 1},${force(r).toFixed(3)}`)}`,
    { time: { kind: "none" }, force: forceIn(2, "kN") },
    ["--rate-hz"],
  ],
  [
    "whole numbers in steps of 12 under time are milliseconds",
    `time,load\n${rows((r) => `${1000 + r * 12},${force(r).toFixed(3)}`)}`,
    { time: time(1, "elapsed-ms"), force: forceIn(2) },
    ["--force-unit"],
  ],
  [
    "whole numbers in steps of 1 under time are asked",
    `time,force_N\n${rows((r) => `${r},${force(r).toFixed(3)}`)}`,
    { force: forceIn(2, "N"), unsure: ["time"] },
    ["--time-unit"],
  ],
  [
    "seconds of the epoch",
    `timestamp,weight_kg\n${rows((r) => `${(1_700_000_000 + r / 10).toFixed(1)},${force(r).toFixed(3)}`)}`,
    { time: time(1, "epoch-s"), force: forceIn(2, "kgf") },
  ],
  [
    "milliseconds of the epoch",
    `ts;force [lbf]\n${rows((r) => `${1_700_000_000_000 + r * 100};${force(r).toFixed(3)}`)}`,
    { time: time(1, "epoch-ms"), force: forceIn(2, "lbf") },
  ],
  [
    "microseconds of the epoch",
    `t_us,F_kip\n${rows((r) => `${1_700_000_000_000_000 + r * 100_000},${force(r).toFixed(3)}`)}`,
    { time: time(1, "epoch-us"), force: forceIn(2, "kip") },
  ],
  [
    "ISO 8601",
    `datetime,F_kN\n${rows((r) => `2020-07-29T14:39:${String(r).padStart(2, "0")}Z,${r < 5 ? "NA" : force(r).toFixed(3)}`)}`,
    { time: time(1, "date-time"), force: forceIn(2, "kN") },
  ],
  [
    "day first with points",
    `Datum;Kraft (N)\n${rows((r) => `30.11.2018 09:58:${String(r).padStart(2, "0")};${comma(force(r), 3)}`)}`,
    { time: { kind: "column", column: 1, format: "date-time", dateOrder: "dmy" }, force: forceIn(2, "N") },
  ],
  [
    "month first with strokes",
    `Date,Force (lbf)\n${rows((r) => `11/30/2018 9:58:${String(r).padStart(2, "0")} AM,${force(r).toFixed(3)}`)}`,
    { time: { kind: "column", column: 1, format: "date-time", dateOrder: "mdy" }, force: forceIn(2, "lbf") },
  ],
  [
    "a time of day",
    `Uhrzeit\tKraft\n\tkN\n${rows((r) => `23:59:${String(r).padStart(2, "0")}.250\t${force(r).toFixed(3)}`)}`,
    { separator: "\t", unitRow: true, time: time(1, "time-of-day"), force: forceIn(2, "kN") },
  ],
  [
    "a date column beside a time of day",
    `Date,Time,Force (N)\n${rows((r) => `2024-05-31,14:02:${String(r).padStart(2, "0")},${force(r).toFixed(3)}`)}`,
    { time: time(2, "time-of-day"), force: forceIn(3, "N") },
  ],
  [
    "stamp, elapsed, load and raw ratio without a header",
    rows(
      (r) =>
        `2018-11-30-09:58:${String(r).padStart(2, "0")}.538, ${(r + 0.35).toFixed(4)}, ${Math.round(force(r) * 30)}, ${(force(r) * 0.016).toFixed(10)}`,
    ),
    { headerRow: false, preambleLines: 0, time: time(2, "elapsed-s"), force: forceIn(3) },
    ["--force-unit"],
  ],
  [
    "raw counts beside the weight",
    `raw,weight,time_ms\n${rows((r) => `${8_388_000 + Math.round(force(r) * 1000)},${force(r).toFixed(2)},${r * 100}`)}`,
    { time: time(3, "elapsed-ms"), force: forceIn(2) },
    ["--force-unit"],
  ],
  [
    "temperature, tilt, battery and a constant are not force",
    `id,time_s,temp_C,tilt,F_kN,batt_V,len_m\n${rows((r) => `A,${r},${20 + r / 10},${r / 7},${force(r).toFixed(3)},${(4.1 - r / 1000).toFixed(3)},5.8`)}`,
    { time: time(2, "elapsed-s"), force: forceIn(5, "kN") },
  ],
  [
    "displacement with its unit",
    `time_s,travel_mm,load_N\n${rows((r) => `${r / 10},${(r * 0.5).toFixed(2)},${force(r).toFixed(3)}`)}`,
    { force: forceIn(3, "N"), displacement: { column: 2, unit: "mm" } },
  ],
  [
    "a column that parts the pulls",
    `pull,time_s,force_N\n${rows((r) => `${r < 30 ? 1 : 2},${(r % 30) / 10},${force(r).toFixed(3)}`)}`,
    { force: forceIn(3, "N"), segment: { column: 1 } },
  ],
  [
    "loads that pull down",
    `time_s,force_N\n${rows((r) => `${r / 10},${(-force(r)).toFixed(3)}`)}`,
    { force: forceIn(2, "N", true) },
  ],
  [
    "quoted cells with decimal commas between commas",
    `"Zeit (s)","Kraft (kN)"\n${rows((r) => `"${comma(r / 10, 1)}","${comma(force(r), 3)}"`)}`,
    { separator: ",", decimal: ",", time: time(1, "elapsed-s"), force: forceIn(2, "kN") },
  ],
  [
    "a heading behind a hash mark",
    `# made by a script\n# time_s, force_kN\n${rows((r) => `${r / 10}, ${force(r).toFixed(3)}`)}`,
    { preambleLines: 1, columnNames: ["time_s", "force_kN"], force: forceIn(2, "kN") },
  ],
  [
    "greetings of a microcontroller before rows by tabs",
    `Ready\nTare done\n${rows((r) => `${r * 80}\t${force(r).toFixed(2)}`)}`,
    { separator: "\t", preambleLines: 2, headerRow: false, time: time(1, "elapsed-ms"), force: forceIn(2) },
    ["--force-unit"],
  ],
  [
    "greetings before rows by blanks, which are no header",
    `Ready now\nTare done\n${rows((r) => `${r * 80} ${force(r).toFixed(2)}`)}`,
    { separator: "whitespace", preambleLines: 2, headerRow: false, force: forceIn(2) },
    ["--force-unit"],
  ],
  [
    "an empty column of remarks by tabs",
    `***End***\n\nX_Value\tForce\tComment\n${rows((r) => `${(r / 100).toFixed(4)}\t${force(r).toFixed(4)}\t`)}`,
    { separator: "\t", preambleLines: 2, columnNames: ["X_Value", "Force", "Comment"], force: forceIn(2) },
    ["--force-unit"],
  ],
  [
    "headings that are only units",
    `s,N\n${rows((r) => `${(r / 10).toFixed(1)},${force(r).toFixed(3)}`)}`,
    { time: time(1, "elapsed-s"), force: forceIn(2, "N") },
  ],
  [
    "a unit behind each number",
    rows((r) => `${(r / 10).toFixed(1)} ${force(r).toFixed(2)} kg`),
    { separator: "whitespace", time: time(1, "elapsed-s"), force: forceIn(2, "kgf") },
  ],
  [
    "minutes and seconds",
    `time,F (kN)\n${rows((r) => `59:${String(r).padStart(2, "0")}.5,${force(r).toFixed(3)}`)}`,
    { time: time(1, "time-of-day"), force: forceIn(2, "kN") },
  ],
  [
    "a line for spreadsheets at the top",
    `sep=;\nTime (s);Force (N)\n${rows((r) => `${(r / 10).toFixed(1)};${force(r).toFixed(3)}`)}`,
    { separator: ";", preambleLines: 1, force: forceIn(2, "N") },
  ],
  [
    "blanks behind the names, and a column that is filled once",
    `Displacement ,Load ,Specimen \r\n${rows((r) => `${(r * 0.01 + (r % 2) * 0.02).toFixed(3)},${force(r).toFixed(3)},${r === 0 ? "S-1" : ""}\r`)}`,
    { columnNames: ["Displacement", "Load", "Specimen"], time: { kind: "none" }, force: forceIn(2) },
    ["--force-unit", "--rate-hz"],
  ],
];

describe("a layout is proposed for", () => {
  test.each(cases)("%s", (_, text, expected, questions = []) => {
    const { layout, questions: asked } = propose(text);
    expect(layout).toMatchObject(expected);
    expect(asked.map(({ option }) => option)).toEqual(questions);
  });

  test.each(cases)("%s, and the recording is read by it", (_, text) => {
    const hints: LayoutHints = { forceUnit: "N", timeUnit: "s" };
    const proposal = propose(text);
    const layout = completeLayout(proposal.layout, hints);
    expect(layout.ok).toBe(true);
    if (!layout.ok) return;
    const read = readRecording(utf8(text), { ...layout.value, force: { ...layout.value.force, unit: "N" } });
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(read.value.reading.rows).toBe(60);
  });
});

test("every reason is a sentence, and what is proposed has one", () => {
  const { reasons } = propose(cases[1]?.[1] ?? "");
  expect(reasons.map(({ about }) => about)).toEqual(
    expect.arrayContaining(["encoding", "separator", "decimal", "header", "time", "force", "force-unit"]),
  );
  for (const { text } of reasons) expect(text).toMatch(/^["\d\p{Lu}].*\.$|names the columns/u);
});

test("a head that ends within a row is read up to it", () => {
  const text = cases[0]?.[1] ?? "";
  const bytes = utf8(text);
  for (let cut = 200; cut < 400; cut += 7) {
    const proposal = proposeLayout(bytes.subarray(0, cut), { totalBytes: bytes.length });
    expect(proposal.ok && proposal.value.layout.force).toEqual({ column: 2, unit: "N", inverted: false });
  }
});

describe("hints", () => {
  const text = cases[0]?.[1] ?? "";

  test("override what would be proposed", () => {
    const { layout, reasons } = propose(text, {
      forceColumn: "2",
      forceUnit: "kN",
      timeUnit: "s",
      inverted: true,
    });
    expect(layout.force).toEqual({ column: 2, unit: "kN", inverted: true });
    expect(layout.time).toEqual(time(1, "elapsed-s"));
    expect(reasons.find(({ about }) => about === "force-unit")?.text).toContain("although the file says N");
  });

  test("a rate, or no time, stands in for a column", () => {
    expect(propose(text, { rateHz: 80 }).layout.time).toEqual({ kind: "rate", hz: 80 });
    expect(propose(cases[8]?.[1] ?? "", { noTime: true }).questions).toEqual([]);
  });

  test("name a column by its heading in any case, or by number", () => {
    expect(propose(text, { forceColumn: "FORCE_n" }).layout.force?.column).toBe(2);
    expect(propose(text, { timeColumn: "1" }).layout.time).toEqual(time(1, "elapsed-ms"));
  });

  test.each<[string, LayoutHints, string]>([
    ["an unknown column of force", { forceColumn: "load" }, "TRACE_COLUMN_UNKNOWN"],
    ["a column number that is too high", { forceColumn: "3" }, "TRACE_COLUMN_UNKNOWN"],
    ["an unknown column of time", { timeColumn: "t" }, "TRACE_COLUMN_UNKNOWN"],
    ["a separator that the file does not have", { separator: ";" }, "TRACE_HINT"],
    ["an encoding that the file is not in", { encoding: "utf-16le" }, "TRACE_HINT"],
    ["a rate of nothing", { rateHz: 0 }, "INPUT_FIELD"],
    ["time for force", { forceColumn: "time_ms" }, "TRACE_HINT"],
  ])("that do not fit are refused: %s", (_, hints, code) => {
    expect(codesOf(text, hints)).toEqual([code]);
  });

  test("a column of words is neither force nor time", () => {
    const words = `note,time_s,force_N\n${rows((r) => `n${r},${r / 10},${force(r).toFixed(3)}`)}`;
    expect(codesOf(words, { forceColumn: "note" })).toEqual(["TRACE_HINT"]);
    expect(codesOf(words, { timeColumn: "note" })).toEqual(["TRACE_HINT"]);
  });
});

describe("what is asked", () => {
  test("two cells of one kind: which one is force", () => {
    const text = `time_s,Load cell A (kN),Load cell B (kN)\n${rows((r) => `${r / 10},${force(r).toFixed(3)},${(10 - (r % 7)).toFixed(3)}`)}`;
    const proposal = propose(text);
    expect(proposal.questions[0]).toMatchObject({
      about: "force",
      option: "--force-column",
      options: expect.arrayContaining(["Load cell A (kN)", "Load cell B (kN)"]),
    });
    const open = completeLayout(proposal.layout);
    expect(open.ok ? [] : open.problems.map(({ code }) => code)).toEqual(["TRACE_FORCE_ASKED"]);
    const answered = completeLayout(proposal.layout, { forceColumn: "Load cell B (kN)", forceUnit: "kN" });
    expect(answered.ok && answered.value.force.column).toBe(3);
  });

  test("a problem for each open question, each naming its option", () => {
    const { layout } = propose(`time,force\n${rows((r) => `${r},${force(r).toFixed(3)}`)}`);
    const open = completeLayout(layout);
    expect(
      open.ok ? [] : open.problems.map(({ code, wayOut }) => [code, /--[a-z-]+/.exec(wayOut ?? "")?.[0]]),
    ).toEqual([
      ["TRACE_UNIT_ASKED", "--force-unit"],
      ["TRACE_TIME_ASKED", "--time-unit"],
    ]);
    const answered = completeLayout(layout, { forceUnit: "daN", timeUnit: "ms" });
    expect(answered.ok && [answered.value.force.unit, answered.value.time]).toEqual([
      "daN",
      time(1, "elapsed-ms"),
    ]);
    expect(answered.ok && "unsure" in answered.value).toBe(false);
  });

  test("no time is a warning and no obstacle", () => {
    const { layout } = propose(`Force (kN)\n${rows((r) => force(r).toFixed(3))}`);
    const complete = completeLayout(layout);
    expect(complete.ok && complete.warnings.map(({ code }) => code)).toEqual(["TRACE_NO_TIME"]);
    const rated = completeLayout(layout, { rateHz: 20 });
    expect(rated.ok && rated.value.time).toEqual({ kind: "rate", hz: 20 });
  });

  test("a unit of the column that was proposed is not that of another one", () => {
    const { layout } = propose(
      `time_s,force_N,other\n${rows((r) => `${r / 10},${force(r).toFixed(3)},${r * r}`)}`,
    );
    const moved = completeLayout(layout, { forceColumn: "other" });
    expect(moved.ok ? [] : moved.problems.map(({ code }) => code)).toEqual(["TRACE_UNIT_ASKED"]);
  });

  test("hints that change what the columns are need a new proposal", () => {
    const { layout } = propose(cases[0]?.[1] ?? "");
    for (const hints of [{ separator: ";" }, { decimal: "," }, { timeColumn: "2" }] as const) {
      const complete = completeLayout(layout, hints);
      expect(complete.ok ? [] : complete.problems.map(({ code }) => code)).toEqual(["TRACE_HINT"]);
    }
  });
});

describe("what cannot be told", () => {
  test.each([
    [
      "two headings over four cells",
      `time,force\n${rows((r) => `${comma(r / 10, 1)},${comma(force(r), 1)}`)}`,
    ],
    ["decimals that begin with 0", rows((r) => `${comma(r / 100 + 0.01, 2)},${comma(force(r), 3)}`)],
  ])("commas between cells and within numbers: %s", (_, text) => {
    expect(codesOf(text)).toEqual(["TRACE_AMBIGUOUS"]);
  });

  test.each([
    ["quoted thousands with commas", `t_s,F_N\n${rows((r) => `${r / 10},"${r < 3 ? r : `${r},250`}"`)}`],
    ["thousands with points", `t_s;F_N\n${rows((r) => `${comma(r / 10, 1)};${r < 3 ? r : `${r}.250`}`)}`],
  ])("whether 5,250 is five or five thousand: %s", (_, text) => {
    expect(codesOf(text)).toEqual(["TRACE_AMBIGUOUS"]);
  });

  test("thousands marks beside decimals are no number, and the way out says so", () => {
    const text = `t_s,F_N\n${rows((r) => `${r / 10},"${r + 1},250.5"`)}`;
    const proposal = proposeLayout(utf8(text));
    expect(proposal.ok ? [] : proposal.problems.map(({ code, wayOut }) => [code, wayOut])).toEqual([
      ["TRACE_FORCE_ASKED", "Thousands marks are not guessed: export the numbers without them."],
    ]);
  });
});
