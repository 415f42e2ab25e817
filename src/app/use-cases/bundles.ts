import {
  type BundleContent,
  type BundleFile,
  contentFiles,
  describePackage,
  packagePath,
  packZip,
  picturePath,
  recordingPath,
  reportPath,
  resultsCsv,
  resultsPath,
  samplesAsParquet,
  samplesPath,
} from "../../bundle/mod.ts";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import { renderReport } from "../../report/mod.ts";
import { checkInput } from "../check-input.ts";
import type { BundleMade, Effects } from "../contract.ts";
import { layoutFields } from "../layout-fields.ts";
import { programVersion } from "../version.ts";
import { freeze, thaw } from "./bundle-content.ts";
import { gatherReport, inputOfGathered } from "./report-input.ts";
import type { SlipOrBreakWork } from "./slip-or-break.ts";
import type { TraceCache } from "./trace-cache.ts";
import { notFound, orTrouble } from "./transact.ts";

/** The bundle of a series as it stands now, with the page as it would be published. */
export async function bundleOfSeries(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  seriesId: string,
): Promise<Result<BundleMade>> {
  return orTrouble(async () => {
    const gathered = await gatherReport(effects, seriesId);
    if (!gathered.ok) return gathered;
    const input = await inputOfGathered(effects, traces, slips, gathered.value);
    if (!input.ok) return input;
    const frozen = await freeze(effects, slips, gathered.value.held);
    if (!frozen.ok) return frozen;
    const { content, sha256: contentSha256 } = frozen.value;
    return pack(effects, traces, seriesId, {
      content,
      html: renderReport(input.value),
      about: { contentSha256 },
      name: `${seriesId}-draft.zip`,
    });
  });
}

/** The bundle of a report as it was frozen. */
export async function bundleOfReport(
  effects: Effects,
  traces: TraceCache,
  reportId: string,
): Promise<Result<BundleMade>> {
  return orTrouble(async () => {
    const found = await effects.store.read.getReport(reportId);
    if (found === undefined) return refuse(notFound("report", reportId));
    const { report, html, content } = found;
    if (content === undefined || report.contentSha256 === undefined)
      return refuse({
        code: "BUNDLE_NOT_FROZEN",
        message: "This report was published before contents were frozen; only its page is known.",
        found: `revision ${report.number} of ${report.publishedAt.slice(0, 10)}`,
        wayOut: "Publish the series again; that revision has a bundle.",
      });
    const { number: revision, publishedAt, contentSha256, seriesId } = report;
    return pack(effects, traces, seriesId, {
      content: thaw(content),
      html,
      about: { contentSha256, revision, publishedAt },
      name: `${seriesId}-${revision}.zip`,
    });
  });
}

async function pack(
  effects: Effects,
  traces: TraceCache,
  seriesId: string,
  made: {
    readonly content: BundleContent;
    readonly html: string;
    readonly about: {
      readonly contentSha256: string;
      readonly revision?: number;
      readonly publishedAt?: string;
    };
    readonly name: string;
  },
): Promise<Result<BundleMade>> {
  const { content, about } = made;
  const text = new TextEncoder();
  const originals = await originalFiles(effects, traces, seriesId, content);
  if (!originals.ok) return originals;
  const files: BundleFile[] = [
    ...contentFiles(content),
    { path: resultsPath, bytes: text.encode(resultsCsv(content)) },
    { path: reportPath, bytes: text.encode(made.html) },
    ...originals.value,
  ];
  const descriptor = describePackage(
    content,
    files,
    { ...about, program: `Bitter End ${programVersion}` },
    (bytes) => effects.sha256([bytes]),
  );
  const all = new Map(files.map(({ path, bytes }) => [path, bytes]));
  all.set(packagePath, text.encode(`${JSON.stringify(descriptor, undefined, 1)}\n`));
  return ok({ fileName: made.name, bytes: packZip(all), ...about });
}

/** Recordings as they came and as samples, and pictures. */
async function originalFiles(
  effects: Effects,
  traces: TraceCache,
  seriesId: string,
  { tables }: BundleContent,
): Promise<Result<readonly BundleFile[]>> {
  const { read } = effects.store;
  const files: BundleFile[] = [];
  for (const row of tables.recordings) {
    const bytes = await read.recordingBytes(row.sha256);
    if (bytes === undefined) return refuse(notFound("recording", row.sha256));
    const layout = checkInput(layoutFields, row.layout);
    if (!layout.ok) return layout;
    const stored = await read.getRecording(row.sha256);
    const parse = () => effects.parseRecording([bytes], layout.value);
    // The cache holds samples by the layout that stands now; a frozen one may be another.
    const asNow = JSON.stringify(stored?.layout) === JSON.stringify(layout.value);
    const trace = await (asNow ? traces.get(row.sha256, parse) : parse());
    if (!trace.ok) return trace;
    files.push({ path: recordingPath(row), bytes });
    files.push({ path: samplesPath(row), bytes: samplesAsParquet(trace.value) });
  }
  const held = await read.listPictures([
    { kind: "series", id: seriesId },
    ...(await read.list("specimen", { seriesId })).map(({ id }) => ({ kind: "specimen", id }) as const),
    ...(await read.list("pull", { seriesId })).map(({ id }) => ({ kind: "pull", id }) as const),
  ]);
  const paths = new Set<string>();
  for (const row of tables.pictures) {
    const path = picturePath(row);
    if (paths.has(path)) continue;
    paths.add(path);
    const id = held.find(({ sha256 }) => sha256 === row.sha256)?.id;
    const picture = id === undefined ? undefined : await read.getPicture(id);
    if (picture === undefined) return refuse(notFound("picture", row.id));
    files.push({ path, bytes: picture.bytes });
  }
  return ok(files);
}
