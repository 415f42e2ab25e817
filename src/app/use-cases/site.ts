import { z } from "zod";
import { ok, type Result, refuse, type Warning } from "../../problem/mod.ts";
import {
  atomFeed,
  goneFiles,
  indexPage,
  type SiteAbout,
  type SiteEntry,
  type SiteFile,
  type SitePage,
  type SiteRevision,
  seriesFiles,
  sitemap,
} from "../../site/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects, SiteBuilt, SiteFolder } from "../contract.ts";
import type { StoredReport } from "../store.ts";
import { programVersion } from "../version.ts";
import { bundleOfReport } from "./bundles.ts";
import { orTrouble } from "./transact.ts";

/** What may be said of a site. */
export const siteFields = z.object({
  title: z.string().trim().min(1).max(300).default("What spliced rope bore"),
  /** Where the site will stand: it makes the feed's addresses whole, and a sitemap possible. */
  url: z
    .url({ protocol: /^https?$/ })
    .transform((url) => (url.endsWith("/") ? url : `${url}/`))
    .exactOptional(),
});

/** What a site was made from, kept beside it, so that only what changed is made anew. */
const manifestName = "site.json";
const manifestForm = 1;

const revisionFields = z.object({
  number: z.number(),
  publishedAt: z.string(),
  title: z.string(),
  sha256: z.string(),
  note: z.string(),
  changes: z.array(z.string()),
  withdrawn: z.object({ at: z.string(), reason: z.string() }).exactOptional(),
});
const manifestFields = z.object({
  form: z.literal(manifestForm),
  series: z.array(
    z.object({
      entry: z.object({
        // Ids become paths: nothing else may come back from a file that anybody can write to.
        seriesId: z.string().regex(/^[\w-]+$/),
        title: z.string(),
        tester: z.string(),
        simulated: z.boolean(),
        sentences: z.array(z.string()),
        revisions: z.array(revisionFields),
        gone: z.literal(true).exactOptional(),
      }),
      madeFrom: z.string(),
      files: z.array(
        z.object({ path: z.string().regex(/^reports(?:\/[\w-]+)+\.\w+$/), sizeBytes: z.number() }),
      ),
    }),
  ),
});
type Made = z.output<typeof manifestFields>["series"][number];

/**
 * Makes the site of all published reports in a folder. A report is made anew only where one of its revisions, the program or
 * the site's address changed, or a file of it is missing; the pages over all reports are written where they differ.
 */
export async function buildSite(
  effects: Effects,
  folder: SiteFolder,
  input: unknown,
): Promise<Result<SiteBuilt>> {
  const asked = checkInput(siteFields, input);
  if (!asked.ok) return asked;
  const former = await readManifest(folder);
  if (!former.ok) return former;
  const about: SiteAbout = {
    ...asked.value,
    program: `Bitter End ${programVersion}`,
    sha256: (text) => effects.sha256([new TextEncoder().encode(text)]),
  };
  return orTrouble(async () => {
    const tally = { built: 0, unchanged: 0, written: 0, removed: 0 };
    const warnings: Warning[] = [];
    const before = new Map(former.value.map((one) => [one.entry.seriesId, one]));
    const bySeries = grouped(await effects.store.read.listReports());
    const made: Made[] = [];
    const keep = async (one: Made, files: readonly SiteFile[]) => {
      const old = before.get(one.entry.seriesId)?.files ?? [];
      for (const { path, content } of files) {
        await folder.write(path, bytesOf(content));
        tally.written += 1;
      }
      for (const { path } of old) {
        if (one.files.some((file) => file.path === path)) continue;
        await folder.remove(path);
        tally.removed += 1;
      }
      tally.built += 1;
      made.push(one);
    };
    for (const [seriesId, reports] of bySeries) {
      const madeFrom = about.sha256(JSON.stringify([about.program, about.url ?? "", reports]));
      const old = before.get(seriesId);
      if (old !== undefined && old.madeFrom === madeFrom && (await isWhole(folder, old))) {
        tally.unchanged += 1;
        made.push(old);
        continue;
      }
      const pages = await pagesOf(effects, reports);
      if (!pages.ok) return pages;
      warnings.push(...pages.warnings);
      const files = seriesFiles(seriesId, pages.value, about);
      if (files !== undefined) await keep(madeOf(files.entry, madeFrom, files.files), files.files);
    }
    for (const old of former.value) {
      const { entry } = old;
      if (bySeries.has(entry.seriesId)) continue;
      const madeFrom = about.sha256(JSON.stringify([about.program, "gone", entry.revisions]));
      if (entry.gone === true && old.madeFrom === madeFrom && (await isWhole(folder, old))) {
        tally.unchanged += 1;
        made.push(old);
        continue;
      }
      const gone: SiteEntry = { ...entry, gone: true };
      const files = goneFiles(gone, about);
      await keep(madeOf(gone, madeFrom, files), files);
    }
    const entries = made.map(({ entry }) => entry);
    const over = filesOver(entries, about);
    for (const { path, content } of [
      ...over,
      {
        path: manifestName,
        content: `${JSON.stringify({ form: manifestForm, series: made }, undefined, 1)}\n`,
      },
    ]) {
      if ((await folder.read(path)) === content) continue;
      await folder.write(path, bytesOf(content));
      tally.written += 1;
    }
    for (const path of ["feed.xml", "sitemap.xml"]) {
      if (over.some((file) => file.path === path) || (await folder.read(path)) === undefined) continue;
      await folder.remove(path);
      tally.removed += 1;
    }
    return ok(
      {
        reports: entries.filter(({ gone }) => gone !== true).length,
        gone: entries.filter(({ gone }) => gone === true).length,
        ...tally,
      },
      warnings,
    );
  });
}

