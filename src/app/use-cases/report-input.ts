import { variesBury } from "../../findings/mod.ts";
import { ok, type Result, type Warning } from "../../problem/mod.ts";
import type { ReportInput } from "../../report/mod.ts";
import { type TraceWindow, traceWindow } from "../../trace/mod.ts";
import { noteOf } from "../calc/mod.ts";
import type { Effects } from "../contract.ts";
import type { StoredPicture, StoredPull } from "../store.ts";
import { programVersion } from "../version.ts";
import { readingAtSpecimen, windowAtSpecimen } from "./at-specimen.ts";
import { byId, findingsOf, forceFactor, present } from "./judge.ts";
import { holdingsOf, type SeriesHoldings } from "./overview.ts";
import { type SlipOrBreakWork, slipOrBreakOf } from "./slip-or-break.ts";
import type { TraceCache } from "./trace-cache.ts";
import { traceOf } from "./trace-of.ts";
import { transact } from "./transact.ts";

/** Spans of a curve in a report: more than its width on paper can show. */
const curveColumns = 600;

/** Photographs in one page may have this many bytes; a page of more opens badly on a telephone. */
const maxPicturesBytes = 60_000_000;

/** What a report says apart from curves, pictures and the fit of slip or break, which take time to make. */
export type ReportFacts = Omit<ReportInput, "traces" | "pictures" | "slipOrBreak">;

/** What the book holds of a series at one moment, with its photographs as the page takes them. */
export type Gathered = { readonly held: SeriesHoldings; readonly pictures: ReportInput["pictures"] };

/** Everything that the report shows, gathered in one transaction so that it shows one moment of the book. */
export async function reportInput(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  seriesId: string,
): Promise<Result<ReportInput>> {
  const gathered = await gatherReport(effects, seriesId);
  if (!gathered.ok) return gathered;
  const input = await inputOfGathered(effects, traces, slips, gathered.value);
  return input.ok ? ok(input.value, [...gathered.warnings, ...input.warnings]) : input;
}

/** The series as it stands now, with its photographs. */
export async function gatherReport(effects: Effects, seriesId: string): Promise<Result<Gathered>> {
  return transact(effects.store, async (book) => {
    const held = await holdingsOf(book, seriesId);
    if (!held.ok) return held;
    const pictures = await picturesOf(held.value, async (id) => (await book.getPicture(id))?.bytes);
    return ok({ held: held.value, pictures: pictures.taken }, pictures.warnings);
  });
}

/** What the report shows of what was gathered. */
export async function inputOfGathered(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  { held, pictures }: Gathered,
): Promise<Result<ReportInput>> {
  const curves = await curvesOf(effects, traces, held);
  if (!curves.ok) return curves;

  // Only where the plan asks for it; a refusal says why nothing can be said, and the rest of the report says that already.
  const bury = variesBury(held.series.factors) ? await slipOrBreakOf(effects, slips, held) : undefined;
  return ok({
    ...reportFacts(held),
    ...(bury?.ok ? { slipOrBreak: bury.value } : {}),
    traces: curves.value,
    pictures,
  });
}

/** The facts of a report, out of what the book holds of its series. */
export function reportFacts(held: SeriesHoldings): ReportFacts {
  const specimens = held.specimens.filter(({ id }) => held.pulls.some((pull) => pull.specimenId === id));
  const ropeIds = new Set(
    specimens.map(({ ropeId, spoolId }) => ropeId ?? byId(held.spools, spoolId)?.ropeId),
  );
  const recipeIds = new Set(specimens.map(({ recipeId }) => recipeId));
  const benchIds = new Set(held.pulls.map(({ benchId }) => benchId));
  return {
    series: held.series,
    findings: findingsOf(held),
    ropes: held.ropes.filter(({ id }) => ropeIds.has(id)),
    recipes: held.recipes.filter(({ id }) => recipeIds.has(id)),
    benches: held.benches
      .filter(({ id }) => benchIds.has(id))
      .map((bench) => ({
        ...bench,
        ...present({
          loadCell: byId(held.loadCells, bench.loadCellId),
          near: byId(held.hardware, bench.nearHardwareId),
          far: byId(held.hardware, bench.farHardwareId),
        }),
      })),
    readings: Object.fromEntries(
      held.pulls.flatMap((pull) =>
        pull.reading === undefined ? [] : [[pull.id, readingAtSpecimen(pull.reading, factorOf(pull, held))]],
      ),
    ),
    pullDetails: Object.fromEntries(held.pulls.map((pull) => [pull.id, detailsOf(pull, held)])),
    recordings: held.recordings.map(({ fileName, sha256, sizeBytes }) => ({ fileName, sha256, sizeBytes })),
    methodNotes: ["summary", "tolerance-factor", "lower-bound"].map(noteOf),
    program: { name: "Bitter End", version: programVersion },
  };
}

