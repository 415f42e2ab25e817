import {
  type BundleAbout,
  type BundleContent,
  type BundleFile,
  contentFiles,
  describePackage,
  packagePath,
  packZip,
  recordingPath,
  reportPath,
  resultsCsv,
  resultsPath,
  samplesAsParquet,
  samplesPath,
} from "../bundle/mod.ts";
import { ok, type Result } from "../problem/mod.ts";
import { parseRecording } from "../trace/mod.ts";
import { checkInput } from "./check-input.ts";
import { layoutFields } from "./layout-fields.ts";

/** All that one bundle is made of, fetched from the book already. */
export type BundleWork = {
  readonly content: BundleContent;
  readonly html: string;
  readonly about: BundleAbout;
  /** The bytes of each of the content's recordings, in their order. */
  readonly recordings: readonly Uint8Array[];
  readonly pictures: readonly BundleFile[];
};

/**
 * Makes a bundle's bytes: its tables, each recording as it came and as samples, the pictures and the page, described and
 * packed. Seconds of work where recordings are large, so that a server has it done in a thread of its own.
 */
export function packBundle(
  { content, html, about, recordings, pictures }: BundleWork,
  sha256: (bytes: Uint8Array) => string,
): Result<Uint8Array> {
  const text = new TextEncoder();
  const files: BundleFile[] = [
    ...contentFiles(content),
    { path: resultsPath, bytes: text.encode(resultsCsv(content)) },
    { path: reportPath, bytes: text.encode(html) },
  ];
  for (const [at, row] of content.tables.recordings.entries()) {
    const bytes = recordings[at] as Uint8Array;
    const layout = checkInput(layoutFields, row.layout);
    if (!layout.ok) return layout;
    const parsed = parseRecording([bytes], layout.value);
    if (!parsed.ok) return parsed;
    files.push({ path: recordingPath(row), bytes });
    files.push({ path: samplesPath(row), bytes: samplesAsParquet(parsed.value.trace) });
  }
  files.push(...pictures);
  const all = new Map(files.map(({ path, bytes }) => [path, bytes]));
  const descriptor = describePackage(content, files, about, sha256);
  all.set(packagePath, text.encode(`${JSON.stringify(descriptor, undefined, 1)}\n`));
  return ok(packZip(all));
}
