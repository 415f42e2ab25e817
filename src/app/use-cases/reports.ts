import { z } from "zod";
import { whatChanged } from "../../bundle/mod.ts";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import { type ReportInput, type ReportRevision, renderReport, withStanding } from "../../report/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects } from "../contract.ts";
import type { StoredReport, StoreWork } from "../store.ts";
import { freeze, thaw } from "./bundle-content.ts";
import { present } from "./judge.ts";
import { gatherReport, inputOfGathered } from "./report-input.ts";
import type { SlipOrBreakWork } from "./slip-or-break.ts";
import type { TraceCache } from "./trace-cache.ts";
import { notFound, orTrouble, refusalProblem, transact } from "./transact.ts";

/** What may be said when a report is published. */
export const publishFields = z.object({
  /** Why it is published, in the tester's words. */
  note: z.string().trim().max(10_000).default(""),
});

/** What is said when a report is withdrawn. */
export const withdrawalFields = z.object({ reason: z.string().trim().min(1).max(10_000) });

/** The report as it would be published now. */
export async function previewReport(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  seriesId: string,
): Promise<Result<string>> {
  return orTrouble(async () => {
    const gathered = await gatherReport(effects, seriesId);
    if (!gathered.ok) return gathered;
    const input = await inputOfGathered(effects, traces, slips, gathered.value);
    if (!input.ok) return input;
    const history = await historyOf(effects.store.read, seriesId);
    return ok(renderReport({ ...input.value, ...history }), [...gathered.warnings, ...input.warnings]);
  });
}

/** Freezes the report under the series' next number: data, method versions and text, with what changed since the last. */
export async function publishReport(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  seriesId: string,
  asked: unknown = {},
): Promise<Result<StoredReport>> {
  const checked = checkInput(publishFields, asked);
  if (!checked.ok) return checked;
  const { note } = checked.value;
  return orTrouble(async () => {
    const gathered = await gatherReport(effects, seriesId);
    if (!gathered.ok) return gathered;
    const input = await inputOfGathered(effects, traces, slips, gathered.value);
    if (!input.ok) return input;
    const frozen = await freeze(effects, slips, gathered.value.held);
    if (!frozen.ok) return frozen;
    const { content, text, sha256: contentSha256 } = frozen.value;
    // The number is taken and the page made inside the transaction, so that no two pages get the same number.
    return transact(effects.store, async (book) => {
      const before = (await book.listReports({ seriesId })).at(-1);
      const last = before === undefined ? undefined : await book.getReport(before.id);
      const changes = last?.content === undefined ? [] : whatChanged(thaw(last.content), content);
      const revision = {
        number: 1 + (before?.number ?? 0),
        publishedAt: effects.now(),
        contentSha256,
        note,
        changes:
          before !== undefined && last?.content === undefined
            ? [
                "What changed cannot be listed: the revision before was published before contents were frozen.",
              ]
            : changes,
      };
      const html = renderReport({ ...input.value, ...(await historyOf(book, seriesId)), revision });
      const report: StoredReport = {
        id: effects.newId("rep"),
        seriesId,
        title: input.value.series.title,
        sha256: effects.sha256([new TextEncoder().encode(html)]),
        ...revision,
      };
      await book.insertReport(report, html, text);
      return ok(report, [...gathered.warnings, ...input.warnings]);
    });
  });
}

/** A published page as it was frozen, with what became of it since: withdrawn, or followed by a later revision. */
export async function getReport(
  { store }: Effects,
  id: string,
  { toSave = false }: { readonly toSave?: boolean } = {},
): Promise<Result<{ readonly report: StoredReport; readonly html: string }>> {
  return orTrouble(async () => {
    const found = await store.read.getReport(id);
    if (found === undefined) return refuse(notFound("report", id));
    const { report, html } = found;
    const later = (await store.read.listReports({ seriesId: report.seriesId }))
      .filter(({ number, withdrawn }) => number > report.number && withdrawn === undefined)
      .at(-1);
    const standing = present({
      withdrawn: report.withdrawn,
      later:
        later === undefined
          ? undefined
          : {
              number: later.number,
              publishedAt: later.publishedAt,
              ...(toSave ? {} : { href: `/reports/${later.id}` }),
            },
    });
    return ok({ report, html: withStanding(html, standing) });
  });
}

/** Withdraws a report, once and for all: it stays readable and says so, with date and reason. */
export async function withdrawReport(
  effects: Effects,
  id: string,
  input: unknown,
): Promise<Result<StoredReport>> {
  const checked = checkInput(withdrawalFields, input);
  if (!checked.ok) return checked;
  return transact(effects.store, async (book) => {
    const found = await book.getReport(id);
    if (found === undefined) return refuse(notFound("report", id));
    if (found.report.withdrawn !== undefined)
      return refuse({
        code: "BOOK_TAKEN",
        message: "This report was withdrawn already; its date and reason stand.",
        found: found.report.withdrawn.at,
      });
    const withdrawn = { at: effects.now(), reason: checked.value.reason };
    const answer = await book.withdrawReport(id, withdrawn);
    return answer.ok ? ok({ ...found.report, withdrawn }) : refuse(refusalProblem(answer.refusal));
  });
}

/** The revisions of a series so far, and where it came from. */
async function historyOf(
  book: Pick<StoreWork, "listReports" | "listImports">,
  seriesId: string,
): Promise<Pick<ReportInput, "earlier" | "imported">> {
  const earlier = (await book.listReports({ seriesId })).map(
    ({ id: _, seriesId: __, title: ___, sha256: ____, ...revision }): ReportRevision => revision,
  );
  const [imported] = await book.listImports({ seriesId });
  if (imported === undefined) return { earlier };
  const { contentSha256, importedAt, origin } = imported;
  return {
    earlier,
    imported: {
      contentSha256,
      importedAt,
      title: origin.title,
      tester: origin.tester,
      ...present({ revision: origin.revision, publishedAt: origin.publishedAt }),
    },
  };
}
