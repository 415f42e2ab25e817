import { z } from "zod";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import {
  completeness,
  filmCaptions,
  type RequiredStatement,
  renderPullRecord,
  reportTables,
} from "../../report/mod.ts";
import { type PullReading, traceWindow } from "../../trace/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, PullOnFilm } from "../contract.ts";
import type { StoredPull, StoredRecording } from "../store.ts";
import { readingAtSpecimen } from "./at-specimen.ts";
import { byId, forceFactor, present } from "./judge.ts";
import { holdingsOf, type SeriesHoldings } from "./overview.ts";
import { curvesOf, reportFacts } from "./report-input.ts";
import type { TraceCache } from "./trace-cache.ts";
import { traceOf } from "./trace-of.ts";
import { notFound, orTrouble, transact } from "./transact.ts";

/** What a test report must state, and what of it the report of a series states. */
export async function reportCompleteness(
  { store }: Effects,
  seriesId: string,
): Promise<Result<readonly RequiredStatement[]>> {
  return orTrouble(async () => {
    const held = await transact(store, (book) => holdingsOf(book, seriesId));
    return held.ok ? ok(completeness(reportFacts(held.value))) : held;
  });
}

/** The tables of a series' report as a spreadsheet. */
export async function reportSpreadsheet(effects: Effects, seriesId: string): Promise<Result<Uint8Array>> {
  return orTrouble(async () => {
    const held = await transact(effects.store, (book) => holdingsOf(book, seriesId));
    return held.ok ? ok(await effects.writeSpreadsheet(reportTables(reportFacts(held.value)))) : held;
  });
}

/** What is known of one pull, as a page to print. */
export async function pullRecord(
  effects: Effects,
  traces: TraceCache,
  pullId: string,
): Promise<Result<string>> {
  return orTrouble(async () => {
    const held = await holdingsOfPull(effects, pullId);
    if (!held.ok) return held;
    const { holdings, pull } = held.value;
    const facts = reportFacts(holdings);
    const judged = facts.findings.pulls.find((one) => one.pullId === pullId);
    if (judged === undefined) return refuse(notFound("pull", pullId));
    const curves = await curvesOf(effects, traces, { ...holdings, pulls: [pull] });
    if (!curves.ok) return curves;
    const specimen = byId(holdings.specimens, pull.specimenId);
    // Of this pull alone: one rope, one recipe, one bench, where they are said.
    const { ropes, recipes, benches } = reportFacts({ ...holdings, pulls: [pull] });
    const recording = holdings.recordings.find(({ sha256 }) => sha256 === pull.recordingSha256);
    return ok(
      renderPullRecord({
        series: facts.series,
        pull: judged,
        details: facts.pullDetails?.[pullId] ?? {},
        program: facts.program,
        ...present({
          specimen,
          rope: ropes[0],
          recipe: recipes[0],
          bench: benches[0],
          reading: facts.readings?.[pullId],
          trace: curves.value[pullId],
          recording: recording && {
            fileName: recording.fileName,
            sha256: recording.sha256,
            sizeBytes: recording.sizeBytes,
          },
        }),
      }),
    );
  });
}

/** Spans of a pull's curve for its film: at 50 frames a second those of more than two minutes. */
const filmColumns = 8000;

/** The curve of a pull as its film shows it: net of the rest, at the specimen, with the moments that can be seen in a film. */
export async function filmOfPull(
  effects: Effects,
  traces: TraceCache,
  pullId: string,
): Promise<Result<PullOnFilm>> {
  return orTrouble(async () => {
    const found = await samplesOfPull(effects, traces, pullId);
    if (!found.ok) return found;
    const { trace, timeS, reading, factor, recording } = found.value;
    const { from, to } = rowsAround(reading, timeS.length);
    const window = traceWindow(trace, { fromRow: from + 1, toRow: to, columns: filmColumns });
    const restN = reading.restN ?? 0;
    const moment = (row: number) => timeS[row - 1] ?? 0;
    return ok({
      timesS: window.x,
      forcesN: window.highN.map((value) => (value === null ? null : value * factor - restN)),
      moments: {
        start: moment(reading.startRow),
        peak: moment(reading.peakRow),
        break: moment(reading.collapse?.row ?? reading.peakRow),
        end: moment(reading.endRow),
      },
      phases: phasesOf(reading),
      firstS: timeS[0] ?? 0,
      ...present({ startedAt: recording.reading.startedAt }),
    });
  });
}

/** Where a pull lies in a film. One of `filmMomentS` and `filmStartedAt` says it. */
export const filmFields = z.object({
  /** The moment in the recording that was found in the film. */
  moment: z.enum(["break", "peak", "start"]).default("break"),
  /** When the film shows that moment, in seconds from its own beginning. */
  filmMomentS: z.number().min(-86_400).max(86_400).optional(),
  /** When the film was begun, by the recording's clock: ISO 8601. */
  filmStartedAt: z.string().max(40).optional(),
  /** Captions in a second. */
  ratePerS: z.number().min(0.1).max(30).default(5),
  unit: z.enum(["kN", "lbf", "N", "kgf"]).default("kN"),
});

