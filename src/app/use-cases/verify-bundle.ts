import {
  type Bundle,
  type Difference,
  differences,
  type JsonValue,
  otherSamples,
  plainJson,
  resultsCsv,
  resultsPath,
  samplesAsParquet,
  samplesPath,
} from "../../bundle/mod.ts";
import { ok, type Problem, type Result, type Warning } from "../../problem/mod.ts";
import { checkInput } from "../check-input.ts";
import type { BundleOnDisk, Effects, Verification } from "../contract.ts";
import { layoutFields } from "../layout-fields.ts";
import { complete } from "./bundle-content.ts";
import { readBundleRecordings } from "./read-bundle-recordings.ts";
import { createSharedWork } from "./shared-work.ts";

/** What verifying needs of the world: no book. */
export type VerifyEffects = Omit<Effects, "store">;

/** More are counted, not listed. */
const mostListed = 200;

/**
 * Calculates everything in a bundle again from the bundle alone: the readings from the original recordings, the findings
 * from the tables and those readings, and the hashes. Lists where what comes out is not what the bundle says; numbers are the
 * same when they agree to nine digits. Refused is only what cannot be read as a bundle at all.
 */
export async function verifyBundle(
  effects: VerifyEffects,
  file: BundleOnDisk,
): Promise<Result<Verification>> {
  const read = await effects.readBundle(file.bytes);
  if (!read.ok) return read;
  const bundle = read.value;
  const { content } = bundle;
  const found: Difference[] = bundle.faults.map(faultWords);
  const again = await readBundleRecordings(effects, bundle, { match: false });
  if (!again.ok) return ok(verdict(bundle, [...found, ...again.problems.map(faultWords)], 0), []);
  const recomputed = await complete(effects, createSharedWork(1), {
    tables: content.tables,
    recordings: again.value.recordings,
    others: content.others,
  });
  if (!recomputed.ok) return ok(verdict(bundle, [...found, ...recomputed.problems.map(faultWords)], 0), []);
  const now = recomputed.value;
  const named = (rows: readonly { readonly pullId: string }[]) => {
    const labels = new Map(content.tables.pulls.map((pull) => [pull.id, labelOf(bundle, pull)]));
    return plainJson(Object.fromEntries(rows.map((row) => [labels.get(row.pullId) ?? row.pullId, row])));
  };
  found.push(
    ...differences(named(content.tables.readings), named(now.tables.readings), "readings"),
    ...differences(content.findings, now.findings, "findings"),
    ...differences(content.slipOrBreak, now.slipOrBreak, "slip-or-break"),
    ...(await derivedFiles(effects, bundle, resultsCsv(now))),
  );
  const figures = countNumbers(content.findings) + countNumbers(content.slipOrBreak ?? null);
  return ok(verdict(bundle, found, figures), methodDoubts(content.methods, now.methods));
}

function verdict(bundle: Bundle, found: readonly Difference[], figures: number): Verification {
  const { about, content } = bundle;
  const { contentSha256, revision, publishedAt } = about;
  return {
    same: found.length === 0,
    title: content.tables.series[0]?.title ?? "",
    contentSha256,
    ...(revision === undefined ? {} : { revision }),
    ...(publishedAt === undefined ? {} : { publishedAt }),
    recordings: content.tables.recordings.length,
    readings: content.tables.readings.length,
    figures,
    differences: found.slice(0, mostListed),
    differenceCount: found.length,
  };
}

/** The files that only show again what the tables and recordings hold. */
async function derivedFiles(
  effects: VerifyEffects,
  { content, files }: Bundle,
  results: string,
): Promise<readonly Difference[]> {
  const found: Difference[] = [];
  const stated = files.get(resultsPath);
  if (stated !== undefined) found.push(...lineDifferences(new TextDecoder().decode(stated), results));
  for (const row of content.tables.recordings) {
    const path = samplesPath(row);
    const bytes = files.get(path);
    const original = [...files].find(([name]) => name.includes(row.sha256) && name !== path)?.[1];
    const layout = checkInput(layoutFields, row.layout);
    if (bytes === undefined || original === undefined || !layout.ok) continue;
    const trace = await effects.parseRecording([original], layout.value);
    if (!trace.ok || sameBytes(bytes, samplesAsParquet(trace.value))) continue;
    const others = await otherSamples(bytes, trace.value);
    if (others !== 0)
      found.push({
        where: path,
        stated: others === undefined ? "no Parquet that can be read" : `${others} samples of other value`,
        recomputed: `the samples of ${row.fileName}`,
      });
  }
  return found;
}

function lineDifferences(stated: string, recomputed: string): readonly Difference[] {
  if (stated === recomputed) return [];
  const [was, is] = [stated.split("\r\n"), recomputed.split("\r\n")];
  const line = was.findIndex((text, index) => text !== is[index]);
  return [
    {
      where: `${resultsPath}, line ${(line < 0 ? was.length : line) + 1}`,
      stated: (was[line] ?? "").slice(0, 300),
      recomputed: (is[line] ?? "").slice(0, 300),
    },
  ];
}

function labelOf(
  { content }: Bundle,
  pull: {
    readonly order?: number | undefined;
    readonly specimenId?: string | undefined;
    readonly id: string;
  },
) {
  const label = content.tables.specimens.find(({ id }) => id === pull.specimenId)?.label;
  return label === undefined ? pull.id : `${label}, ${pull.id}`;
}

/** A fault of the bundle as a difference: what it says, and what is found. */
function faultWords({ message, where, found, expected }: Problem): Difference {
  return {
    where: `${where?.file ?? "bundle"}: ${message}`,
    ...(expected === undefined ? {} : { stated: expected }),
    ...(found === undefined ? {} : { recomputed: found }),
  };
}

function methodDoubts(
  stated: Readonly<Record<string, string>>,
  now: Readonly<Record<string, string>>,
): readonly Warning[] {
  return Object.keys(stated).flatMap((name): Warning[] =>
    stated[name] === now[name]
      ? []
      : [
          {
            code: "BUNDLE_READ_OTHERWISE",
            message: `The bundle was made by another version of the method ${name}: numbers may differ for that reason alone.`,
            found: `version ${stated[name]}`,
            expected: `version ${now[name] ?? "none"}`,
          },
        ],
  );
}

function countNumbers(value: JsonValue): number {
  if (typeof value === "number") return 1;
  if (typeof value !== "object" || value === null) return 0;
  return Object.values(value).reduce((sum: number, one: JsonValue) => sum + countNumbers(one), 0);
}

function sameBytes(one: Uint8Array, other: Uint8Array): boolean {
  return one.length === other.length && one.every((byte, index) => byte === other[index]);
}