/** What the site in the folder was made from; nothing in an empty folder. A folder with other things is refused. */
async function readManifest(folder: SiteFolder): Promise<Result<readonly Made[]>> {
  const text = await folder.read(manifestName);
  if (text === undefined) {
    if (await folder.isEmpty()) return ok([]);
    return refuse({
      code: "SITE_FOLDER",
      message: "The folder holds other things than a site of this program; nothing was written to it.",
      expected: `an empty folder, a new one, or one with a ${manifestName} of this program`,
      wayOut: "Name another folder.",
    });
  }
  const manifest = manifestFields.safeParse(jsonOf(text));
  if (manifest.success) return ok(manifest.data.series);
  return refuse({
    code: "SITE_FOLDER",
    message: `The ${manifestName} in the folder is not one of this program, or was changed by hand; nothing was written.`,
    found: manifest.error.issues[0]?.message ?? "",
    wayOut: "Name another folder, or empty this one.",
  });
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** The pages over all reports; a sitemap only where it is known where the site will stand, as its addresses must be whole. */
function filesOver(
  entries: readonly SiteEntry[],
  about: SiteAbout,
): readonly { path: string; content: string }[] {
  const feed = atomFeed(entries, about);
  return [
    { path: "index.html", content: indexPage(entries, about) },
    ...(feed === undefined ? [] : [{ path: "feed.xml", content: feed }]),
    ...(about.url === undefined ? [] : [{ path: "sitemap.xml", content: sitemap(entries, about.url) }]),
  ];
}

async function pagesOf(
  effects: Effects,
  reports: readonly StoredReport[],
): Promise<Result<readonly SitePage[]>> {
  const pages: SitePage[] = [];
  const warnings: Warning[] = [];
  for (const report of reports) {
    const found = await effects.store.read.getReport(report.id);
    if (found === undefined) continue;
    const bundle = found.content === undefined ? undefined : await bundleOfReport(effects, report.id);
    // A recording may have been taken out of the book since; the page still stands.
    if (bundle !== undefined && !bundle.ok)
      warnings.push(
        ...bundle.problems.map((problem) => ({
          ...problem,
          message: `Revision ${report.number} of “${report.title}” has no bundle: ${problem.message}`,
        })),
      );
    pages.push({
      revision: revisionOf(report),
      html: found.html,
      ...(bundle?.ok ? { bundle: bundle.value.bytes } : {}),
    });
  }
  return ok(pages, warnings);
}

function revisionOf(report: StoredReport): SiteRevision {
  const { number, publishedAt, title, sha256, note, changes, withdrawn } = report;
  return {
    number,
    publishedAt,
    title,
    sha256,
    note,
    changes,
    ...(withdrawn === undefined ? {} : { withdrawn }),
  };
}

function grouped(reports: readonly StoredReport[]): ReadonlyMap<string, readonly StoredReport[]> {
  const groups = new Map<string, StoredReport[]>();
  for (const report of reports) groups.set(report.seriesId, [...(groups.get(report.seriesId) ?? []), report]);
  for (const group of groups.values()) group.sort((a, b) => a.number - b.number);
  return groups;
}

function madeOf(entry: SiteEntry, madeFrom: string, files: readonly SiteFile[]): Made {
  return {
    entry: {
      ...entry,
      sentences: [...entry.sentences],
      revisions: entry.revisions.map((revision) => ({ ...revision, changes: [...revision.changes] })),
    },
    madeFrom,
    files: files.map(({ path, content }) => ({ path, sizeBytes: bytesOf(content).length })),
  };
}

async function isWhole(folder: SiteFolder, { files }: Made): Promise<boolean> {
  for (const { path, sizeBytes } of files) if ((await folder.sizeOf(path)) !== sizeBytes) return false;
  return true;
}

function bytesOf(content: string | Uint8Array): Uint8Array {
  return typeof content === "string" ? new TextEncoder().encode(content) : content;
}