/** A curve for each pull that has a recording, with some of what came before and after it. */
export async function curvesOf(
  effects: Effects,
  traces: TraceCache,
  held: SeriesHoldings,
): Promise<Result<Record<string, TraceWindow>>> {
  const curves: Record<string, TraceWindow> = {};
  for (const pull of held.pulls) {
    const recording = held.recordings.find(({ sha256 }) => sha256 === pull.recordingSha256);
    if (pull.reading === undefined || recording === undefined) continue;
    const trace = await traceOf(effects, traces, recording.sha256);
    if (!trace.ok) return trace;
    const { startRow, endRow } = pull.reading;
    const around = Math.ceil((endRow - startRow) * 0.1);
    const window = traceWindow(trace.value, {
      fromRow: startRow - around,
      toRow: endRow + around,
      columns: curveColumns,
    });
    curves[pull.id] = windowAtSpecimen(window, factorOf(pull, held));
  }
  return ok(curves);
}

async function picturesOf(
  held: SeriesHoldings,
  bytesOf: (id: string) => Promise<Uint8Array | undefined>,
): Promise<{ taken: ReportInput["pictures"]; warnings: Warning[] }> {
  const taken: ReportInput["pictures"][number][] = [];
  const left: string[] = [];
  let total = 0;
  for (const picture of held.pictures) {
    const fits = total + picture.sizeBytes <= maxPicturesBytes;
    const bytes = fits ? await bytesOf(picture.id) : undefined;
    if (bytes === undefined) left.push(picture.fileName);
    else {
      total += picture.sizeBytes;
      taken.push({
        caption: picture.caption,
        about: aboutOf(picture, held),
        dataUrl: dataUrl(picture.mediaType, bytes),
      });
    }
  }
  if (left.length === 0) return { taken, warnings: [] };
  return {
    taken,
    warnings: [
      {
        code: "REPORT_PICTURES",
        message: "The photographs are too large together for one page; some were left out of it.",
        found: left.join(", "),
        expected: `at most ${maxPicturesBytes / 1e6} MB together`,
        wayOut: "Replace large photographs by smaller ones.",
      },
    ],
  };
}

function aboutOf({ subject }: StoredPicture, held: SeriesHoldings): string {
  switch (subject.kind) {
    case "series":
      return "the series";
    case "specimen":
      return `specimen ${byId(held.specimens, subject.id)?.label ?? subject.id}`;
    case "pull": {
      const pull = byId(held.pulls, subject.id);
      const label = byId(held.specimens, pull?.specimenId)?.label;
      return `pull ${pull?.order ?? subject.id}${label === undefined ? "" : ` of specimen ${label}`}`;
    }
  }
}

function detailsOf(pull: StoredPull, held: SeriesHoldings) {
  return present({
    notes: pull.notes || undefined,
    operator: pull.operator || undefined,
    pulledAt: pull.pulledAt,
    benchName: byId(held.benches, pull.benchId)?.name,
    recordingSha256: pull.recordingSha256,
    recordingPull: pull.recordingPull,
  });
}

function factorOf(pull: StoredPull, held: SeriesHoldings): number {
  return forceFactor(byId(held.benches, pull.benchId));
}

function dataUrl(mediaType: string, bytes: Uint8Array): string {
  let text = "";
  // As many letters at once as a call takes arguments.
  for (let at = 0; at < bytes.length; at += 8192)
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return `data:${mediaType};base64,${btoa(text)}`;
}
