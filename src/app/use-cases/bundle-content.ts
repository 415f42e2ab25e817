import {
  type BundleContent,
  contentText,
  type OtherSeries,
  otherSeriesFields,
  plainJson,
} from "../../bundle/mod.ts";
import { variesBury } from "../../findings/mod.ts";
import { ok, type Result } from "../../problem/mod.ts";
import type { Effects } from "../contract.ts";
import type { ImportedBundle, ReadingOfRecording } from "../store.ts";
import { type EnteredTables, holdingsOfTables, type Names, readingRows, tablesOf } from "./bundle-tables.ts";
import { findingsOf, type OtherPulls, othersOf } from "./judge.ts";
import type { SeriesHoldings } from "./overview.ts";
import { type SlipOrBreakWork, slipOrBreakOf } from "./slip-or-break.ts";

/** What a report of a series rests on and says, with the hash under which it is known. */
export type Frozen = { readonly content: BundleContent; readonly text: string; readonly sha256: string };

/**
 * Freezes a series that was gathered from the book. Ids are those of the book in which it was made first, so that a series
 * that came from a bundle, unchanged, gives the same content as it was there.
 */
export async function freeze(
  effects: Effects,
  slips: SlipOrBreakWork,
  held: SeriesHoldings,
): Promise<Result<Frozen>> {
  const nameOf = namesOf(held, await effects.store.read.listImports());
  const tables = tablesOf(held, nameOf);
  if (!tables.ok) return tables;
  const recordings = new Map(
    held.recordings.map((recording): [string, ReadingOfRecording] => [recording.sha256, recording]),
  );
  const others = otherSeriesFields
    .array()
    .parse(plainJson(othersOf(held).map((other) => ({ ...other, seriesId: nameOf(other.seriesId) }))));
  const content = await complete(effects, slips, { tables: tables.value, recordings, others });
  if (!content.ok) return content;
  const text = contentText(content.value);
  return ok({
    content: content.value,
    text,
    sha256: effects.sha256([new TextEncoder().encode(text)]),
  });
}

/** The content of a report from the text that was frozen of it. */
export function thaw(text: string): BundleContent {
  const { form: _, ...content } = JSON.parse(text) as BundleContent & { readonly form: number };
  return content;
}

/** Tables with all that follows from them and from what was read of the recordings: readings, findings, slip or break. */
export async function complete(
  effects: Pick<Effects, "sha256" | "refitSlipOrBreak">,
  slips: SlipOrBreakWork,
  {
    tables,
    recordings,
    others,
  }: {
    readonly tables: EnteredTables;
    readonly recordings: ReadonlyMap<string, ReadingOfRecording>;
    readonly others: readonly OtherSeries[];
  },
): Promise<Result<BundleContent>> {
  const held = holdingsOfTables(tables, recordings);
  const methodOf = (sha256: string) => recordings.get(sha256)?.reading.method.version ?? "";
  const readings = readingRows(held.pulls, methodOf);
  if (!readings.ok) return readings;
  const findings = findingsOf(held, others.map(otherPulls));
  // A refusal says why nothing can be said of slip or break; the findings say that already.
  const bury = variesBury(held.series.factors) ? await slipOrBreakOf(effects, slips, held) : undefined;
  const read = [...new Set(readings.value.map(({ method }) => method))].sort().join(", ");
  return ok({
    tables: { ...tables, readings: readings.value },
    others,
    methods: {
      ...(read === "" ? {} : { reading: read }),
      [findings.method.name]: findings.method.version,
      ...(bury?.ok ? { [bury.value.method.name]: bury.value.method.version } : {}),
    },
    findings: plainJson(findings),
    ...(bury?.ok ? { slipOrBreak: plainJson(bury.value) } : {}),
  });
}

/** The pulls of a series that came along, as they are judged. */
export function otherPulls(other: OtherSeries): OtherPulls {
  return { ...other, pulls: other.pulls.map((pull) => ({ ...present(pull), warnings: [] })) };
}

/** By what each id goes in a bundle: the id that it had where it came from, unless that would name two things. */
function namesOf(held: SeriesHoldings, imports: readonly ImportedBundle[]): Names {
  const names = new Map<string, string>();
  for (const { seriesId, ids, origin } of imports) {
    names.set(seriesId, origin.seriesId);
    if (seriesId === held.series.id) for (const [theirs, own] of Object.entries(ids)) names.set(own, theirs);
  }
  return (id) => {
    const name = names.get(id) ?? id;
    return name !== id && isOwnId(held, name) ? id : name;
  };
}

function isOwnId(held: SeriesHoldings, id: string): boolean {
  return [
    [held.series],
    held.specimens,
    held.pulls,
    held.ropes,
    held.spools,
    held.recipes,
    held.benches,
    held.loadCells,
    held.hardware,
    held.claims,
    held.pooledSeries,
    held.pictures,
  ].some((records) => records.some((record) => record.id === id));
}

function present<T extends object>(fields: T): { [F in keyof T]: Exclude<T[F], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [F in keyof T]: Exclude<T[F], undefined>;
  };
}