/** The force of a pull as WebVTT captions for its film: net of the rest, at the specimen. */
export async function captionsOfPull(
  effects: Effects,
  traces: TraceCache,
  pullId: string,
  input: unknown,
): Promise<Result<string>> {
  const asked = checkInput(filmFields, input);
  if (!asked.ok) return asked;
  return orTrouble(async () => {
    const found = await samplesOfPull(effects, traces, pullId);
    if (!found.ok) return found;
    const { trace, timeS, reading, factor, recording } = found.value;
    const place = placeInFilm(timeS, reading, recording, asked.value);
    if (!place.ok) return place;
    const { from, to } = rowsAround(reading, timeS.length);
    const restN = reading.restN ?? 0;
    const { ratePerS, unit } = asked.value;
    return filmCaptions({
      timesS: timeS.subarray(from, to),
      forcesN: trace.forceN.subarray(from, to).map((value) => value * factor - restN),
      ...place.value,
      ratePerS,
      unit,
      decimals: unit === "kN" ? 2 : 0,
      phases: phasesOf(reading).map(({ name, ...when }) => ({ ...when, words: name })),
    });
  });
}

/** The samples of a pull with its reading at the specimen; refused where there are none, or none with a time. */
async function samplesOfPull(effects: Effects, traces: TraceCache, pullId: string) {
  const held = await holdingsOfPull(effects, pullId);
  if (!held.ok) return held;
  const { holdings, pull } = held.value;
  const recording = holdings.recordings.find(({ sha256 }) => sha256 === pull.recordingSha256);
  if (pull.reading === undefined || recording === undefined) return refuse(noCurve(pull));
  const trace = await traceOf(effects, traces, recording.sha256);
  if (!trace.ok) return trace;
  const { timeS } = trace.value;
  if (timeS === undefined)
    return refuse({
      code: "INPUT_FIELD" as const,
      message: "A film needs times, and this recording has none.",
      where: { field: "pull" },
      found: recording.fileName,
      expected: "a recording with a column of times, or a stated rate of sampling",
    });
  const factor = forceFactor(byId(holdings.benches, pull.benchId));
  const reading = readingAtSpecimen(pull.reading, factor);
  return ok({ trace: trace.value, timeS, reading, factor, recording });
}

/** The pull with a tenth of its length before and after, as indexes. */
function rowsAround({ startRow, endRow }: PullReading, length: number) {
  const around = Math.ceil((endRow - startRow) * 0.1);
  return { from: Math.max(startRow - 1 - around, 0), to: Math.min(endRow + around, length) };
}

function phasesOf({ deep }: PullReading): PullOnFilm["phases"] {
  return (deep?.phases ?? []).flatMap(({ name, fromS, toS }) =>
    fromS === undefined || toS === undefined ? [] : [{ fromS, toS, name }],
  );
}

function placeInFilm(
  timeS: Float64Array,
  reading: PullReading,
  recording: StoredRecording,
  { moment, filmMomentS, filmStartedAt }: z.infer<typeof filmFields>,
): Result<{ readonly momentS: number; readonly filmMomentS: number }> {
  const wrong = (field: string, message: string, found: string, expected: string) =>
    refuse({ code: "INPUT_FIELD", message, where: { field }, found, expected });
  if (filmMomentS !== undefined) {
    const row = {
      break: reading.collapse?.row ?? reading.peakRow,
      peak: reading.peakRow,
      start: reading.startRow,
    };
    return ok({ momentS: timeS[row[moment] - 1] ?? 0, filmMomentS });
  }
  if (filmStartedAt === undefined)
    return wrong(
      "filmMomentS",
      "Where the pull lies in the film is not said.",
      "neither a moment nor the film’s beginning",
      "the film’s second at which it broke, or when the film was begun",
    );
  const startedAt = recording.reading.startedAt;
  const [begun, film] = [Date.parse(startedAt ?? ""), Date.parse(filmStartedAt)];
  if (Number.isNaN(film))
    return wrong(
      "filmStartedAt",
      "When the film was begun cannot be read.",
      filmStartedAt,
      "as in 2026-03-14T10:02:30",
    );
  if (Number.isNaN(begun))
    return wrong(
      "filmStartedAt",
      "The recording does not say at what hour it was made.",
      startedAt ?? "no hour in the file",
      "the film’s second at which it broke",
    );
  return ok({ momentS: timeS[0] ?? 0, filmMomentS: (begun - film) / 1000 });
}

async function holdingsOfPull(
  { store }: Effects,
  pullId: string,
): Promise<Result<{ readonly holdings: SeriesHoldings; readonly pull: StoredPull }>> {
  return transact(store, async (book) => {
    const known = await book.get("pull", pullId);
    if (known === undefined) return refuse(notFound("pull", pullId));
    const holdings = await holdingsOf(book, known.seriesId);
    if (!holdings.ok) return holdings;
    const pull = byId(holdings.value.pulls, pullId);
    return pull === undefined ? refuse(notFound("pull", pullId)) : ok({ holdings: holdings.value, pull });
  });
}

function noCurve(pull: StoredPull) {
  return {
    code: "INPUT_FIELD" as const,
    message: "A film needs a recording, and this pull has none.",
    where: { field: "pull" },
    found: pull.typedPeakN === undefined ? "no peak" : "a peak read off a display",
    expected: "a pull that was read from a recording",
  };
}
