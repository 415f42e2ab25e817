import { type BundleContent, picturePath } from "../../bundle/mod.ts";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import { renderReport } from "../../report/mod.ts";
import type { BundleMade, Effects } from "../contract.ts";
import type { BundleWork } from "../pack-bundle.ts";
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
    return pack(effects, seriesId, {
      content,
      html: renderReport(input.value),
      about: { contentSha256 },
      name: `${seriesId}-draft.zip`,
    });
  });
}

/** The bundle of a report as it was frozen. */
export async function bundleOfReport(effects: Effects, reportId: string): Promise<Result<BundleMade>> {
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
    return pack(effects, seriesId, {
      content: thaw(content),
      html,
      about: { contentSha256, revision, publishedAt },
      name: `${seriesId}-${revision}.zip`,
    });
  });
}

async function pack(
  effects: Effects,
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
  const { content, html, about } = made;
  const originals = await originalsOf(effects, seriesId, content);
  if (!originals.ok) return originals;
  const packed = await effects.packBundle({
    content,
    html,
    about: { ...about, program: `Bitter End ${programVersion}` },
    ...originals.value,
  });
  return packed.ok ? ok({ fileName: made.name, bytes: packed.value, ...about }) : packed;
}

/** Recordings as they came, and pictures. */
async function originalsOf(
  { store: { read } }: Effects,
  seriesId: string,
  { tables }: BundleContent,
): Promise<Result<Pick<BundleWork, "recordings" | "pictures">>> {
  const recordings: Uint8Array[] = [];
  for (const { sha256 } of tables.recordings) {
    const bytes = await read.recordingBytes(sha256);
    if (bytes === undefined) return refuse(notFound("recording", sha256));
    recordings.push(bytes);
  }
  const held = await read.listPictures([
    { kind: "series", id: seriesId },
    ...(await read.list("specimen", { seriesId })).map(({ id }) => ({ kind: "specimen", id }) as const),
    ...(await read.list("pull", { seriesId })).map(({ id }) => ({ kind: "pull", id }) as const),
  ]);
  const pictures = new Map<string, Uint8Array>();
  for (const row of tables.pictures) {
    const path = picturePath(row);
    if (pictures.has(path)) continue;
    const id = held.find(({ sha256 }) => sha256 === row.sha256)?.id;
    const picture = id === undefined ? undefined : await read.getPicture(id);
    if (picture === undefined) return refuse(notFound("picture", row.id));
    pictures.set(path, picture.bytes);
  }
  return ok({ recordings, pictures: [...pictures].map(([path, bytes]) => ({ path, bytes })) });
}
